"""Files that are read without harm: ordinary ones, inside the season that they are part of.

A pipe keeps a reader waiting for ever, a device never ends, and a link can lead to a file that nobody meant.
"""

from __future__ import annotations

import stat
from pathlib import Path

from rating.errors import RatingError

_SEASON = "season.toml"
_KINDS = (
    (stat.S_ISDIR, "a folder", "move the folder away"),
    (stat.S_ISFIFO, "a pipe", "put an ordinary file in its place"),
    (stat.S_ISSOCK, "a socket", "put an ordinary file in its place"),
    (stat.S_ISCHR, "a device", "put an ordinary file in its place"),
    (stat.S_ISBLK, "a device", "put an ordinary file in its place"),
)


def hold(path: Path, *, file: str = "") -> None:
    """See that a file is an ordinary one and, where it is part of a season, does not lead out of it.

    A file that is missing passes, as does one that cannot be looked at: who reads it tells so.

    Raises
    ------
    RatingError
        if it is something else
    """
    try:
        mode = path.stat().st_mode
        is_link = path.is_symlink()
    except OSError:
        return
    name = file or path.name
    for is_one, what, fix in _KINDS:
        if is_one(mode):
            raise RatingError(f"this is {what}, not a file", where=name, fix=fix)
    if is_link and (season := _season_of(path)) and not path.resolve().is_relative_to(season.resolve()):
        raise RatingError(
            f"this is a link to {path.resolve()}, outside the season",
            where=name,
            fix="copy the file into the season",
        )


def _season_of(path: Path) -> Path | None:
    return next((one for one in path.absolute().parents if (one / _SEASON).exists()), None)
