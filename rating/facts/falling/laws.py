"""The one law by which the cards of a draw fall into packs, boxes and cases; all that counts goes by it.

- what falls by odds, or is spread over the packs, is independent from pack to pack: at most one a pack where
  there is one a pack or less on average, else any number (Poisson)
- what is promised for certain lies in packs of its unit that are as different as they can be, so that a whole
  unit holds it without fail
- what is promised on average only may be any number (Poisson)
- base cards fill each pack by itself: 5.3 a pack are five or six

Packs that are opened come from one box and one case as far as these reach. Common practice, no source, beyond
the binomial, Poisson and hypergeometric laws. Plain numbers, so that a look-up need load neither numpy nor
scipy; all terms are positive, so nothing cancels.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from rating.facts.falling.collation import Collation, Draw

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
    """

    unit: int
    sure: int
    more: float
    is_any: bool = False


def law(draw: Draw, collation: Collation) -> Law:
    """The law of a draw of a format."""
    packs = collation.packs_per_box
    if draw.certain:
        unit = {"pack": 1, "box": packs, "case": packs * (collation.boxes_per_case or 1)}[draw.per]
        sure, more = divmod(Fraction(draw.count), 1)
        return Law(unit, int(sure), float(more))
    each = draw.per_box / packs
    if draw.source == "rest":
        sure = math.floor(each + _HAIR)
        return Law(1, sure, max(0.0, each - sure))
    if draw.source == "average" or each > 1 + _HAIR:
        return Law(1, 0, each, is_any=True)
    return Law(1, 0, min(each, 1.0))


def none_in(one: Law, share: float, packs: int) -> float:
    """Chance that so many packs hold no wanted card, where each card is wanted with a chance of its own."""
    if one.is_any:
        return math.exp(-one.more * share * packs)
    whole, rest = divmod(packs, one.unit)
    return _power(_none(one, share, one.unit), whole) * _none(one, share, rest)


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
