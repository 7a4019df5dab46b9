"""The section on the edition earlier: what a release has and costs against the edition before it."""

from __future__ import annotations

from rating.facts import economics
from rating.facts.earlier.compute import earlier
from rating.facts.earlier.tables import shown
from rating.facts.earlier.tell import lead, told
from rating.facts.earlier.value import Earlier
from rating.facts.plain import Unknown
from rating.facts.section import Section, Source


def _computed(facts: Source) -> Earlier | Unknown:
    return earlier(facts.files, facts.of(economics.SECTION), facts.before, currency=facts.rules.currency)


def _has_prices(value: Earlier | Unknown) -> bool:
    return isinstance(value, Earlier)


SECTION = Section(
    key="earlier",
    value=Earlier,
    compute=_computed,
    lead=lead,
    tell=told,
    tables=shown,
    has_prices=_has_prices,
)
