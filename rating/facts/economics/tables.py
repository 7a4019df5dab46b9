"""What a person is shown of economics: formats side by side, and every dated price."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from rating import money, tenths
from rating.facts.blocks import Block, Listing
from rating.facts.economics.value import Economics
from rating.facts.section import Source


def shown(economics: Economics, facts: Source) -> Iterator[Block]:
    """The formats, the headline with a star; then the prices they come from, and what is left out."""

    def amount(value: Decimal | None) -> str:
        return money.told(value, facts.rules.currency) if value else ""

    yield Listing(
        headers=("format", "cards", "price", "a box", "delivered", "a pack", "a card", "a hit", "a numbered"),
        rows=[
            (
                f"{one.name}{' *' if key == economics.headline else ''}",
                tenths.plain(one.cards_per_box) if one.cards_per_box else "",
                one.price_kind,
                *map(
                    amount,
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
        right="cards|a box|delivered|a pack|a card|a hit|a numbered",
        spare=("a pack", "a numbered"),
    )
    yield ""
    lines = [
        (
            line.day.isoformat(),
            packed.name,
            line.kind,
            line.unit,
            amount(line.price),
            amount(line.box),
            amount(line.per_card),
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
        yield "Delivered: with shipping, duty and tax. A star marks the format that the grade is about."
    for words in economics.left_out:
        yield f"Left out: {words}."
