"""The lines of a sheet of text as paragraphs, each with the rows it stands in, and its tables apart."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from rating.release.intake import thousands
from rating.release.intake.values import Grid, Row

_BULLET = re.compile(r"\s*(?:[-*•·–—▪◦>✓]|\d{1,2}[.)](?=\s))\s+")
_AMOUNT_BEGUN = re.compile(r"[^\w\s]\s?\d[\d.]*\Z")
_AMOUNT_ENDED = re.compile(r"\d{2,3}(?!\d)")
_CENTS = re.compile(r"\d\d\s?(?:[$€£]|[A-Z]{3}\b|kr\b)")
_MARKS = ("|", "\t", ";", ",")
_WRAPPED = 56  # narrower lines are no running text
_LONG = 40  # letters of a line that the next may go on


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Text that runs on, or one line of a list; `starts` says where in it each of its rows begins."""

    text: str
    rows: tuple[Row, ...]
    starts: tuple[int, ...]
    is_alone: bool = False  # a line with a blank one before and after it

    def row_at(self, place: int) -> Row:
        """The row in which a letter of the text stands."""
        found = self.rows[0]
        for row, start in zip(self.rows, self.starts, strict=True):
            if start <= place:
                found = row
        return found

    def row_of(self, words: str) -> Row:
        """The row in which words of the text begin."""
        return self.row_at(max(0, self.text.find(words)))


@dataclass(frozen=True, slots=True)
class Block:
    """Rows without a blank one between them: a table where most have several cells, else lines."""

    rows: tuple[Row, ...]
    is_table: bool


def blocks(grid: Grid) -> Iterator[Block]:
    """The parts of a sheet, parted at blank rows and where a table begins or ends."""
    current: list[Row] = []
    for row in parted(whole_lines(grid)):
        apart = current and (row.number > current[-1].number + 1)
        turns = current and (_is_wide(row) != _is_wide(current[-1]))
        if apart or turns:
            yield Block(tuple(current), _is_table(current))
            current = []
        current.append(row)
    if current:
        yield Block(tuple(current), _is_table(current))


def whole_lines(grid: Grid) -> Sequence[Row]:
    """The rows, those of a text whose sentences were parted at commas put together again."""
    wide = [row for row in grid.rows if _is_wide(row)]
    words = sum(len(cell.split()) for row in wide for cell in row.filled)
    if grid.sheet:
        return grid.rows
    if words < 4 * sum(len(row.filled) for row in wide):
        return whole_odds(grid)
    return [replace(row, cells=(_joined(row.cells),)) if _is_wide(row) else row for row in grid.rows]


def whole_odds(grid: Grid) -> Sequence[Row]:
    """The rows, those of a text with the odds whole that were parted at the comma in their thousands."""
    if grid.sheet:
        return grid.rows
    return [replace(row, cells=thousands.joined(row.cells)) if _is_wide(row) else row for row in grid.rows]


def _joined(cells: Sequence[str]) -> str:
    """Cells as the sentence that they were, amounts of money and odds with their comma."""
    line = cells[0]
    for cell in cells[1:]:
        is_amount = _AMOUNT_BEGUN.search(line[-24:]) and _AMOUNT_ENDED.match(cell)
        is_whole = is_amount or thousands.goes_on(line, cell)
        line += f",{cell}" if is_whole or (_CENTS.match(cell) and line[-1:].isdigit()) else f", {cell}"
    return line


def parted(rows: Sequence[Row]) -> Iterator[Row]:
    """The rows, those of one cell parted at the mark that they share: a table among sentences."""
    alone = [row for row in rows if len(row.cells) == 1]
    mark = next((mark for mark in _MARKS if _is_shared(alone, mark)), "")
    for row in rows:
        cells = _cells(row, mark) if mark and len(row.cells) == 1 else []
        yield replace(row, cells=tuple(cells)) if cells else row


def _is_shared(alone: Sequence[Row], mark: str) -> bool:
    """Whether some lines part into three cells or more at a mark, or most of them into two."""
    widths = Counter(len(_cells(row, mark)) for row in alone)
    if sum(number for width, number in widths.items() if width > 2) > 1:
        return True
    return mark != "," and widths[2] > 1 and widths[2] * 10 >= len(alone) * 6


def _cells(row: Row, mark: str) -> list[str]:
    """The cells of a line parted at a mark, one where it is a quoted text; none where it is a sentence."""
    line = row.cells[0]
    if mark not in line and not line.startswith('"'):
        return []
    try:
        cells = [cell.strip() for cell in next(csv.reader([line], delimiter=mark, skipinitialspace=True))]
    except (csv.Error, StopIteration):
        return []
    if len(cells) == 1:
        return cells if line.startswith('"') else []
    words = sum(len(cell.split()) for cell in cells)
    return cells if words <= 4 * len(cells) and not (mark == "," and ", " in line) else []


def _is_wide(row: Row) -> bool:
    return len(row.filled) > 1


def _is_table(rows: Sequence[Row]) -> bool:
    return _is_wide(rows[0])


def paragraphs(block: Block) -> Iterator[Paragraph]:
    """The lines of a block, joined where a text was broken to a width."""
    lines = [(row, row.text) for row in block.rows]
    for part in _parts(lines):
        text, starts = "", []
        for _, line in part:
            if text:
                text += " "
            starts.append(len(text))
            text += line
        bullet = _BULLET.match(text)
        shift = bullet.end() if bullet else 0
        yield Paragraph(
            text[shift:],
            tuple(row for row, _ in part),
            tuple(max(0, start - shift) for start in starts),
            is_alone=len(lines) == 1,
        )


def _parts(lines: Sequence[tuple[Row, str]]) -> Iterator[list[tuple[Row, str]]]:
    """The lines of each paragraph: one each, or all that one bullet or one broken text holds."""
    if any(_BULLET.match(line) for _, line in lines):
        yield from _listed(lines)
        return
    texts = [line for _, line in lines]
    begun = next((start for start in range(min(4, len(lines))) if _is_broken(texts[start:])), len(lines))
    for one in lines[:begun]:
        yield [one]
    if begun < len(lines):
        yield list(lines[begun:])


def _listed(lines: Sequence[tuple[Row, str]]) -> Iterator[list[tuple[Row, str]]]:
    """Each bullet with the lines that run on under it."""
    part: list[tuple[Row, str]] = []
    for row, line in lines:
        if part and _BULLET.match(part[0][1]) and not _BULLET.match(line) and line[:1].islower():
            part.append((row, line))
            continue
        if part:
            yield part
        part = [(row, line)]
    yield part


def _is_broken(texts: Sequence[str]) -> bool:
    """Whether lines are one text broken to a width: none but the last could have held the next one's word."""
    width = max(map(len, texts))
    if len(texts) < 2 or width < _WRAPPED:
        return False
    ends = texts[0].endswith((",", ".", "-")) or texts[1].endswith((".", "!"))
    if len(texts) == 2 and texts[1][:1].isupper() and not ends:
        return False  # two lines of a list, rather
    return all(
        len(line) + 1 + len(after.split(maxsplit=1)[0]) >= width - 1 for line, after in pairwise(texts)
    )


def running(rows: Iterable[Row]) -> list[str]:
    """Lines of text right below each other as paragraphs."""
    found: list[str] = []
    last: Row | None = None
    for row in rows:
        goes_on = last is not None and row.number == last.number + 1 and len(last.text) >= _LONG
        if found and goes_on and row.text[:1].isalnum():  # one that a mark leads says what it means
            found[-1] = f"{found[-1]} {row.text}"
        else:
            found.append(row.text)
        last = row
    return found
