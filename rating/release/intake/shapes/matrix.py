"""A row a person and a column a subset, the number of the card where they meet."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from rating.release.intake import looks, words
from rating.release.intake.shapes.rows import part
from rating.release.intake.sheet_kinds import CARD_LIST, KEY
from rating.release.intake.values import Grid, Row
from rating.release.intake.words import Columns

_ROLES = ("subset", "number", "subject", "team", "note")
_MARK = re.compile(r"(?P<number>\S.*?)\s*(?P<mark>[(\[][^()\[\]]{1,20}[)\]]|[*†‡§^+]+)\Z")
_LETTERED = re.compile(r"(?P<stem>[^\W\d_]{1,6})[\s.-]+[A-Z]{1,2}\Z")
_COLUMNS = Columns("checklist")
_LEAST = 2


def parts(grid: Grid) -> list[Grid]:
    """The cards of a matrix of persons and subsets; nothing where the sheet is none."""
    place = next((at for at, row in enumerate(grid.rows[:12]) if _could_head(row)), None)
    if place is None:
        return []
    head, body = grid.rows[place], [row for row in grid.rows[place + 1 :] if len(row.filled) > 1]
    persons = _persons(head, body)
    if persons < 0 or len(body) < _LEAST:
        return []
    numbered = _numbered(head, body, persons)
    if len(numbered) < _LEAST:
        return []
    rest = {at: _COLUMNS.name(cell) for at, cell in enumerate(head.cells) if at not in numbered}
    team = next((at for at, name in rest.items() if name == "team"), -1)
    above = [row for row in grid.rows[:place] if len(row.filled) == 1]
    of_all = above[-1].text if team < 0 and above else grid.sheet if team < 0 else ""
    rows: list[Row] = []
    for row in grid.rows[place + 1 :]:
        rows += _cards(row, numbered, persons, team, of_all) or [row]
    return [
        *part(grid, rows, kind=CARD_LIST, roles=_ROLES),
        *part(grid, grid.rows[: place + 1], kind=KEY),
    ]


def _could_head(row: Row) -> bool:
    return len(row.filled) > _LEAST and not any(map(looks.is_number, row.filled))


def _persons(head: Row, body: Sequence[Row]) -> int:
    """The column of persons, -1 where there is none."""
    for place in range(len(head.cells)):
        cells = [row.cell(place) for row in body]
        told = sum(map(looks.is_person, cells))
        if cells and told * 10 >= 8 * len(cells) and len(set(cells)) * 10 >= 8 * len(cells):
            return place
    return -1


def _numbered(head: Row, body: Sequence[Row], persons: int) -> Mapping[int, str]:
    """The columns of card numbers with the subsets over them."""
    found: dict[int, str] = {}
    for place, heading in enumerate(head.cells):
        if place == persons or not heading or _COLUMNS.name(heading) not in {"", "note"}:
            continue
        cells = [_MARK.sub(r"\g<number>", cell) for row in body if (cell := row.cell(place))]
        if not cells or not _are_codes(cells) or len(set(cells)) < len(cells):
            continue
        if looks.CODED.match(heading):
            continue  # it only counts the columns
        if heading[:1].isalpha() and not any(words.run_in(cell) for cell in cells):
            found[place] = heading
    if all(row.cell(place) for row in body for place in found):
        return {}  # not everybody is in every subset: one of the columns counts rows
    lettered = sum(any(mark.isalpha() for row in body for mark in row.cell(place)) for place in found)
    return found if lettered >= len(found) - 1 and lettered else {}


def _are_codes(cells: Sequence[str]) -> bool:
    """Whether cells are card numbers, or letters behind one and the same word: 'Cox A', 'Cox B'."""
    if all(map(looks.is_number, cells)):
        return True
    found = [_LETTERED.match(cell) for cell in cells]
    return all(found) and len({one["stem"] for one in found if one}) == 1


def _cards(row: Row, numbered: Mapping[int, str], persons: int, team: int, of_all: str) -> list[Row]:
    """A row a card that a person has."""
    found = []
    for place, subset in numbered.items():
        cell = row.cell(place)
        if not cell or not row.cell(persons):
            continue
        marked = _MARK.match(cell)
        number, mark = (marked["number"], marked["mark"]) if marked else (cell, "")
        club = row.cell(team) if team >= 0 else of_all
        found.append(Row(row.number, (subset, number, row.cell(persons), club, mark)))
    return found
