"""What each slot of a break is worth: copies of every card, their value, and the luck of the draw."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rating import text
from rating.facts.breaks.owners import Owners
from rating.facts.falling.collation import Collation
from rating.facts.plain import Unknown
from rating.facts.returns.compute import categories
from rating.facts.section import Source
from rating.facts.values.valuation import VALUATION
from rating.numerics.draws import Different, lost_spread
from rating.numerics.sums import Category, moments
from rating.release.checklist import Card

Floats = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
# who is asked for by nobody in particular, of 100
_TYPICAL = Decimal(50)


class Split(NamedTuple):
    """All cards of all lines one after the other, and every share of a slot in one of them."""

    cards: list[Card]
    lines: Places
    card: Places
    slot: Places
    share: Floats

    def by_slot(self, of_card: Floats, slots: int) -> Floats:
        """What each slot has of something that every card carries."""
        found = np.bincount(self.slot, weights=self.share * of_card[self.card], minlength=slots)
        return found.astype(np.float64)

    def squares_by_slot(self, of_card: Floats, slots: int) -> Floats:
        """The same by the squares of the shares, which are chances where lots are drawn for a card."""
        found = np.bincount(self.slot, weights=self.share**2 * of_card[self.card], minlength=slots)
        return found.astype(np.float64)


class Weighed(NamedTuple):
    """Copies of each card, the value of a copy, and by slot the expected value and its variance."""

    split: Split
    copies: Floats
    each: Floats
    value: Floats
    variance: Floats
    kept: float


def weigh(facts: Source, collation: Collation, owned: Owners, boxes: int) -> Weighed:
    """What the slots of some boxes hold, by prices or else by content."""
    split = _split(facts, owned)
    each = _each(facts, split)
    places, start = [], 0
    for line in facts.lines:
        places.append(list(range(start, start + len(line.cards))))
        start += len(line.cards)
    slots = len(owned.slots)
    copies, value, variance = np.zeros(len(split.cards)), np.zeros(slots), np.zeros(slots)
    for one in categories(collation, facts.lines, places, boxes=boxes):
        shares = _shares(one, len(split.cards))
        expected, spread = moments(one.draws)
        copies += expected * shares
        first = split.by_slot(shares * each, slots)
        second = split.by_slot(shares * each * each, slots)
        value += expected * first
        # of a random number of draws: E[N] Var(v) + Var(N) E[v]^2
        variance += expected * (second - first * first) + spread * first * first
        if isinstance(one.draws, Different):
            between = split.squares_by_slot(shares * each * each, slots) - first * first
            variance -= lost_spread(one.draws, len(one.values)) * between
    return Weighed(split, copies, each, value, variance, float(copies @ each) - float(value.sum()))


def _split(facts: Source, owned: Owners) -> Split:
    cards: list[Card] = []
    lines: list[int] = []
    card: list[int] = []
    slot: list[int] = []
    share: list[float] = []
    for place, (line, own) in enumerate(zip(facts.lines, owned.cards, strict=True)):
        for one, shares in zip(line.cards, own, strict=True):
            for owner, part in shares:
                card.append(len(cards))
                slot.append(owner)
                share.append(part)
            cards.append(one)
            lines.append(place)
    return Split(cards, np.array(lines), np.array(card, int), np.array(slot, int), np.array(share, float))


def _each(facts: Source, split: Split) -> Floats:
    """The value of a copy of each card: by prices, else by its kind and the demand for who is on it."""
    worth = facts.of(VALUATION)
    if not isinstance(worth, Unknown):
        return np.array([value for line in worth.lines for value in line.expected])
    demand, content = facts.season.demand or {}, facts.rules.slots.content
    found = []
    for one in split.cards:
        wanted = [
            demand[key].demand if (key := text.key(name)) in demand else _TYPICAL for name in one.subjects
        ]
        mean = sum(wanted, Decimal(0)) / len(wanted) if wanted else _TYPICAL
        found.append(float(content[one.kind] * mean / _TYPICAL))
    return np.array(found)


def _shares(category: Category, cards: int) -> Floats:
    """The share of each card in a draw whose values are the places of its cards."""
    weights = np.asarray(category.weights, dtype=np.float64)
    places = np.asarray(category.values, dtype=np.intp)
    return np.bincount(places, weights=weights / weights.sum(), minlength=cards).astype(np.float64)
