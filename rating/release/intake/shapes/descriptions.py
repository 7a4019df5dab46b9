"""Cards that a stock list tells in a cell: 'Shale insert First Bend no. FB1, Ada Quill, Dragons, 60 made'."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rating.release.intake import days, kinds, looks, words
from rating.release.intake.shapes.rows import part
from rating.release.intake.sheet_kinds import ASIDE, CARD_LIST, KEY
from rating.release.intake.values import Grid, Row

_ROLES = ("subset", "number", "subject", "team", "kind", "note")
_MARKED = re.compile(
    r"(?:\b(?:card\s+)?(?:no|nr|num|number)\b\.?:?\s*|#\s?|\bcard\s+(?=[A-Z]{0,6}-?\d))"
    r"(?P<number>[^\W_]{1,6}[-.][A-Z]{1,6}\d{0,2}|[^\W\d_]{0,6}[-. ]?\d{1,4}[a-z]?)(?![\w/])",
    re.IGNORECASE,
)
_CODED = re.compile(r"(?<![\w/-])(?P<number>[A-Z]{1,6}[-.]?\d{1,4}[a-z]?|\d{1,3})(?=\s+[^\W\d_])")
_SEGMENT = re.compile(r"\s*(?:[,;|\n()\[\]]|\s[-–—/]\s)\s*")
_SERIAL = re.compile(r"(?<![\d/])\d{1,4}/\d{1,4}(?![\d/])")
_YEAR = re.compile(r"(?:19|20)\d\d\Z")
_LEAST, _LONGEST = 6, 300
_LONG_LEAD, _MOST_NUMBERS = 80, 3
_FAR = date(2100, 1, 1)


@dataclass(frozen=True, slots=True)
class _Told:
    """What a cell tells of a card: the words before its number, and what follows."""

    row: Row
    lead: str
    number: str
    subject: str
    team: str
    note: str


def parts(grid: Grid) -> list[Grid]:
    """The cards that a column of descriptions tells, and the rows beside them; nothing where none does."""
    width = max(len(row.cells) for row in grid.rows)
    if len(grid.rows) < _LEAST or _has_sales(grid, width):
        return []
    for place in range(width):
        told = _column(grid, place)
        if told:
            return _parts(grid, told)
    return []


def _has_sales(grid: Grid, width: int) -> bool:
    """Whether a column holds money or days, as lists of sales have and lists of cards have not."""
    for place in range(width):
        cells = [cell for row in grid.rows[:200] if (cell := row.cell(place))]
        money = sum(bool(re.match(r"[$€£¥]|\d+[.,]\d\d\Z", cell)) for cell in cells)
        dates = sum(len(cell) < 30 and days.read_day(cell, _FAR) is not None for cell in cells)
        serials = sum(bool(_SERIAL.search(cell)) for cell in cells)
        if max(money, dates, serials) * 3 > len(cells) or place in {p for r in grid.rows for p in r.dates}:
            return True
    return False


def _column(grid: Grid, place: int) -> list[_Told]:
    cells = [(row, cell) for row in grid.rows if (cell := row.cell(place))]
    if len(cells) < _LEAST or sum(len(cell) > 18 for _, cell in cells) * 3 < 2 * len(cells):
        return []
    for pattern in (_MARKED, _CODED):
        told = [one for row, cell in cells if (one := _read(row, cell, pattern)) is not None]
        teamed = sum(bool(one.team) for one in told)
        cards = {(one.lead, one.number) for one in told}
        if len(told) * 10 >= 7 * len(cells) and teamed * 2 > len(told) and len(cards) * 10 > 9 * len(told):
            led = sum(bool(one.lead) and len(one.lead) < _LONG_LEAD for one in told)
            return told if led * 10 >= 9 * len(told) else []
    return []


def _read(row: Row, cell: str, pattern: re.Pattern[str]) -> _Told | None:
    """The card that a cell describes, None where it describes none."""
    if len(cell) > _LONGEST:
        return None
    if sum(1 for _ in zip(pattern.finditer(cell), range(4), strict=False)) > _MOST_NUMBERS:
        return None  # cards that run on
    for found in pattern.finditer(cell):
        if _YEAR.match(found["number"]):
            continue
        segments = [one for one in _SEGMENT.split(cell[found.end() :].lstrip(" .:,;-–—")) if one]
        if segments and looks.is_person(segments[0]):
            lead = cell[: found.start()].strip(" ,;:-–—|")
            team = segments[1] if len(segments) > 1 else ""
            rest = segments[2:]
            if team and _says_facts(team) and rest:
                team, rest = rest[0], [team, *rest[1:]]
            return _Told(row, lead, found["number"].strip(), segments[0], team, "; ".join(rest))
    return None


def _says_facts(said: str) -> bool:
    """Whether a word speaks of the card and is no team."""
    return bool(words.NEWCOMER.fullmatch(said) or words.ROOKIE.fullmatch(said) or words.run_in(said))


def _parts(grid: Grid, told: Sequence[_Told]) -> list[Grid]:
    shared = _shared([one.lead.split() for one in told])
    rows = []
    for one in told:
        kind, name = _kind_and_name(" ".join(one.lead.split()[shared:]).strip(" ,;:-–—|"))
        rows.append(Row(one.row.number, (name, one.number, one.subject, one.team, kind, one.note)))
    taken = {one.row.number for one in told}
    others = [row for row in grid.rows if row.number not in taken]
    head = [row for row in others if row.number < rows[0].number]
    rest = [row for row in others if row.number >= rows[0].number]
    return [
        *part(grid, rows, kind=CARD_LIST, roles=_ROLES),
        *part(grid, head, kind=KEY),
        *part(grid, rest, kind=ASIDE, why="the row describes no card"),
    ]


def _splits_bracket(said: str) -> bool:
    return said.count("(") != said.count(")")


def _shared(leads: Sequence[Sequence[str]]) -> int:
    """How many words all leads begin with: the title of the product."""
    number = 0
    while all(len(lead) > number for lead in leads) and len({lead[number] for lead in leads}) == 1:
        number += 1
    return number


def _kind_and_name(lead: str) -> tuple[str, str]:
    """What words before a number say of the kind of the card, and its subset."""
    parts = lead.split()
    for place in range(len(parts), 0, -1):
        head, tail = " ".join(parts[:place]), " ".join(parts[place:])
        if kinds.are_kinds(head) and not _splits_bracket(head) and (")" not in head or head.endswith(")")):
            return head, tail or ("Base" if kinds.read(head).is_base else head)
    for place in range(1, len(parts)):
        head, tail = " ".join(parts[:place]), " ".join(parts[place:])
        if kinds.are_kinds(tail):
            return tail.strip("()"), head
    return "", lead or "Base"
