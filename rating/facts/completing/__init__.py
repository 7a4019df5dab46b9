"""The section on completing: what it takes to have every base card, in packs, boxes and money."""

from __future__ import annotations

from rating.facts import economics
from rating.facts.completing.tables import shown
from rating.facts.completing.tell import lead, told
from rating.facts.completing.value import Completing
from rating.facts.plain import Unknown
from rating.facts.section import Section, Source, always, by_format


def _computed(facts: Source) -> Completing | Unknown:
    from rating.facts.completing.compute import base_set  # loads scipy
    from rating.facts.completing.singles import price_of_common

    return base_set(
        facts.files.sheet.formats,
        facts.lines,
        facts.collations,
        facts.of(economics.SECTION),
        price_of_common(facts.files.sales, facts.lines, facts.rules, as_of=facts.as_of),
        facts.rules.buying,
    )


SECTION = Section(
    key="completing",
    value=Completing,
    compute=_computed,
    lead=lead,
    tell=told,
    tables=shown,
    answer=by_format("completing"),
    has_prices=always,
)
