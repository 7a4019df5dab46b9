"""Where a season is and which releases it has, by names alone: light enough to ask while somebody types."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from rating import text

SEASON_FILE = "season.toml"
RELEASES = "releases"
VARIABLE = "BOXWRIGHT_SEASON"


def named(given: Path | None, *, environment: Mapping[str, str]) -> Path | None:
    """The folder that a person names as the season: the one given, else that of BOXWRIGHT_SEASON."""
    return given or (Path(environment[VARIABLE]) if environment.get(VARIABLE) else None)


def search(given: Path | None, *, here: Path, environment: Mapping[str, str]) -> Path | None:
    """The season folder that was named, else this folder or one above it; None where there is none."""
    asked = named(given, environment=environment)
    for folder in (here, *here.parents) if asked is None else (asked,):
        if (folder / SEASON_FILE).is_file():
            return folder
    return None


def slugs(season: Path) -> list[str]:
    """The releases of a season, by their folders' names; a folder with another name is passed over."""
    folder = season / RELEASES
    if not folder.is_dir():
        return []
    return sorted(one.name for one in folder.iterdir() if one.is_dir() and not text.why_no_slug(one.name))
