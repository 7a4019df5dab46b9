"""Adding teams to season.toml, comments and order kept."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rating import tomlfile
from rating.release import swap
from rating.release.intake.values import TeamShown
from rating.season import folder


def add(season: Path, teams: Sequence[TeamShown]) -> None:
    """Add teams at the end of season.toml's list.

    Raises
    ------
    RatingError
        if the file is damaged or cannot be written
    """
    import tomlkit  # loaded for an edit only

    path = season / folder.SEASON_FILE
    document = tomlkit.parse(tomlfile.read_text(path))
    if "teams" not in document:
        document["teams"] = tomlkit.aot()
    for one in teams:
        table = tomlkit.table()
        for name in ("name", "division", "code"):
            if value := getattr(one, name):
                table[name] = value
        document["teams"].append(table)
    swap.write_whole(path, tomlkit.dumps(document).encode())
