"""Where an export goes, and what is said once it is written."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rating.cli.shared import printing

if TYPE_CHECKING:
    from rating.season.season import Season


def folder(season: Season, into: Path | None) -> Path:
    """Where an export goes: where a person said, else a folder of the season for the day."""
    return into or season.path / "exports" / season.today.isoformat()


def told(season: Season, paths: list[Path], *, as_json: bool) -> None:
    """Say what was written, and which releases are left out of it."""
    from rating.answers import files
    from rating.season.folder import shown_paths

    shown = shown_paths(paths, Path.cwd())
    held = season.held_back()
    if as_json:
        printing.data(files.exported(shown, held))
    else:
        printing.wrote(shown)
    for slug, day in held.items():
        printing.remark(f"remark: {slug} is left out, it is under embargo until {day.isoformat()}")
