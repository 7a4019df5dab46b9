"""The tables of a part of a sheet: which rows head columns, and which rows stand below them."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from rating.release.intake import (
    looks,
    statements,
    words,
)
from rating.release.intake.parts import is_number
from rating.release.intake.values import Grid, Row
from rating.release.intake.words import Columns


def repeated_rows(grids: Sequence[Grid]) -> set[tuple[str, ...]]:
    """Rows of several words that stand among the first of more than one sheet, as headings do."""
    found = Counter(
        cells
        for grid in grids
        for cells in {row.cells for row in grid.rows[:_HEADING_ROWS] if len(row.filled) > 1}
    )
    return {cells for cells, sheets in found.items() if sheets > 1}


@dataclass(slots=True)
class Table:
    row: Row | None
    body: list[Row]
    key: object
    width: int
    roles: tuple[tuple[int, str], ...] = ()


def headed(
    part: Grid, tables: list[Table], columns: Columns, heads: Container[tuple[str, ...]]
) -> list[Table]:
    """The tables of a part; one without a header is read anew where a row of it heads another table."""
    if any(one.row is not None for one in tables):
        return tables
    known = {row.cells for row in part.rows[:_HEADING_ROWS] if row.cells in heads}
    return list(tables_of(part, columns, known)) if known else tables


def tables_of(
    grid: Grid, columns: Columns, heading: Container[tuple[str, ...]] = frozenset()
) -> Iterator[Table]:
    """The tables of a part of a sheet, by the rows that head cards or stand in `heading`."""
    rows = grid.rows
    if grid.roles:
        body = [row for row in rows if len(row.filled) > 1]
        yield Table(None, body, id(grid), 2, grid.roles)
        return
    _, explained = statements.legend_among(rows)
    legend = {row.number for row in explained}
    rows = tuple(row for row in rows if row.number not in legend)
    places: list[int] = []
    for i, row in enumerate(rows):
        is_first = not places and _has_cards_above(rows, i)  # where cards stand above, what heads them would
        if (
            row.cells in heading
            or is_header(row, columns)
            or (not is_first and _stands_above_cards(rows, i, columns) and not _goes_on_above(rows, i))
        ):
            places.append(i)
    known = {rows[i].cells for i in places}
    places = [i for i, row in enumerate(rows) if i in places or row.cells in known]
    heads: list[Row] = []
    for i, after in pairwise([*places, len(rows)]):
        row = rows[i]
        body = [one for one in rows[i + 1 : after] if len(one.filled) > 1]
        head = next((one for one in heads if _is_again(row, one)), row)
        heads.append(head)
        yield Table(row, body, tuple(words.header_key(cell) for cell in head.cells), len(row.cells))
    body = [one for one in rows if len(one.filled) > 1]
    if not places and len(body) > 2:
        width = max(len(one.cells) for one in body)
        usual = Counter(len(one.cells) for one in body).most_common(1)[0][0]
        yield Table(None, body, (grid.file, usual), width)


def _is_again(row: Row, head: Row) -> bool:
    """Whether a row is a header once more, though a merged cell may hide some of its words."""
    same = [cell for place, cell in enumerate(row.cells) if cell and head.cell(place) == cell]
    return len(same) == len(row.filled) and len(same) * 3 >= 2 * len(head.filled)


def is_header(row: Row, columns: Columns) -> bool:
    """Whether a row's words head the columns of cards."""
    found = columns.of_row(row.cells)
    if len(found) < 2 or any(map(looks.RUN_MARKED.match, row.filled)):
        return False
    if any(name == "number" and any(map(str.isdigit, row.cells[place])) for place, name in found.items()):
        return False  # 'No. 12 | Insert' is a card
    names = set(found.values())
    people = names & {"subject", "last", "first"}
    filled = len(row.filled)
    if len(names) == filled and {"subset", "parallel"} <= names:
        return True  # nothing else is written above the columns
    if not (people or {"number", "team"} <= names or {"number", "subset"} <= names):
        return False
    if not ("number" in names and people) and len(found) * 2 < filled:
        return False
    return not (len(found) == 2 and any(cell[:1].isdigit() for cell in row.filled if not columns.name(cell)))


def are_numbered(numbers: Sequence[str]) -> bool:
    """Whether card numbers go up by one here and there, or have letters: amounts do neither."""
    if any(mark.isalpha() for number in numbers for mark in number) or len(numbers) < 4:
        return True
    plain = [int(digits) for number in numbers if (digits := re.sub(r"\D", "", number))]
    steps = sum(0 <= b - a <= 1 for a, b in pairwise(plain))
    return steps * 5 >= len(plain) or plain == sorted(plain)


_MONEY = re.compile(
    r"[$€£¥]\s?\d|\b\d[\d,.]*\s?(?:USD|EUR|GBP|CAD|AUD|JPY|SEK|NOK|DKK|CHF|PLN|CZK|kr|zł|Kč|€|£)(?!\w)"
)


def are_offers(body: Sequence[Row]) -> bool:
    """Whether rows have prices, as sales and slots have and cards have not."""
    return sum(_MONEY.search(row.text) is not None for row in body) * 5 > len(body)


def is_counted(filled: Sequence[str]) -> bool:
    """Whether two cells are a heading and how many cards it has: 'Deck Ink | 12 cards'."""
    return len(filled) == 2 and _COUNT.fullmatch(filled[1]) is not None and not is_number(filled[0])


_COUNTED = re.compile(r"[^\W\d_]{2,}\s\d\Z")


_SHORT = 3  # letters of a cell that says hardly anything


_COUNT = re.compile(r"\(?\d{1,4}\s*(?:cards?|kaarten|karten|cartes|kort)\)?", re.IGNORECASE)


# a header that is known again on another sheet has more words, in one of its first rows
_HEADING_ROWS = 20


_HEADED = 4  # of ten cells below a header have a heading, at the least


_PARALLELS = 3  # headings of parallels, and rows below, that tell them


def _stands_above_cards(rows: Sequence[Row], place: int, columns: Columns) -> bool:
    """Whether a row of short words stands right above rows that begin to be numbered where it has none."""
    row = rows[place]
    if _is_coded(row) or _heads_parallels(row, rows[place + 1 : place + 6], columns):
        return True
    if len(row.filled) < 2 or is_counted(row.filled):
        return False
    if any(len(cell) > 40 or _is_plain_number(cell) for cell in row.filled):
        return False
    below = [one for one in rows[place + 1 : place + 10] if len(one.filled) > 1][:4]
    if not below or below[0].number > row.number + 7:
        return False
    numbered = [
        p
        for p in range(len(row.cells))
        if any(row.cells[p : p + 3]) and all(looks.is_number(one.cell(p)) for one in below)
    ]
    if not numbered or any(looks.is_number(row.cell(p)) for p in numbered):
        return False
    if any(columns.name(row.cell(p)) == "number" for p in numbered):
        return True
    shared = sum(bool(row.cell(p)) for one in below for p, cell in enumerate(one.cells) if cell)
    repeated = sum(
        row.cell(p) == cell
        for one in below
        for p, cell in enumerate(one.cells)
        if cell and not words.ROOKIE.fullmatch(cell)
    )
    return not repeated and shared * 10 >= _HEADED * sum(len(one.filled) for one in below)


def _has_cards_above(rows: Sequence[Row], place: int) -> bool:
    """Whether rows right above one begin with a card's number, as cards do where nothing heads them."""
    above = [row for row in rows[max(0, place - 6) : place] if len(row.filled) > 1]
    return sum(looks.is_number(row.filled[0]) for row in above) >= _PARALLELS


def _goes_on_above(rows: Sequence[Row], place: int) -> bool:
    """Whether a column has a row's words right above too, as where a second person's row has no number."""
    row, above = rows[place], rows[max(0, place - 6) : place]
    return any(
        len(cell) > _SHORT and one.cell(at) == cell
        for one in above
        if len(one.filled) > 1
        for at, cell in enumerate(row.cells)
    )


def _is_plain_number(cell: str) -> bool:
    """Whether a cell is a card's number, and no word that a figure follows: 'Who 1', 'Code 2'."""
    return looks.is_number(cell) and _COUNTED.match(cell) is None


def _heads_parallels(row: Row, rows: Sequence[Row], columns: Columns) -> bool:
    """Whether all words of a row but known headings stand over print runs, marks and constants of cards."""
    if len(row.filled) < _PARALLELS:
        return False
    if not any(_has_run(one.cells) for one in rows):
        return False  # as nearly everywhere
    below = [one for one in rows if len(one.filled) > 1 and one.cells != row.cells]
    if len(below) < _PARALLELS:
        return False
    unknown = [place for place, cell in enumerate(row.cells) if cell and not columns.name(cell)]
    under = [[one.cell(place) for one in below] for place in unknown]
    under = [column for column in under if not _is_constant(column)]  # a maker's name, a sport
    marked = [cell for column in under for cell in column if cell]
    beside = [cell for one in below for place, cell in enumerate(one.cells) if cell and not row.cell(place)]
    return (
        sum(map(any, under)) > 1
        and all(looks.RUN_MARKED.match(cell) or words.is_yes(cell) for cell in marked)
        and any(map(looks.RUN_MARKED.match, marked))
        and not any(map(looks.RUN_MARKED.match, [*row.filled, *beside]))
        and all(any(map(looks.is_number, one.cells)) for one in below)
    )


@lru_cache(maxsize=16)  # of the rows right below the one that is looked at
def _has_run(cells: tuple[str, ...]) -> bool:
    return any(map(looks.RUN_MARKED.match, cells))


def _is_constant(column: Sequence[str]) -> bool:
    """Whether a column has one word or name in every row."""
    cell = column[0]
    return (
        len(set(column)) == 1
        and cell[:1].isalpha()
        and not (words.is_yes(cell) or looks.RUN_MARKED.match(cell))
    )


def _is_coded(row: Row) -> bool:
    """Whether all cells of a row are one word with running numbers: the headings 'Col 1', 'Col 2'."""
    filled = row.filled
    if len(filled) < 2 or not looks.CODED.match(filled[0]):
        return False
    found = [looks.CODED.match(cell) for cell in filled]
    if not all(found):
        return False
    numbers = [int(cell[one.end("stem") :]) for cell, one in zip(filled, found, strict=True) if one]
    return (
        len({one["stem"] for one in found if one}) == 1
        and all(a < b for a, b in pairwise(numbers))
        and (len(row.filled) > 2 or numbers[0] == 1)
    )
