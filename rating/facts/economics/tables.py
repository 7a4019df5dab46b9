"""What a person is shown of economics: formats side by side, and every dated price."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from rating import money, tenths
from rating.facts.blocks import Block, Listing
from rating.facts.economics.value import Economics
from rating.facts.section import Source


def shown(economics: Economics, _: Source) -> Iterator[Block]:
    """The formats, the headline with a star; then the prices they come from, and what is left out."""
    yield Listing(
        headers=("format", "cards", "price", "a box", "landed", "a pack", "a card", "a hit", "a numbered"),
        rows=[
            (
                f"{one.name}{' *' if key == economics.headline else ''}",
                tenths.plain(one.cards_per_box) if one.cards_per_box else "",
                one.price_kind,
                *map(
                    _amount,
                    (
                        one.box_price,
                        one.landed_box,
                        one.per_pack,
                        one.per_card,
                        one.per_hit,
                        one.per_numbered,
                    ),
                ),
            )
            for key, one in economics.formats.items()
        ],
        right="cards|a box|landed|a pack|a card|a hit|a numbered",
    )
    yield ""
    lines = [
        (
            line.day.isoformat(),
            packed.name,
            line.kind,
            line.unit,
            money.show(line.price),
            _amount(line.box),
            _amount(line.per_card),
            line.source,
        )
        for packed in economics.formats.values()
        for line in packed.prices
    ]
    if lines:
        yield Listing(
            headers=("day", "format", "kind", "unit", "price", "box", "card", "source"),
            rows=lines,
            right="price|box|card",
        )
    for words in economics.left_out:
        yield f"Left out: {words}."


def _amount(value: Decimal | None) -> str:
    return money.show(value) if value else ""
