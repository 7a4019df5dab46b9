"""Whether a sheet states odds, told by its cells and sentences whatever stands over them."""

from __future__ import annotations

import re
from collections import Counter
from itertools import pairwise
from pathlib import PurePath

from rating.release.intake import phrases, sell_sheet
from rating.release.intake.odds.stated import (
    fraction,
    is_dash,
    is_plain,
    is_ratio,
    names_odds,
    said_in,
    says_odds,
    unit_in,
)
from rating.release.intake.phrases import Names
from rating.release.intake.values import Grid, Row
from rating.release.intake.words import Columns, run_in

_RATIO = re.compile(
    r"\b1\s?:\s?\d|\b(?:1|one)\s+in\s+(?:every\s+)?(?:\d|[a-z]+\b)|\b1\s+(?:auf|sur|su|op)\s+\d",
    re.IGNORECASE,
)
_LOOKED_AT = 300


def is_odds(grid: Grid, columns: Columns) -> bool:
    """Whether most rows of a sheet state odds, or its numbers stand under words that say so."""
    rows = grid.rows[:_LOOKED_AT]
    stating = sum(map(_states, rows))
    if stating and stating * 2 >= len(rows):
        return True
    if sell_sheet.is_sell_sheet(grid):
        return False
    if stating and stating * 2 >= sum(map(_could_state, rows)):
        return True
    if _fractions(rows):
        return True
    return _plain_table(grid, columns)


def _could_state(row: Row) -> bool:
    """Whether a row is more than a title, heading or footnote."""
    return (
        len(row.filled) > 1
        or len(row.text) > 90
        or (":" in row.text and any(mark.isdigit() for mark in row.text))
    )


def _states(row: Row) -> bool:
    if len(row.filled) > 1:
        return any(map(is_ratio, row.filled[1:])) or any(map(_ends_in_odds, row.filled))
    line = row.text
    if not _RATIO.search(line) and "every" not in line.lower() and " per " not in line.lower():
        return False
    if re.search(r"[$€£]\s?\d", line):
        return False
    if len(_RATIO.findall(line)) and run_in(_RATIO.sub(" ", line)) is None:
        return True
    return any(True for _ in said_in(phrases.read(line, Names({})))) and bool(_RATIO.search(line))


def _ends_in_odds(cell: str) -> bool:
    """Whether a cell holds a name and odds: 'Hobby 1:24'."""
    found = _RATIO.search(cell)
    return found is not None and any(mark.isalpha() for mark in cell[: found.start()])


def _fractions(rows: tuple[Row, ...]) -> bool:
    """Whether a column beyond the first holds '1/N' of many an N: a print run would be '/N'."""
    wide = [row for row in rows if len(row.filled) > 1]
    if len(wide) < 3:
        return False
    for at in range(1, max(len(row.cells) for row in wide)):
        told = [fraction(row.cell(at)) for row in wide if row.cell(at)]
        known = Counter(one for one in told if one is not None)
        if len(known) > 2 and sum(known.values()) * 2 >= len(told):
            return True
    return False


def _plain_table(grid: Grid, columns: Columns) -> bool:
    """Whether plain numbers stand in a table where a title, heading, name or footnote says odds."""
    wide = [row for row in grid.rows[:_LOOKED_AT] if len(row.filled) > 1]
    if len(wide) < 2 or not is_told(grid):
        return False
    named = columns.of_row(wide[0].cells).values()
    if "number" in named or "subject" in named:
        return False
    width = max(len(row.cells) for row in wide)
    data = wide[1:]
    for at in range(1, width):
        cells = [row.cell(at) for row in data if row.cell(at)]
        numbers = [cell for cell in cells if is_plain(cell)]
        if len(set(numbers)) < 2 or _are_running(numbers):
            continue
        dashes = sum(map(is_dash, cells))
        if numbers and (len(numbers) + dashes) * 4 >= len(cells) * 3 and len(cells) * 2 >= len(data):
            return True
    return False


def _are_running(numbers: list[str]) -> bool:
    """Whether numbers count rows or cards: most are one more than the one before."""
    whole = [int(one) for one in numbers if one.isdigit()]
    steps = sum(after - before == 1 for before, after in pairwise(whole))
    return len(whole) > 3 and steps * 2 > len(whole)


def is_told(grid: Grid) -> bool:
    """Whether a title, a heading, a footnote or a name says that the sheet is about odds."""
    if says_odds(re.sub(r"[_-]+", " ", grid.sheet)) or says_odds(
        re.sub(r"[_.-]+", " ", PurePath(grid.file).stem)
    ):
        return True
    for row in grid.rows[:8]:
        if len(row.filled) == 1 and len(row.text) < 80 and says_odds(row.text):
            return True
        if len(row.filled) > 1 and not any(map(is_plain, row.filled)) and any(map(names_odds, row.filled)):
            return True  # a row of headings: 'flat rate' beside a price is a word of a listing
    return any(len(row.filled) == 1 and unit_in(row.text) == "pack" for row in grid.rows[-4:])
