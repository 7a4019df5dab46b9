"""The section on returns: what a box and a case of each format bring, against their price."""

from __future__ import annotations

from rating.facts import economics, scarcity
from rating.facts.plain import Unknown
from rating.facts.returns.tables import shown
from rating.facts.returns.tell import lead, since_launch, told
from rating.facts.returns.value import Returns
from rating.facts.section import Section, Source, always, by_format
from rating.facts.values.valuation import VALUATION


def _computed(facts: Source) -> Returns | Unknown:
    worth = facts.of(VALUATION)
    if isinstance(worth, Unknown):
        return worth
    from rating.facts.returns.compute import returns  # loads scipy

    return returns(
        facts.of(economics.SECTION),
        facts.lines,
        facts.collations,
        [line.expected for line in worth.lines],
        facts.of(scarcity.SECTION),
        worth,
        buying=facts.rules.buying,
    )


SECTION = Section(
    key="returns",
    value=Returns,
    compute=_computed,
    lead=lead,
    tell=told,
    tables=shown,
    answer=by_format("returns"),
    has_prices=always,
    since=since_launch,
)
