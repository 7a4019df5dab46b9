"""The section on values: what the cards are worth to a seller, and what that rests on."""

from __future__ import annotations

from rating.facts.plain import Unknown
from rating.facts.section import Section, Source, always
from rating.facts.values.tables import shown
from rating.facts.values.tell import lead, told
from rating.facts.values.valuation import VALUATION
from rating.facts.values.value import Values


def _computed(facts: Source) -> Values | Unknown:
    found = facts.of(VALUATION)
    return found if isinstance(found, Unknown) else found.values


SECTION = Section(
    key="values",
    value=Values,
    compute=_computed,
    lead=lead,
    tell=told,
    tables=shown,
    has_prices=always,
)
