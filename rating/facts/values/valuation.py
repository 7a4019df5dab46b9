"""What each single card is worth, beside the section: a working value that other sections share."""

from __future__ import annotations

from rating.facts import scarcity
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
        carried_on=facts.carried_on,
    )


VALUATION = Working("valuation", _valued)
