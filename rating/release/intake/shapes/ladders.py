"""A row a parallel and a column a subset, a mark where the subset has it: 'Slate | 120 | x | | only Dock'."""

from __future__ import annotations

from collections.abc import Sequence

from rating.release import checklist
from rating.release.intake import looks, words
from rating.release.intake.shapes.rows import part
from rating.release.intake.sheet_kinds import KEY, PARALLEL_LIST
from rating.release.intake.values import Grid, Row
from rating.release.intake.words import Columns

_COLUMNS = Columns("checklist")
_LEAST = 2
_LONG = 12  # parallels


def parts(grid: Grid) -> list[Grid]:
    """The parallels of a matrix of parallels and subsets; nothing where the sheet is none."""
    for place, head in enumerate(grid.rows[:12]):
        body = grid.rows[place + 1 :]
        if len(head.filled) > _LEAST and len(body) >= _LEAST and all(len(row.filled) > 1 for row in body):
            found = _parts(grid, place, head, body)
            if found:
                return found
    return []


def _parts(grid: Grid, place: int, head: Row, body: Sequence[Row]) -> list[Grid]:
    names = [row.cell(0) for row in body]
    if len(set(names)) < len(names) or not all(name[:1].isalpha() for name in names):
        return []
    if sum(map(looks.is_person, names)) * 2 > len(names) and len(names) > _LONG:
        return []
    marked = [at for at in range(1, len(head.cells)) if head.cell(at) and _is_marked(head.cell(at), body, at)]
    runs = [at for at in range(1, len(head.cells)) if at not in marked and _is_run(head, body, at)]
    if len(marked) < _LEAST or len(runs) > 1 or not all(any(row.cell(at) for at in marked) for row in body):
        return []
    rest = [at for at in range(1, max(len(row.cells) for row in body)) if at not in marked and at not in runs]
    rows = [
        Row(
            row.number,
            (
                head.cell(at),
                row.cell(0),
                row.cell(runs[0]) if runs else "",
                " ".join(cell for one in rest if (cell := row.cell(one))),
            ),
        )
        for row in body
        for at in marked
        if row.cell(at) and not words.is_no(row.cell(at))
    ]
    return [
        *part(grid, rows, kind=PARALLEL_LIST, roles=checklist.PARALLELS.names),
        *part(grid, grid.rows[: place + 1], kind=KEY),
    ]


def _is_marked(heading: str, body: Sequence[Row], at: int) -> bool:
    """Whether a column has marks of one kind under a name."""
    cells = [row.cell(at) for row in body if row.cell(at)]
    return (
        bool(cells)
        and heading[:1].isalpha()
        and all(words.is_yes(cell) or words.is_no(cell) for cell in cells)
    )


def _is_run(head: Row, body: Sequence[Row], at: int) -> bool:
    cells = [row.cell(at) for row in body if row.cell(at)]
    named = _COLUMNS.name(head.cell(at)) == "print_run"
    told = sum(words.run_cell(cell) is not None or words.is_no(cell) for cell in cells)
    return bool(cells) and (named or told == len(cells))
