"""What stands beside a ranking on a day: releases to come, out and not reviewed, or under embargo."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from rating import standings
from rating.season.files import SeasonFiles

if TYPE_CHECKING:
    from rating.release.sheet import Sheet


def to_come(files: SeasonFiles, day: date) -> tuple[tuple[str, date | None], ...]:
    """Releases without a review whose date lies after a day or is not known, soonest first."""
    reviewed = standings.current(files.recorded.entries, as_of=day)
    coming = [
        (slug, sheet.released_on)
        for slug, sheet in files.sheets.items()
        if slug not in reviewed and (sheet.released_on is None or sheet.released_on > day)
    ]
    return tuple(sorted(coming, key=lambda release: (release[1] or date.max, release[0])))


def not_reviewed(files: SeasonFiles, day: date) -> tuple[str, ...]:
    """Releases that are out on a day and were never reviewed by then."""
    known = {entry.release for entry in files.recorded.entries if entry.published_on <= day.isoformat()}
    return tuple(
        slug
        for slug, sheet in files.sheets.items()
        if slug not in known and sheet.released_on is not None and sheet.released_on <= day
    )


def held_back(files: SeasonFiles, day: date) -> dict[str, date]:
    """The releases of which nothing may be published on a day yet, with the day their embargo ends."""
    ends = {slug: embargo_of(files, sheet) for slug, sheet in files.sheets.items()}
    return {slug: end for slug, end in ends.items() if end is not None and end > day}


def embargo_of(files: SeasonFiles, sheet: Sheet) -> date | None:
    """The day on which a release's embargo ends, None where it has none."""
    if sheet.embargo is not None:
        return sheet.embargo
    return sheet.released_on if files.config.embargo == "release date" else None
