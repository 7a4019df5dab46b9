"""The section on opening: what a box feels like pack by pack, as far as it can be counted."""

from __future__ import annotations

from rating.facts.opening.tables import shown
from rating.facts.opening.tell import lead, told
from rating.facts.opening.value import Opening
from rating.facts.plain import Unknown
from rating.facts.section import Lasting, Section, by_format


def _lasting(facts: Lasting) -> Opening | Unknown:
    from rating.facts.opening.compute import opening  # loads scipy

    return opening(facts.files.sheet.formats, facts.lines, facts.collations)


SECTION = Section(
    key="opening",
    value=Opening,
    lasting=_lasting,
    lead=lead,
    tell=told,
    tables=shown,
    answer=by_format("opening"),
)
