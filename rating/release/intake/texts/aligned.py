"""Texts whose columns are parted by blanks, one below the other, as their cells."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from typing import TypeAlias

from rating.release.intake import looks, phrases
from rating.release.intake.sheet_kinds import KEY
from rating.release.intake.texts.part import Part

_Cell: TypeAlias = tuple[int, int, str]  # where it begins and ends in its line, and its text
_Line: TypeAlias = tuple[int, list[_Cell]]
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
    told = _with_numbers_apart(told)
    wide = [cells for _, cells in told if len(cells) > 1]
    if len(wide) < _LEAST or len(wide) * 2 < sum(
        len(block) for block in _blocks(told) if any(len(cells) > 1 for _, cells in block)
    ):
        return _within_prose(told)
    if sum(end - start for cells in wide for start, end, _ in cells) > _LONG * sum(map(len, wide)):
        return _within_prose(told)
    columns = _columns(wide)
    if len(columns) < 2 or any(_crowded(cells, columns) for cells in wide):
        return _by_blocks(told) or _within_prose(told)
    used = [sum(any(_meets(one, column) for one in cells) for cells in wide) for column in columns]
    if sum(number * 2 >= len(wide) for number in used) < 2:
        return []
    rows = [(number, _row(cells, columns)) for number, cells in told]
    rules = [(number, [line]) for number, line in enumerate(lines, 1) if line.strip() and _RULE.match(line)]
    return [Part(rows=rows), *([Part(rows=rules, kind=KEY)] if rules else [])]


def _blocks(lines: Sequence[_Line]) -> list[list[_Line]]:
    """The lines without a blank one between them."""
    blocks: list[list[_Line]] = []
    for place, line in enumerate(lines):
        if not place or line[0] > lines[place - 1][0] + 1:
            blocks.append([])
        blocks[-1].append(line)
    return blocks


def _by_blocks(lines: Sequence[_Line]) -> list[Part]:
    """Blocks that each part into the same number of cells, though they do not stand in one set of columns.

    Cells behind those of most lines are marks. What stands between blocks, headings and notes, goes with the
    next.
    """
    parts: list[Part] = []
    waiting: list[tuple[int, list[str]]] = []
    width = taken = 0
    for block in _blocks(lines):
        usual = Counter(len(cells) for _, cells in block).most_common(1)[0][0]
        number = sum(len(cells) >= usual for _, cells in block)
        wide = sum(len(cells) > 1 for _, cells in block)
        is_table = usual > 1 and number >= _LEAST and number * 10 >= 8 * wide
        rows = [
            (line, [text for *_, text in cells] if is_table and _is_row(cells, usual) else [_whole(cells)])
            for line, cells in block
        ]
        if not is_table:
            waiting += rows
            continue
        taken += number
        if usual != width:
            parts.append(Part())
            width = usual
        parts[-1].rows += [*waiting, *rows]
        waiting = []
    if taken * 2 < len(lines):
        return []
    parts[-1].rows += waiting
    return parts


def _with_numbers_apart(lines: Sequence[_Line]) -> list[_Line]:
    """Lines whose number is so long that one blank parts it from the name, parted as those beside them."""
    found: list[_Line] = []
    for block in _blocks(lines):
        begins = Counter((cells[0][0], cells[1][0]) for _, cells in block if len(cells) > 1)
        (first, second), number = begins.most_common(1)[0] if begins else ((0, 0), 0)
        for line, cells in block:
            start, end, text = cells[0]
            cut = second - start
            is_run_on = number >= _LEAST - 1 and start == first and end > second and 0 < cut < len(text)
            if is_run_on and text[cut - 1] == " " and looks.is_number(text[:cut].strip()):
                number_cell, name_cell = (start, second - 1, text[:cut].strip()), (second, end, text[cut:])
                found.append((line, [number_cell, name_cell, *cells[1:]]))
            else:
                found.append((line, cells))
    return found


def _within_prose(lines: Sequence[_Line]) -> list[Part]:
    """A text in which a block of lines is a table, a column a format: its labels speak of packs and boxes.

    A line of it without a label goes on in the cells above.
    """
    rows: list[tuple[int, list[str]]] = []
    tables = 0
    for block in _blocks(lines):
        wide = [cells for _, cells in block if len(cells) > 1]
        columns = _columns(wide) if len(wide) >= _LEAST else []
        first = min((cells[0][0] for cells in wide), default=0)
        labelled = sum(phrases.names_unit(cells[0][2]) for cells in wide if cells[0][0] == first)
        if (
            labelled < _LEAST - 1
            or len(columns) < _LEAST
            or len(wide) * 10 < len(block) * 8
            or any(_crowded(cells, columns) for cells in wide)
        ):
            rows += [(number, [_whole(cells)]) for number, cells in block]
            continue
        tables += 1
        table: list[tuple[int, list[str]]] = []
        for number, cells in block:
            row = _row(cells, columns)
            if table and table[-1][1][0] and not row[0] and len(row) == len(columns):
                table[-1] = table[-1][0], [f"{a} {b}".strip() for a, b in zip(table[-1][1], row, strict=True)]
            else:
                table.append((number, row))
        rows += table
    return [Part(rows=rows)] if tables else []


def _is_row(cells: Sequence[_Cell], usual: int) -> bool:
    """Whether a line has a row's cells, and no sentences."""
    return len(cells) >= usual and not any(text.endswith(".") and text.count(" ") > 1 for *_, text in cells)


def _whole(cells: Sequence[_Cell]) -> str:
    """The text of a line; what stands apart in it with brackets of its own is a list."""
    begun = len(cells) > 2 or any(mark in cells[0][2] for mark in "(:")
    apart = len(cells) > 1 and begun and all("(" in text for *_, text in cells[1:])
    return ("; " if apart else " ").join(text for *_, text in cells)


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
