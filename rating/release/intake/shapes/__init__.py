"""Sheets of unusual shapes as ordinary tables: cards told in sentences, read across, or spread over a matrix.

What comes out are grids again, with the numbers of the rows they came from and the role of each column, so
that the readers of tables can read all of them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rating.release.intake.shapes import across, beside, descriptions, keyed, ladders, lists, matrix
from rating.release.intake.values import Grid

_SHAPES: tuple[Callable[[Grid], list[Grid]], ...] = (
    across.parts,
    lists.parts,
    matrix.parts,
    ladders.parts,
    beside.parts,
    descriptions.parts,
)


def reshape(files: Sequence[Sequence[Grid]]) -> list[list[Grid]]:
    """The sheets of each file, those of an unusual shape as the tables that they amount to."""
    joined = keyed.joined([grid for grids in files for grid in grids])
    return [[part for grid in grids for part in joined.get(id(grid)) or _parts(grid)] for grids in files]


def _parts(grid: Grid) -> list[Grid]:
    if not grid.rows or grid.kind:
        return [grid]
    return next((told for shape in _SHAPES if (told := shape(grid))), [grid])
