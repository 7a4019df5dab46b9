"""What a person said, or an earlier release showed, that the columns of a table hold.

A layout is known by its headings. What is kept of it goes before what headings and contents say, and what
release.toml says under [columns] goes before both.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from rating import text
from rating.errors import RatingError
from rating.release.checklist import CHECKLIST
from rating.release.intake import words
from rating.release.intake.columns import PERSONAL, ROLES
from rating.release.intake.values import Grid, Question, SeasonWords, SheetReading

NOTHING = "nothing"
# columns of checklist.csv that a person can name, by the role that reads them
_COLUMNS = {name: name for name in CHECKLIST.names} | {
    "subjects": "subject",
    "forename": "first",
    "surname": "last",
    "teams": "team",
    "parallel": "parallel",
    "parallels": "parallels",
}
_NAMES = ("subset", "kind", "subjects", "teams", "forename", "surname", "parallel", "parallels")
_MARKS = ("rookie", "signed", "relic", "variation", "redemption")
_LETTER = re.compile(r"[^\W\d_]|[x✓✔*•]", re.IGNORECASE)
_SHOWN = 3
_WIDE = 40


def letters(place: int) -> str:
    """A column as a spreadsheet program names it: 0 is A, 26 is AA."""
    found = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        found = chr(65 + rest) + found
    return found


def fingerprint(headings: Sequence[str]) -> tuple[str, ...]:
    """What a layout is known by: its headings as compared; empty where there are fewer than two."""
    keys = [words.header_key(one) for one in headings]
    while keys and not keys[-1]:
        keys.pop()
    return tuple(keys) if sum(map(bool, keys)) > 1 else ()


def about(headings: Sequence[str], place: int, width: int) -> str:
    """What names a column in a question: its heading, with its letter where others are headed alike.

    Without any headings it is the letter, of so many columns.
    """
    if not any(headings):
        return f"column {letters(place)} of {width}"
    title = headings[place] if place < len(headings) else ""
    if not title:
        return f"column {letters(place)}"
    key = words.header_key(title)
    alike = sum(words.header_key(one) == key for one in headings)
    return f"{title} in column {letters(place)}" if alike > 1 else title


@dataclass(frozen=True, slots=True)
class Told:
    """The roles that are told of columns: kept with the layout, answered, and named under [columns]."""

    season: SeasonWords = field(default_factory=SeasonWords)
    named: Mapping[str, str] = field(default_factory=dict)

    @classmethod
    def by(cls, season: SeasonWords) -> Told:
        """What a season tells."""
        named = {words.header_key(one): role for role, usual in season.columns.items() for one in usual}
        return cls(season, named)

    def of(self, headings: Sequence[str], width: int) -> dict[int, str]:
        """The roles of a table's columns by place, as far as they are told; NOTHING for one to leave out."""
        found: dict[int, str] = {}
        answered: dict[int, str] = {}
        if kept := self.season.layouts.get(fingerprint(headings)):
            found = {place: role for place, role in enumerate(kept) if role}
        for place in range(max(width, len(headings))):
            said = self.season.answers.get(question_id(about(headings, place, width)), "")
            role = _COLUMNS.get(said, said)
            if role == NOTHING or (role in _COLUMNS.values() and role not in answered.values()):
                answered[place] = role
            elif role in answered.values():
                answered[place] = NOTHING  # two columns cannot hold the same; the first does
        taken = {role for role in answered.values() if role != NOTHING}
        found = {place: role for place, role in found.items() if role not in taken} | answered
        for place, heading in enumerate(headings):
            if heading and (named := self.named.get(words.header_key(heading))):
                found[place] = named
        once = Counter(role for role in found.values() if role != NOTHING)
        return {place: role for place, role in found.items() if once[role] < 2}


def question_id(column: str) -> str:
    """The id of the question what a column holds."""
    return Question(file="", sheet="", row=None, what="", meanwhile="", topic="column", about=column).id


def says_nothing(cells: Sequence[str]) -> bool:
    """Whether a column can say nothing of its cards: the same in all rows, or a count of the rows."""
    numbers = [int(cell) for cell in cells if cell.isdecimal() and len(cell) < 8]
    steps = sum(b - a in {0, 1} for a, b in pairwise(numbers))  # a row that stands there twice counts once
    is_running = steps * 10 >= 9 * (len(numbers) - 1) and len(set(numbers)) * 5 >= 4 * len(numbers)
    is_count = len(numbers) == len(cells) and is_running
    return len(cells) > 3 and (len(set(cells)) == 1 or is_count)


def question(
    grid: Grid,
    headings: Sequence[str],
    place: int,
    width: int,
    rows: Sequence[int],
    *,
    cells: Sequence[str],
    taken: Sequence[str],
) -> Question:
    """What a column holds, with some of its cells, and what no other column of the table was taken for."""
    name = letters(_place_in_file(grid, place, rows, cells))
    title = headings[place] if place < len(headings) else ""
    shown = text.listed([repr(text.printable(one[:_WIDE])) for one in list(dict.fromkeys(cells))[:_SHOWN]])
    column = f"the column {title!r}" if title else f"column {name}, which has no title,"
    lettered = [_LETTER.search(cell) is not None for cell in cells]
    # numbers alone are no names and no marks, and a column with '?' in it names nothing
    barred = () if all(lettered) else _NAMES if any(lettered) else _NAMES + _MARKS
    return Question(
        file=grid.file,
        sheet=grid.sheet,
        row=rows[0],
        what=f"What does {column} hold? It has {shown}.",
        meanwhile="left out",
        topic="column",
        about=about(headings, place, width),
        choices=(
            *(one for one, role in _COLUMNS.items() if role not in taken and one not in barred),
            NOTHING,
        ),
        cells=tuple(f"{name}{row}" for row in rows),
        weight=len(cells),
    )


def _place_in_file(grid: Grid, place: int, rows: Sequence[int], cells: Sequence[str]) -> int:
    """Where a column stands in its file: a table may be read with columns parted, or without those beside."""
    numbered = {row.number: row for row in grid.rows}
    lines = [(numbered[one], cell) for one, cell in zip(rows, cells, strict=True) if one in numbered]
    width = max((len(row.cells) for row, _ in lines), default=0)
    alike = [sum(row.cell(one) == cell for row, cell in lines) for one in range(width)]
    return max(range(width), key=lambda one: (alike[one], -abs(one - place))) if any(alike) else place


def to_keep(reading: SheetReading) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The layout of a checklist that is kept: its headings, and the role of each column that is sure.

    Both are empty where the headings do not tell the layout apart, or nothing in it is sure.
    """
    headings = tuple(one.heading for one in reading.columns)
    sure = tuple(one.role if one.how_sure == "sure" else "" for one in reading.columns)
    return (headings, sure) if fingerprint(headings) and any(sure) else ((), ())


def layouts_from(listed: Any, *, file: str) -> dict[tuple[str, ...], tuple[str, ...]]:
    """The layouts that a [[layouts]] table lists, by their fingerprints.

    Raises
    ------
    RatingError
        if one is of another shape, or names a role that there is none of
    """
    found: dict[tuple[str, ...], tuple[str, ...]] = {}
    if listed is None:
        return found
    fix = 'write it as headings = ["Card", "Skater"] and columns = ["number", "subject"], under [[layouts]]'
    if not isinstance(listed, list) or not all(isinstance(one, Mapping) for one in listed):
        raise RatingError("layouts is not a list of tables", where=file, fix=fix)
    known = {"", NOTHING, *ROLES, *(f"{one} 2" for one in PERSONAL)}
    for one in listed:
        headings, columns = one.get("headings"), one.get("columns")
        if not all(
            isinstance(each, list) and all(isinstance(x, str) for x in each) for each in (headings, columns)
        ):
            raise RatingError("a layout needs headings and columns", where=file, fix=fix)
        if strange := [role for role in columns if role not in known]:
            raise RatingError(
                f"a layout's column is {strange[0]!r}",
                where=file,
                fix=f"use one of {', '.join(sorted(known - {''}))}, or leave it blank",
            )
        found[fingerprint(headings)] = tuple(columns)
    return found
