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
    each = of_lines(lines, scarcity)
    return [
        tuple(run or of_line or None for run in line.runs) for line, of_line in zip(lines, each, strict=True)
    ]


def of_lines(lines: Sequence[CardLine], scarcity: Scarcity | Unknown) -> list[Decimal | None]:
    """What odds and packing say of the copies of each card of a line that is not numbered."""
    return [None] * len(lines) if isinstance(scarcity, Unknown) else [one.per_card for one in scarcity.lines]


def _each(
    sales: Iterable[Sale], lines: Sequence[CardLine], currency: str, as_of: date
) -> Iterator[Used | str]:
    """Every sale with its place, or why it cannot be used."""
    by_name: dict[tuple[str, str], list[int]] = {}
    for i, line in enumerate(lines):
        by_name.setdefault((text.key(line.subset), text.key(line.parallel)), []).append(i)
    # only lines that were sold are looked into, which few of many are
    places: dict[tuple[str, str], dict[str, tuple[int, int]]] = {}
    for one in sales:
        name = text.key(one.subset), text.key(one.parallel)
        if name not in places:
            places[name] = _by_number(lines, by_name.get(name, ()))
        place = places[name].get(text.key(one.number))
        why = _why_not(one, place is not None, currency, as_of)
        if why or place is None:
            yield why
        else:
            yield Used(one, *place)


def _by_number(lines: Sequence[CardLine], of_one_name: Sequence[int]) -> dict[str, tuple[int, int]]:
    """The cards of some lines by their numbers; of two with the same number the first."""
    found: dict[str, tuple[int, int]] = {}
    for i in of_one_name:
        for j, card in enumerate(lines[i].cards):
            found.setdefault(text.key(card.number), (i, j))
    return found


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
