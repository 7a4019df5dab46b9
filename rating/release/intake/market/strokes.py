"""Rows that were parted at the wrong mark: 'Team|€ 111', '99|auction' are parted again at the strokes."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from rating.release.intake.values import Grid, Row

_MARKS = ("|", "\t", ";")
_LOOKED_AT = 200


def parted_again(grid: Grid) -> Grid:
    """The sheet with its rows parted at the mark that most of them hold as often; else the sheet as it is."""
    rows = [row for row in grid.rows[:_LOOKED_AT] if row.filled]
    if len(rows) < 2:
        return grid
    for mark in _MARKS:
        counts = Counter(number for row in rows if (number := ",".join(row.cells).count(mark)) > 1)
        if counts and counts.most_common(1)[0][1] * 10 >= len(rows) * 6:
            return replace(grid, rows=tuple(_again(row, mark) for row in grid.rows))
    return grid


def _again(row: Row, mark: str) -> Row:
    cells = tuple(cell.strip() for cell in ",".join(row.cells).split(mark))
    while len(cells) > 1 and not cells[-1]:
        cells = cells[:-1]
    return Row(row.number, cells)
