"""Sales by the card: which of them can be used, why others cannot, and how many copies a card has."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from itertools import islice
from typing import NamedTuple

from rating import text
from rating.facts.falling.lines import CardLine
from rating.facts.plain import Unknown
from rating.facts.scarcity.value import Scarcity
from rating.release.market import Sale

# fewer sales, or carried-over prices, say nothing of cards that were not sold
FEWEST_SALES = 20


class Used(NamedTuple):
    """A sale with the places of its line and of its card there."""

    sale: Sale
    line: int
    card: int


def sorted_out(
    sales: Iterable[Sale], lines: Sequence[CardLine], currency: str, as_of: date
) -> tuple[list[Used], Counter[str]]:
    """The sales that can be used, and how many cannot, by the first reason that holds."""
    used: list[Used] = []
    aside: Counter[str] = Counter()
    for one in _each(sales, lines, currency, as_of):
        if isinstance(one, str):
            aside[one] += 1
        else:
            used.append(one)
    return used, aside


def has_enough(sales: Iterable[Sale], lines: Sequence[CardLine], currency: str, as_of: date) -> bool:
    """Whether so many sales can be used that nothing need be carried over; looks no further than that."""
    usable = (one for one in _each(sales, lines, currency, as_of) if not isinstance(one, str))
    return sum(1 for _ in islice(usable, FEWEST_SALES)) == FEWEST_SALES


def copies_by_card(
    lines: Sequence[CardLine], scarcity: Scarcity | Unknown
) -> list[tuple[int | Decimal | None, ...]]:
    """The copies of every card of every line: its print run, else what odds and packing say of its line."""
    each = [None] * len(lines) if isinstance(scarcity, Unknown) else [one.per_card for one in scarcity.lines]
    return [
        tuple(run or of_line or None for run in line.runs) for line, of_line in zip(lines, each, strict=True)
    ]


def _each(
    sales: Iterable[Sale], lines: Sequence[CardLine], currency: str, as_of: date
) -> Iterator[Used | str]:
    """Every sale with its place, or why it cannot be used."""
    places: dict[tuple[str, str, str], tuple[int, int]] = {}
    for i, line in enumerate(lines):
        for j, card in enumerate(line.cards):
            places.setdefault(_key(line.subset, line.parallel, card.number), (i, j))
    for one in sales:
        place = places.get(_key(one.subset, one.parallel, one.number))
        why = _why_not(one, place is not None, currency, as_of)
        if why or place is None:
            yield why
        else:
            yield Used(one, *place)


def _key(subset: str, parallel: str, number: str) -> tuple[str, str, str]:
    return text.key(subset), text.key(parallel), text.key(number)


def _why_not(sale: Sale, is_listed: bool, currency: str, as_of: date) -> str:
    if not sale.subset:
        return "not matched to a card"
    if not is_listed:
        return "not on the checklist"
    if sale.condition == "slabbed":
        return "slabbed"
    if sale.currency not in {"", currency}:
        return "in another currency"
    if sale.price <= 0:
        return "without a price above 0"
    return "after the day" if sale.day > as_of else ""
