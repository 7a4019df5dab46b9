"""Texts whose columns are parted by blanks, one below the other, as their cells."""

from __future__ import annotations

import re
from collections.abc import Sequence

from rating.release.intake.sheet_kinds import KEY
from rating.release.intake.texts.part import Part

_CELL = re.compile(r"\S+(?: \S+)*")
_RULE = re.compile(r"[\s=_|+–—-]+\Z")
_LEAST = 3  # lines with cells beside each other
_LONG = 45  # letters of a cell on average, at most
_MOST_LINES = 20_000


def parts(lines: Sequence[str]) -> list[Part]:
    """The text as one table with its lines of a single cell; nothing where they do not stand in columns."""
    if len(lines) > _MOST_LINES or any("\t" in line for line in lines[:200]):
        return []
    told = [
        (number, [(hit.start(), hit.end(), hit[0]) for hit in _CELL.finditer(line)])
        for number, line in enumerate(lines, start=1)
        if line.strip() and not _RULE.match(line)
    ]
    wide = [cells for _, cells in told if len(cells) > 1]
    if len(wide) < _LEAST or len(wide) * 2 < _beside([(number, len(cells)) for number, cells in told]):
        return []
    if sum(end - start for cells in wide for start, end, _ in cells) > _LONG * sum(map(len, wide)):
        return []
    columns = _columns(wide)
    if len(columns) < 2 or any(_crowded(cells, columns) for cells in wide):
        return []
    used = [sum(any(_meets(one, column) for one in cells) for cells in wide) for column in columns]
    if sum(number * 2 >= len(wide) for number in used) < 2:
        return []
    rows = [(number, _row(cells, columns)) for number, cells in told]
    rules = [(number, [line]) for number, line in enumerate(lines, 1) if line.strip() and _RULE.match(line)]
    return [Part(rows=rows), *([Part(rows=rules, kind=KEY)] if rules else [])]


def _beside(lines: Sequence[tuple[int, int]]) -> int:
    """How many lines stand in a block, without a blank line in it, that has lines of several cells."""
    blocks: list[list[int]] = []
    for place, (number, cells) in enumerate(lines):
        if not place or number > lines[place - 1][0] + 1:
            blocks.append([])
        blocks[-1].append(cells)
    return sum(len(block) for block in blocks if max(block) > 1)


def _columns(wide: Sequence[Sequence[tuple[int, int, str]]]) -> list[tuple[int, int]]:
    """The stretches of a line that cells stand in: those that overlap are one."""
    found: list[tuple[int, int]] = []
    for start, end, _ in sorted(cell for cells in wide for cell in cells):
        if found and start < found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], end))
        else:
            found.append((start, end))
    return found


def _meets(cell: tuple[int, int, str], column: tuple[int, int]) -> bool:
    return cell[0] < column[1] and column[0] < cell[1]


def _crowded(cells: Sequence[tuple[int, int, str]], columns: Sequence[tuple[int, int]]) -> bool:
    """Whether two cells of a line stand in one column."""
    places = [next(at for at, column in enumerate(columns) if _meets(cell, column)) for cell in cells]
    return len(set(places)) < len(places)


def _row(cells: Sequence[tuple[int, int, str]], columns: Sequence[tuple[int, int]]) -> list[str]:
    if len(cells) == 1 and cells[0][0] < columns[0][1]:
        return [cells[0][2]]
    found = [""] * len(columns)
    for cell in cells:
        place = next((at for at, column in enumerate(columns) if _meets(cell, column)), 0)
        found[place] = cell[2]
    return found
