"""Lists of cards beside each other, a column each under its subset, with number and name in one cell."""

from __future__ import annotations

from rating.release.intake import looks, unfold
from rating.release.intake.shapes.rows import part
from rating.release.intake.sheet_kinds import CARD_LIST
from rating.release.intake.values import Grid, Row

_LEAST = 3  # cards of a list


def parts(grid: Grid) -> list[Grid]:
    """The cards of one column after the other, each under its heading; nothing where they are no lists."""
    wide = [row for row in grid.rows if len(row.filled) > 1]
    if len(wide) <= _LEAST or len(wide) * 10 < 8 * len(grid.rows):
        return []
    head, body = wide[0], wide[1:]
    places = [place for place, cell in enumerate(head.cells) if cell]
    if len(places) < 2 or any(unfold.start(head.cell(place)) for place in places):
        return []
    columns = {
        place: [row for row in grid.rows if row.number > head.number and row.cell(place)] for place in places
    }
    width = max(len(row.cells) for row in body)
    if any(row.cell(place) for row in body for place in range(width) if place not in columns):
        return []
    if not all(_are_cards([row.cell(place) for row in rows]) for place, rows in columns.items()):
        return []
    found = [row for row in grid.rows if row.number < head.number]
    for place, rows in columns.items():
        found.append(Row(head.number, ("", head.cell(place))))
        for row in rows:
            said = unfold.start(row.cell(place))
            found.append(Row(row.number, (said.number, said.rest) if said else ("", row.cell(place))))
    return part(grid, found, kind=CARD_LIST, roles=("number", "subject"))


def _are_cards(cells: list[str]) -> bool:
    """Whether most cells are a number and a person behind it; headings may stand between them."""
    told = [found for cell in cells if (found := unfold.start(cell)) is not None]
    persons = sum(looks.is_person(one.rest) for one in told)
    return len(told) >= _LEAST and len(told) * 10 >= 6 * len(cells) and persons * 10 >= 6 * len(told)
