"""help_lines.toml: where people find help with spending or gambling, looked up by the host and dated.

A list shipped with the program would be wrong somewhere and stale everywhere. An export without any goes out
all the same, and `check` remarks it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from rating import tomlfile
from rating.errors import Problem, RatingError, Refused
from rating.tomlfile import TomlTable

FILE = "help_lines.toml"
# how a template of a season begins, and what mends one that says nothing
_LOOK_UP = "look up who helps where your viewers live, and write name, where, contact and for of each"


@dataclass(frozen=True, slots=True, kw_only=True)
class HelpLine:
    """One place that helps: its name, for whom (a country or a place), how it is reached, and with what."""

    name: str
    where: str
    contact: str
    what_for: str

    def __str__(self) -> str:
        return f"{self.name} ({self.where}), {self.contact}: {self.what_for}"


@dataclass(frozen=True, slots=True, kw_only=True)
class HelpLines:
    """What help_lines.toml holds: the places that help, and the day they were looked up."""

    as_of: date | None
    lines: tuple[HelpLine, ...]

    @property
    def sentence(self) -> str:
        """All of them with their day, '' where there are none."""
        if not self.lines or self.as_of is None:
            return ""
        return f"Help, as looked up on {self.as_of.isoformat()}: {'; '.join(map(str, self.lines))}."


def read(season: Path) -> HelpLines | None:
    """The help lines of a season's folder, None where there is no such file.

    Raises
    ------
    rating.errors.RatingError
        with every problem in the file
    """
    path = season / FILE
    if not path.exists():
        return None
    table = tomlfile.read(path)
    help_lines = HelpLines(
        lines=tuple(_line(inner) for inner in table.tables("lines")),
        as_of=table.day("as_of", required="lines" in table.values),
    )
    table.finish()
    tomlfile.finish(table)
    return help_lines


def _line(table: TomlTable) -> HelpLine:
    line = HelpLine(
        name=table.text("name", required=True) or "",
        where=table.text("where", required=True) or "",
        contact=table.text("contact", required=True) or "",
        what_for=table.text("for", required=True) or "",
    )
    table.finish()
    return line


def problems(season: Path, *, today: date) -> list[Problem]:
    """What is wrong with a season's help lines; remarks where there are none, or old ones."""
    try:
        help_lines = read(season)
    except Refused as fault:
        return list(fault.problems)
    except RatingError as fault:
        return [Problem(code="unreadable-file", file=FILE, what=fault.what, fix=fault.fix)]
    if help_lines is None or not help_lines.lines:
        what = "names no place yet that helps" if help_lines else "is missing"
        return [_remark("no-help-lines", f"{FILE} {what}, so nothing you export names one", _LOOK_UP)]
    told = help_lines.as_of or today
    again = "look them up again, and put the new day into as_of"
    if told > today:
        return [_remark("help-lines-date", f"as_of is {told.isoformat()}, a day still to come", again)]
    # a year on, day by day: 29 February is a year old on 1 March
    if (today.year - 1, today.month, today.day) > (told.year, told.month, told.day):
        what = f"the help lines were looked up on {told.isoformat()}, over a year ago"
        return [_remark("help-lines-date", what, again)]
    return []


def _remark(code: str, what: str, fix: str) -> Problem:
    return Problem(code=code, file=FILE, what=what, fix=fix, severity="remark")
