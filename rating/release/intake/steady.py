"""Rows of a text table that are out of step with the others: a cell too many or too few.

A mark that stands in a name without quotes parts it in two, and all behind it stands a column further on.
What the columns of the steady rows hold tells how such a row is to be read: its cells are joined, dropped or
moved so that each looks like those of its column. A row that fits in no way, or in several, is left out.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from rating.release.intake import unfold

_LEAST = 8  # rows that make a table
_NARROWEST = 3  # columns of one that can be told from prose
_LOOKED_AT = 5_000  # rows that tell what the columns hold
_MOST = 3  # cells too many or too few that can be told
_KNOWN, _ALIKE, _OTHER, _FOREIGN, _MISSING = 2.0, 1.0, -1.0, -2.0, -1.0  # by judgement
_CLOSED = 4  # times that each word of a small set stands in a column, at the least
_CLEARLY = 1.0  # by which the best reading beats the next

_DAY = re.compile(r"[^\W\d_]{3,12}\.? \d{1,2}, (?:19|20)\d\d")  # 'May 10, 2030'

Cells = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """A row that was out of step: its cells as they are read, None where nobody can tell."""

    cells: Cells | None
    width: int  # that of the other rows


def is_cut_short(rows: Sequence[Sequence[str]], mark: str) -> bool:
    """Whether the last text of a file without a line end is the beginning of one that others end with."""
    mark = ", " if mark == "\n" else mark
    ends = [mark.join(row).rpartition(mark) for row in rows[-_LOOKED_AT:] if any(row)]
    if len(ends) < _LEAST:
        return False
    if not ends[-1][1]:
        have = sum(bool(one) for _, one, _ in ends)
        return have * 10 >= 9 * (len(ends) - 1) and unfold.start(ends[-1][2]) is not None
    usual = Counter(end for _, _, end in ends[:-1])
    last = ends[-1][2]
    least = 1 if len(usual) * _CLOSED <= usual.total() else 2  # of words that recur, one is enough
    return last not in usual and any(
        one.startswith(last) and number >= least for one, number in usual.items()
    )


class _Column:
    """What the steady rows have in a column."""

    def __init__(self, cells: Sequence[str]) -> None:
        filled = [cell for cell in cells if cell]
        self.values = Counter(filled)
        self.kinds = {
            kind for kind, number in Counter(map(_kind, filled)).items() if number * 50 >= len(filled)
        }
        self.is_closed = len(self.values) * 4 <= len(filled)
        self.may_be_blank = len(filled) * 50 < len(cells) * 49

    def fit(self, cell: str) -> float:
        """How well a cell stands in this column."""
        if not cell:
            return 0.3 if self.may_be_blank else _MISSING
        if self.values[cell] > 1:
            return _KNOWN
        if self.is_closed:
            return _FOREIGN
        return _ALIKE if _kind(cell) in self.kinds else _OTHER

    def is_in(self, cell: str) -> bool:
        """Whether a cell holds a value of this column and more."""
        return self.is_closed and any(len(one) > 2 and one in cell and one != cell for one in self.values)


def _kind(cell: str) -> tuple[bool, bool, bool]:
    return any(map(str.isalpha, cell)), any(map(str.isdigit, cell)), " " in cell


class Table:
    """A table most of whose rows have as many cells."""

    def __init__(self, rows: Sequence[Cells], mark: str) -> None:
        self.mark, self.width = mark, 0
        widths = Counter(len(row) for row in rows if len(row) > 1)
        width, number = widths.most_common(1)[0] if widths else (0, 0)
        if width < _NARROWEST or number < _LEAST or not 0.8 <= number / widths.total() < 1:
            return
        self.width = width
        steady = [row for row in rows if len(row) == width]
        steady = steady[:: 1 + len(steady) // _LOOKED_AT]
        self.columns = [_Column(cells) for cells in zip(*steady, strict=True)]
        self.has_gap = not all(column.values for column in self.columns)

    def step(self, row: Cells) -> Step | None:
        """How a row is read that is out of step; None for one that is in step, or none of the table."""
        if not self.width or len(row) in {1, self.width} or not self._is_of(row) or self._is_in_step(row):
            return None
        ways = {cells: self._worth(cells) + more for cells, more in self._ways(row)}
        order = sorted(ways, key=lambda cells: -ways[cells])
        is_clear = len(order) == 1 or (len(order) > 1 and ways[order[0]] - ways[order[1]] >= _CLEARLY)
        return Step(order[0] if is_clear and self._fits(order[0]) else None, self.width)

    def _is_of(self, row: Cells) -> bool:
        """Whether a row is one of the table at all: a title, a heading, a footnote or a total is none."""
        first = _kind(row[0])
        is_begun = first[1] and not first[2] and self.columns[0].fit(row[0]) > 0
        known = sum(
            any(column.is_closed and column.values[cell] > 1 for column in self.columns)
            for cell in row
            if any(map(str.isalpha, cell))
        )
        if len(row) <= self.width:
            return known + is_begun > 1
        behind = row[len(row) - self.width + 1 :]  # what stands behind a mark in the first cell
        fits = all(
            column.fit(cell) > 0 for column, cell in zip(self.columns[1:], behind, strict=True) if cell
        )
        return bool(is_begun or known > 1 or (known and fits))

    def _is_in_step(self, row: Cells) -> bool:
        """Whether a row's cells stand where they belong: those at the end are blank, or remarks beside it."""
        if len(row) < self.width and self.has_gap:
            return True  # blocks beside each other, the longer one goes on
        pairs = [(column, cell) for column, cell in zip(self.columns, row, strict=False) if cell]
        if len(row) > self.width and not row[self.width]:  # a blank cell before the remark: nothing moved
            return all(_kind(cell) in column.kinds for column, cell in pairs)
        return all(column.fit(cell) > 0 for column, cell in pairs)

    def is_cut(self, row: Cells) -> bool:
        """Whether a row at the end of a file, without a line end, stops before the others do."""
        return 0 < len(row) < self.width and any(map(str.isdigit, row[0]))

    def _worth(self, cells: Cells) -> float:
        return sum(column.fit(cell) for column, cell in zip(self.columns, cells, strict=True))

    def _fits(self, cells: Cells) -> bool:
        """Whether each cell looks like those of its column, and none holds what belongs beside it."""
        pairs = [(column, cell) for column, cell in zip(self.columns, cells, strict=True) if cell]
        missing = [column for column, cell in zip(self.columns, cells, strict=True) if not cell]
        if any(not column.is_closed and not column.may_be_blank for column in missing):
            return False  # a card without its number or its name
        return all(column.fit(cell) > 0 for column, cell in pairs) and not any(
            column.is_in(cell) for column in missing for _, cell in pairs
        )

    def _ways(self, row: Cells) -> Iterator[tuple[Cells, float]]:
        """The ways to bring a row to the width of the table, each with what speaks for it besides."""
        more = len(row) - self.width
        if more > _MOST or -more > _MOST:
            return
        if more < 0:
            for places in combinations(range(self.width), -more):
                cells = iter(row)
                yield tuple("" if place in places else next(cells) for place in range(self.width)), 0.0
            return
        for place in range(self.width):
            joined = f"{self.mark} ".join(cell for cell in row[place : place + more + 1] if cell)
            is_day = more == 1 and _DAY.fullmatch(joined) is not None
            yield (*row[:place], joined, *row[place + more + 1 :]), _CLEARLY * is_day
        if more == 1:
            for place in range(1, len(row)):
                if row[place] == row[place - 1]:
                    yield row[:place] + row[place + 1 :], _CLEARLY
