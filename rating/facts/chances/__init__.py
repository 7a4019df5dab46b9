"""The section on chances: how often cards fall, by format, and whether boxes really opened bear it out."""

from __future__ import annotations

from rating.facts.chances.tables import shown
from rating.facts.chances.tell import lead, told
from rating.facts.chances.value import Chances
from rating.facts.plain import Unknown
from rating.facts.section import Lasting, Section


def _lasting(facts: Lasting) -> Chances | Unknown:
    from rating.facts.chances.compute import chances  # loads scipy

    release = facts.files
    return chances(
        release.sheet.formats, facts.lines, facts.collations, release.opened, has_odds=bool(release.odds)
    )


SECTION = Section(key="chances", value=Chances, lasting=_lasting, lead=lead, tell=told, tables=shown)
