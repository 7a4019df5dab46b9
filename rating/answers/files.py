"""The answers of commands that read or write files: `start`, `add`, `check` and `export`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from rating.answers import parts
from rating.errors import Problem


def started(season: str, written: Sequence[str]) -> dict[str, Any]:
    """A season that was made, with the files that were written."""
    return {"season": season, "written": list(written)}


def added(release: str, written: Sequence[str]) -> dict[str, Any]:
    """A release that was added, with the files that were written."""
    return {"release": release, "written": list(written)}


def checked(problems: Sequence[Problem]) -> dict[str, Any]:
    """Everything that is wrong, with its place and how to mend it."""
    return {"problems": [parts.problem(one) for one in problems]}


def exported(written: Sequence[str], held_back: Mapping[str, date]) -> dict[str, Any]:
    """The files of an export, and the releases left out of it with the day their embargo ends."""
    return {"written": list(written), "held_back": {slug: day.isoformat() for slug, day in held_back.items()}}


def completion(shell: str, script: str, install: str) -> dict[str, Any]:
    """What makes a shell complete words, and how it is put there for good."""
    return {"shell": shell, "script": script, "install": install}
