"""Tables of odds beside each other under the same headings, one below the other."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from rating.release.intake.odds.stated import says_odds
from rating.release.intake.shapes.rows import part
from rating.release.intake.values import Grid, Row


def parts(grid: Grid) -> list[Grid]:
    """The tables of a sheet whose headings stand there twice or more, each with what stands above it."""
    head = next((row for row in grid.rows[:12] if _starts(row)), None)
    if head is None:
        return []
    starts = _starts(head)
    edges = [0, *starts[1:], max(len(row.cells) for row in grid.rows)]
    found: list[Grid] = []
    for first, after in pairwise(edges):
        rows = [
            Row(row.number, _stripped(row.cells[first:after]))
            for row in grid.rows
            if any(row.cells[first:after])
        ]
        found += part(grid, rows, kind="")
    return found


def _starts(row: Row) -> list[int]:
    """Where the same two headings or more begin again, one of them of odds; none where they stand once."""
    filled = [place for place, cell in enumerate(row.cells) if cell]
    for size in range(2, len(filled) // 2 + 1):
        first = [row.cell(place) for place in filled[:size]]
        if not any(map(says_odds, first)):
            continue
        groups = [filled[at : at + size] for at in range(0, len(filled), size)]
        if all([row.cell(place) for place in group] == first for group in groups) and len(groups) > 1:
            return [group[0] for group in groups]
    return []


def _stripped(cells: Sequence[str]) -> tuple[str, ...]:
    kept = list(cells)
    while kept and not kept[-1]:
        kept.pop()
    return tuple(kept)
