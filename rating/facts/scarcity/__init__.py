"""The section on scarcity: how many packs and copies exist, and which odds do not fit."""

from __future__ import annotations

from rating.facts.plain import Unknown
from rating.facts.scarcity.tables import shown
from rating.facts.scarcity.tell import lead, told
from rating.facts.scarcity.value import Scarcity
from rating.facts.section import Lasting, Section


def _lasting(facts: Lasting) -> Scarcity | Unknown:
    from rating.facts.scarcity.compute import scarcity  # loads scipy

    release = facts.files
    return scarcity(
        release.sheet.formats, facts.lines, facts.packs, facts.collations, has_odds=bool(release.odds)
    )


SECTION = Section(key="scarcity", value=Scarcity, lasting=_lasting, lead=lead, tell=told, tables=shown)
