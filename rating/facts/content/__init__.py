"""The section on content: what the checklist holds, counted."""

from __future__ import annotations

from rating.facts.content.compute import content
from rating.facts.content.tables import shown
from rating.facts.content.tell import lead, told
from rating.facts.content.value import Content
from rating.facts.plain import Unknown
from rating.facts.section import Lasting, Section


def _lasting(facts: Lasting) -> Content | Unknown:
    return content(facts.files.cards, facts.files.parallels, facts.teams)


SECTION = Section(key="content", value=Content, lasting=_lasting, lead=lead, tell=told, tables=shown)
