"""The one law by which the cards of a draw fall into packs, boxes and cases; all that counts goes by it.

- what falls by odds, or is spread over the packs, is independent from pack to pack: at most one a pack where
  there is one a pack or less on average, else any number (Poisson)
- what is promised for certain lies in packs of its unit that are as different as they can be, so that a whole
  unit holds it without fail
- what is promised on average only may be any number (Poisson)
- base cards fill each pack by itself: 5.3 a pack are five or six, all different where all are as frequent

Each card of any other draw is drawn by itself, by copies, from a run so large that what is opened does not
change it. Draws are independent of each other. Packs that are opened come from one box and one case as far as
these reach. Common practice, no source, beyond the binomial, Poisson and hypergeometric laws. Plain numbers,
so that a look-up need load neither numpy nor scipy; all terms are positive, so nothing cancels.

`law` says it of one unit, `draws_in` of so many packs; chances, opening, returns, slots and completing go by
these. Two stand apart, and say so where they do: completing takes base cards of unlike frequency to fall
independently of each other, and returns draws from a known run without replacement where more than a
hundredth of it is opened.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from rating.facts.falling.collation import Collation, Draw
from rating.numerics.draws import Counts, Different, Draws, none_of

# one a pack by odds and packings is one but for the last bits of a float
_HAIR = 1e-9


class Law(NamedTuple):
    """How many cards of a draw fall, unit by unit, each unit independently of the others.

    unit
        packs that a unit has; 1 where packs are independent
    sure
        cards that are in each unit for certain, in packs as different as they can be
    more
        the chance of one card more in a unit; where `is_any`, the mean of any number of cards (Poisson)
    different
        how many different cards a pack draws from where it holds none of them twice, 0 where it may
    """

    unit: int
    sure: int
    more: float
    is_any: bool = False
    different: int = 0


def law(draw: Draw, collation: Collation) -> Law:
    """The law of a draw of a format."""
    packs = collation.packs_per_box
    if draw.certain:
        unit = {"pack": 1, "box": packs, "case": packs * (collation.boxes_per_case or 1)}[draw.per]
        sure, more = divmod(Fraction(draw.count), 1)
        return Law(unit, int(sure), float(more))
    if draw.source == "rest":
        base, part = in_pack(draw, collation)
        return Law(1, base, float(part), different=draw.different)
    each = draw.per_box / packs
    if draw.source == "average" or each > 1 + _HAIR:
        return Law(1, 0, each, is_any=True)
    return Law(1, 0, min(each, 1.0))


def in_pack(draw: Draw, collation: Collation) -> tuple[int, Fraction]:
    """How many base cards are in a pack for certain, and the chance of one more, exactly."""
    sure, more = divmod(draw.count / collation.packs_per_box, 1)
    return int(sure), more


def none_in(one: Law, share: float, packs: int) -> float:
    """Chance that so many packs hold no wanted card, where each card is wanted with a chance of its own."""
    if one.is_any:
        return math.exp(-one.more * share * packs)
    if one.different:
        wanted = share * one.different
        # a whole number of wanted cards is one but for the last bits of a float
        wanted = round(wanted) if abs(wanted - round(wanted)) < _HAIR else wanted
        sizes = Different(packs, one.sure, one.more).sizes
        return _power(math.fsum(p * none_of(size, wanted, one.different) for size, p in sizes), packs)
    whole, rest = divmod(packs, one.unit)
    return _power(_none(one, share, one.unit), whole) * _none(one, share, rest)


def draws_in(one: Law, packs: int) -> list[Draws]:
    """How many cards so many packs hold, as numbers of draws that are independent of each other."""
    if one.is_any:
        return [("poisson", one.more * packs)]
    if one.different:
        return [Different(packs, one.sure, one.more)]
    units, rest = divmod(packs, one.unit)
    found: list[Draws] = [one.sure * units] if one.sure * units else []
    if one.more and units:
        found.append(("binomial", units, one.more))
    if rest:
        chances = [0.0] * (one.sure + 2)
        for cards, chance in counts_in_unit(one, rest):
            chances[cards] += chance
        found.append(Counts(tuple(chances)))
    return found


def _power(none: float, times: int) -> float:
    return none**times if none > 0 else float(times == 0)


def _none(one: Law, share: float, opened: int) -> float:
    return math.fsum(chance * (1 - share) ** cards for cards, chance in counts_in_unit(one, opened))


def counts_in_unit(one: Law, opened: int) -> Iterator[tuple[int, float]]:
    """How many cards so many packs of one unit can hold, and the chance of each number.

    Parameters
    ----------
    one : a law that is not of any number
    opened : at most the packs of a unit
    """
    for cards, weight in ((one.sure, 1 - one.more), (one.sure + 1, one.more)):
        if not weight:
            continue
        each, seeded = divmod(cards, one.unit)
        for hits in range(max(0, opened + seeded - one.unit), min(seeded, opened) + 1):
            ways = math.comb(seeded, hits) * math.comb(one.unit - seeded, opened - hits)
            yield each * opened + hits, weight * (ways / math.comb(one.unit, opened))
