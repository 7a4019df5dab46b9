"""The best slot that is asked for: what advice to a break buyer goes by."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from rating.facts.advice.known import Asked
from rating.facts.breaks.asked import with_asked
from rating.facts.breaks.compute import broken_down
from rating.facts.facts import Facts
from rating.facts.values.value import Values
from rating.release.market import SlotPrice


def best_slot(facts: Facts, prices: Iterable[SlotPrice]) -> Asked | None:
    """The slot of one case of the headline format, by team, with most worth for what is asked for it.

    None where no slot of it is asked for, or what its cards are worth is not known.

    Parameters
    ----------
    prices : those up to the day
    """
    given = [one for one in prices if one.slot and one.format == facts.headline]
    collation = facts.collations.get(facts.headline)
    if not given or not isinstance(facts.values, Values) or not any(map(any, _worth(facts.values))):
        return None
    if collation is None or not collation.draws or not collation.boxes_per_case:
        return None
    found = with_asked(broken_down(facts), given, facts.season.team_names())
    known = [
        Asked(slot=slot.slot, worth=slot.worth, asked=slot.asked)
        for slot in found.slots
        if slot.asked and slot.worth is not None
    ]
    return max(known, key=lambda one: Fraction(one.worth) / Fraction(one.asked), default=None)


def _worth(values: Values) -> Iterable[tuple[float, ...]]:
    return (line.values for line in values.lines)
