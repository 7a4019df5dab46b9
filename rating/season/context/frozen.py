"""What the recorded reviews of a release settle for its next one, so that its grade stands still.

A sale of another release, or a price that changed since, must not move a recorded grade in silence.
"""

from __future__ import annotations

import dataclasses
from datetime import date
from typing import Any

from rating.facts.context import SeasonContext
from rating.facts.stored import season_of
from rating.season.recorded import Recorded
from rating.stage import STAGES

_LAUNCHED = STAGES[STAGES.index("launch") :]


def with_recorded_demand(plain: SeasonContext, recorded: Recorded, release: str) -> SeasonContext | None:
    """The season with who was wanted when a release was last recorded, None where no review kept that."""
    entry = recorded.current.get(release)
    kept = recorded.facts(entry) if entry else {}
    return season_of(kept, plain) if "demand" in kept else None


def carried_on(recorded: Recorded, release: str, stage: str) -> date | None:
    """The day as of which a release's recorded review at a stage carried prices over.

    None where there is no such review, or it carried nothing over.
    """
    entry = recorded.current.get(release)
    if entry is None or entry.stage != stage:
        return None
    kept = recorded.facts(entry).get("values") or {}
    told = entry.published_on if "unknown" in kept else kept.get("carried_on")
    return date.fromisoformat(told) if told else None


def with_class(plain: SeasonContext, recorded: Recorded, release: str, day: date) -> SeasonContext:
    """The season with the price class of a release's first review from launch on, if it has one by a day.

    It never changes, whatever becomes of prices and of the season's bands.
    """
    classes = (
        entry.price_class
        for entry in recorded.of(release)
        if entry.stage in _LAUNCHED and entry.published_on <= day.isoformat()
    )
    return dataclasses.replace(plain, frozen_class=next(filter(None, classes), ""))


def launch_facts(recorded: Recorded, release: str, *, until: date) -> dict[str, Any] | None:
    """The facts that the last launch review up to a day was made from, None where there is none."""
    launched = [
        entry
        for entry in recorded.of(release)
        if entry.published_on <= until.isoformat() and entry.stage == "launch" and not entry.withdrawn
    ]
    return recorded.facts(launched[-1]) if launched else None
