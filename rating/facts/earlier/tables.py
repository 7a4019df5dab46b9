"""What a person is shown of a release against the edition before it."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from rating import money, tenths
from rating.facts.blocks import Block, Listing
from rating.facts.earlier.value import Earlier
from rating.facts.plain import Unknown
from rating.facts.section import Source


def shown(earlier: Earlier, facts: Source) -> Iterator[Block]:
    """What was and is, then subsets, then the rungs of the ladder that changed."""
    yield f"Compared with {earlier.title} (season: {earlier.season})"
    yield ""
    yield Listing(headers=("what", "before", "now"), rows=_rows(earlier, facts.rules.currency))
    if not isinstance(earlier.subsets, Unknown):
        yield ""
        yield Listing(
            headers=("subset", "kind", "cards before", "cards now"),
            rows=[(one.subset, one.kind, _there(one.was), _there(one.now)) for one in earlier.subsets],
            right="cards before|cards now",
        )
    if not isinstance(earlier.ladder, Unknown) and earlier.ladder.changes:
        yield ""
        yield Listing(
            headers=("parallel", "of", "change", "run before", "run now"),
            rows=[
                (
                    one.parallel or "the cards themselves",
                    one.subset,
                    {"run": "other print run"}.get(one.change, one.change),
                    one.was or "",
                    one.now or "",
                )
                for one in earlier.ladder.changes
            ],
            right="run before|run now",
        )


def _rows(earlier: Earlier, currency: str) -> list[tuple[str, str, str]]:
    rows: list[tuple[str, str, str]] = [
        (f"format {one.format}", one.was or "not there", one.now or "not there") for one in earlier.formats
    ]
    if not isinstance(earlier.prices, Unknown):
        rows += [
            (f"headline box, {one.kind}", _money(one.was, currency), _money(one.now, currency))
            for one in earlier.prices
        ]
    rows += [(f"{one.what} a box", _count(one.was), _count(one.now)) for one in earlier.promises]
    if not isinstance(earlier.subjects, Unknown):
        rows.append(("players", str(earlier.subjects.was), str(earlier.subjects.now)))
    if not isinstance(earlier.ladder, Unknown):
        rows.append(("parallels of subsets in both", str(earlier.ladder.was), str(earlier.ladder.now)))
    return rows


def _money(amount: Decimal | None, currency: str) -> str:
    return "not known" if amount is None else money.told(amount, currency)


def _count(number: Decimal | None) -> str:
    return "not said" if number is None else tenths.fixed(number, 1).removesuffix(".0")


def _there(cards: int | None) -> str:
    return "" if cards is None else str(cards)
