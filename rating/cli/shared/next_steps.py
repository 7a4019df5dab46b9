"""The command that one runs next, suggested once a command is done: where it helps, and one line."""

from __future__ import annotations

import shlex
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

Given = Mapping[str, Any]


class Step(NamedTuple):
    """A call without the name of the program, what it is good for, and the season it is about."""

    call: str
    why: str
    season: Path | None = None


def after(name: str, given: Given, *, is_refused: bool) -> Step | None:
    """What to run after a command with the options it was given, None where nothing is suggested.

    Parameters
    ----------
    is_refused : whether it ended with errors in somebody's files
    """
    ways = _REFUSED if is_refused else _DONE
    step = ways[name](given) if name in ways else None
    return step if step is None or step.season else step._replace(season=given.get("season_folder"))


def line(step: Step, room: int | None) -> str:
    """A step as it is told, in one line: what it is good for is left out where there are no columns for it.

    `room` is the number of columns, None where nothing limits them.
    """
    season = f" --season {shlex.quote(str(step.season))}" if step.season else ""
    call = f"Next: boxwright {step.call}{season}"
    whole = f"{call}   ({step.why})"
    return whole if room is None or len(whole) <= room else call


def _checked(given: Given) -> Step | None:
    if not given["release"] or given["repair"]:
        return None
    return Step(f"grade {given['release']}", "a grade with a reason for every score")


def _facts(given: Given) -> Step | None:
    return None if given["of"] else Step(f"grade {given['release']}", "a grade with a reason for every score")


def _graded(given: Given) -> Step | None:
    """Recording it where it never was; the place where it was just now."""
    if given["record"]:
        return Step("standings", "where it stands now")
    from rating.season import folder
    from rating.season.files import SeasonFiles

    season = folder.find(given["season_folder"], here=Path.cwd(), environment=folder.default_environment())
    if given["release"] in SeasonFiles(season).recorded.current:
        return None
    return Step(f"grade {given['release']} --record", "keeps it in the ledger")


def _ranked(given: Given) -> Step | None:
    asks = ("as_of", "since", "stage", "price_class", "audit", "ranges", "landing", "between", "restate")
    return None if any(given[one] for one in asks) else Step("standings --ranges", "how sure each place is")


_DONE: Mapping[str, Callable[[Given], Step | None]] = {
    "demo": lambda given: Step("facts halyard", "what a big release of it offers", given["into"]),
    "start": lambda given: Step("add deep-harbour", "once season.toml has your teams", given["folder"]),
    "add": lambda given: Step(f"check {given['release']}", "once release.toml is filled in"),
    "intake": lambda given: Step(f"check {given['release']}", "whether the tables hold together"),
    "price": lambda given: Step(f"grade {given['release']} --record", "keeps the new price line"),
    "opened": lambda given: Step(
        f"facts {given['release']} --section chances", "your boxes against the odds"
    ),
    "check": _checked,
    "facts": _facts,
    "grade": _graded,
    "standings": _ranked,
    "ledger withdraw": lambda _: Step("standings", "what stands without it"),
    "criteria list": lambda _: Step("criteria show CRITERION", "what its scores look like"),
    "doctor": lambda _: Step("check", "looks at the files themselves"),
}
_REFUSED: Mapping[str, Callable[[Given], Step | None]] = {
    "check": lambda _: Step("explain CODE", "says more of a code in brackets"),
    "intake": lambda _: Step("explain CODE", "says more of a code in brackets"),
}
