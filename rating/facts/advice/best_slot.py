"""The best slot that is asked for: what advice to a break buyer goes by."""

from __future__ import annotations

from fractions import Fraction

from rating.facts.advice.known import Asked
from rating.facts.breaks.asked import with_asked
from rating.facts.breaks.compute import broken_down
from rating.facts.economics.compute import landed_exactly
from rating.facts.plain import Unknown
from rating.facts.section import Source, Working
from rating.facts.values.valuation import VALUATION


def best_slot(facts: Source) -> Asked | None:
    """The slot of one case of the headline format, by team, with most worth for what it costs landed.

    None where no slot of it is asked for up to the day, or what its cards are worth is not known.
    """
    prices = [one for one in facts.files.slots or () if one.day <= facts.as_of]
    given = [one for one in prices if one.slot and one.format == facts.headline]
    worth, collation = facts.of(VALUATION), facts.collations.get(facts.headline)
    if not given or isinstance(worth, Unknown) or not any(any(line.worth) for line in worth.lines):
        return None
    if collation is None or not collation.draws or not collation.boxes_per_case:
        return None
    found = with_asked(broken_down(facts), given, facts.rules)
    known = [
        Asked(slot=slot.slot, worth=slot.worth, asked=slot.asked)
        for slot in found.slots
        if slot.asked and slot.worth is not None
    ]
    buying = facts.rules.buying
    return max(known, key=lambda one: Fraction(one.worth) / landed_exactly(one.asked, buying), default=None)


BEST_SLOT = Working("best_slot", best_slot)
