"""Which row of a list of prices stands over its columns, told by its being unlike the rows below."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rating.release.intake.values import Row


def heading(rows: Sequence[Row], is_body: Callable[[Row], bool]) -> int | None:
    """The place of the heading row among rows, None where the rows begin at once.

    It is the last row of two labels or more before the first row of the body.
    """
    first = next((place for place, row in enumerate(rows) if is_body(row)), None)
    if first is None:
        return None
    for place in range(first - 1, max(first - 4, -1), -1):
        if len(rows[place].filled) > 1 and all(len(cell) < 41 for cell in rows[place].filled):
            return place
    return None


def is_again(row: Row, header: Row) -> bool:
    """Whether a row repeats the heading."""
    return [cell.casefold() for cell in row.filled] == [cell.casefold() for cell in header.filled]


def share(cells: Sequence[str], fits: Callable[[str], bool]) -> float:
    """The share of cells that are not blank which pass a test; 0 where all are blank."""
    told = [cell for cell in cells if cell]
    return sum(map(fits, told)) / len(told) if told else 0.0
