"""The section on people: the season's teams, its rookie class, and whom collectors want."""

from __future__ import annotations

from rating.facts.people.compute import people
from rating.facts.people.tables import shown
from rating.facts.people.tell import lead, told
from rating.facts.people.value import People
from rating.facts.plain import Unknown
from rating.facts.section import Section, Source


def _computed(facts: Source) -> People | Unknown:
    return people(
        facts.cards,
        facts.season,
        released_on=facts.released_on,
        as_of=facts.as_of,
        lines=facts.lines,
        collation=facts.collations.get(facts.headline),
    )


SECTION = Section(key="people", value=People, compute=_computed, lead=lead, tell=told, tables=shown)
