"""Cards read across: a row of numbers, below it a row of persons, below that their teams and marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rating.release.intake import looks, words
from rating.release.intake.shapes.rows import part
from rating.release.intake.sheet_kinds import CARD_LIST
from rating.release.intake.values import Grid, Row

_DEEP = 8  # rows of a block
_LEAST = 2  # blocks, or cards in a row where there is one


@dataclass(frozen=True, slots=True)
class _Block:
    """Rows that hold cards, a column each; the first has their numbers."""

    rows: tuple[Row, ...]
    places: tuple[int, ...]
    names: int  # which of the rows has the persons


def parts(grid: Grid) -> list[Grid]:
    """The cards of a sheet that is read across under its headings; nothing where it is read down."""
    blocks = _blocks(grid.rows)
    held = sum(len(one.rows) for one in blocks)
    wide = sum(len(row.filled) > 1 for row in grid.rows)
    cards = sum(len(one.places) for one in blocks)
    if cards < 6 or held * 10 < wide * 8 or (len(blocks) < _LEAST and cards < 3 * held):
        return []
    begun = {one.rows[0].number: one for one in blocks}
    depth = max(len(one.rows) for one in blocks)
    roles = _roles(blocks, depth)
    rows: list[Row] = []
    inside = {row.number for one in blocks for row in one.rows}
    for row in grid.rows:
        if row.number in begun:
            rows += _cards(begun[row.number], roles)
        elif row.number in inside:
            rows.append(Row(row.number, ()))
        else:
            rows.append(row)
    return part(grid, rows, kind=CARD_LIST, roles=list(roles.values()))


def _blocks(rows: Sequence[Row]) -> list[_Block]:
    found: list[_Block] = []
    place = 0
    while place < len(rows):
        places = _numbered(rows[place])
        after = place + 1
        if places:
            while (
                after < len(rows)
                and after < place + _DEEP
                and rows[after].number == rows[after - 1].number + 1
                and not _numbered(rows[after])
                and _stays_within(rows[after], places)
            ):
                after += 1
        block = rows[place:after]
        names = next((at for at, row in enumerate(block[1:], start=1) if _are_persons(row, places)), 0)
        if places and names:
            found.append(_Block(tuple(block), places, names))
            place = after
        else:
            place += 1
    return found


def _numbered(row: Row) -> tuple[int, ...]:
    """The columns of the card numbers in a row that holds nothing else but a label; none where it does."""
    places = [place for place, cell in enumerate(row.cells) if cell]
    if places and not looks.is_number(row.cell(places[0])):
        places = places[1:]
    told = [row.cell(place) for place in places]
    if len(told) < 2 or not all(map(looks.is_number, told)) or len(set(told)) < len(told):
        return ()
    return tuple(places)


def _stays_within(row: Row, places: Sequence[int]) -> bool:
    """Whether a row has its cells under the numbers, but for a label before them."""
    filled = [place for place, cell in enumerate(row.cells) if cell]
    return all(place in places or place < places[0] for place in filled) and (
        len(filled) > 1 or filled[0] < places[0] or filled[0] in places
    )


def _are_persons(row: Row, places: Sequence[int]) -> bool:
    told = [row.cell(place) for place in places]
    return all(told) and sum(map(looks.is_person, told)) * 10 >= 8 * len(told)


def _roles(blocks: Sequence[_Block], depth: int) -> dict[int, str]:
    """What each row of a block holds, by its place: told by all blocks together."""
    names = blocks[0].names
    roles = {0: "number", names: "subject"}
    for at in range(1, depth):
        if at in roles:
            continue
        rows = [one.rows[at] for one in blocks if at < len(one.rows)]
        cells = [
            cell for row, one in zip(rows, blocks, strict=False) for p in one.places if (cell := row.cell(p))
        ]
        marks = [cell for cell in cells if words.is_yes(cell) or words.ROOKIE.fullmatch(cell)]
        if not cells:
            roles[at] = "note" if "note" not in roles.values() else ""
        elif len(marks) == len(cells) and "rookie" not in roles.values():
            roles[at] = "rookie"
        elif "team" not in roles.values() and _are_teams(cells, sum(len(one.places) for one in blocks)):
            roles[at] = "team"
        else:
            roles[at] = "note" if "note" not in roles.values() else ""
    return dict(sorted(roles.items()))


def _are_teams(cells: Sequence[str], cards: int) -> bool:
    """Whether most cards have one, and they recur."""
    return len(cells) * 10 >= 7 * cards and not any(words.run_in(cell) for cell in cells[:20])


def _cards(block: _Block, roles: dict[int, str]) -> list[Row]:
    """The cards of a block, a row each under the number of the row that their numbers stand in."""
    found = []
    for place in block.places:
        cells = tuple(
            block.rows[at].cell(place) if at < len(block.rows) and role else "" for at, role in roles.items()
        )
        found.append(Row(block.rows[0].number, cells))
    return found
