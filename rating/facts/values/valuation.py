"""What each single card is worth, beside the section: a working value that other sections share."""

from __future__ import annotations

from decimal import Decimal

from rating.facts import economics, scarcity
from rating.facts.economics.value import Economics
from rating.facts.plain import Unknown
from rating.facts.section import Source, Working
from rating.facts.values.value import Valuation


def _valued(facts: Source) -> Valuation | Unknown:
    from rating.facts.values.compute import valuation  # loads scipy

    return valuation(
        facts.files.sales,
        facts.lines,
        facts.of(scarcity.SECTION),
        facts.season,
        released_on=facts.released_on,
        as_of=facts.as_of,
        donors=facts.donors,
        wanted_before=lambda: facts.wanted_before,
        box=lambda: _box(facts),
        carried_on=facts.carried_on,
    )


def _box(facts: Source) -> Decimal | None:
    """What the headline box goes for, None where it is not known."""
    costs = facts.of(economics.SECTION)
    return costs.main.box_price if isinstance(costs, Economics) and costs.main else None


VALUATION = Working("valuation", _valued)
