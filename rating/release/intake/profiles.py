"""A column by its cells alone: how many are filled and different, in what stretches, how they run."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from rating.release.intake import looks, words

_SAMPLE = 1800  # rows of a table that are looked at: from its beginning, its middle and its end
_SHIFTED = 16  # rows, of which one may have lost its place


def are_codes(one: Profile) -> bool:
    """Whether cells are codes of one length, as 'TID' and 'BOS', or two of them."""
    codes = [part for cell in one.filled for part in looks.SIDE.split(cell)]
    lengths = Counter(len(code) for code in codes if looks.CODE.match(code))
    return bool(lengths) and max(lengths.values()) * 10 > 9 * len(codes)


_NAMES = 500  # of subsets, and more than there ever are
_LABEL = re.compile(r"\s*:\s+|\s+[-–—/|]\s+|\s*\(")


def joined_labels(names: Counter[str]) -> int:
    """How many names are a subset's and, behind a mark, its parallel's: 'base - brass', with 'base'."""
    if len(names) >= _NAMES:
        return 0
    return sum(any(name[: mark.start()] in names for mark in _LABEL.finditer(name)) for name in names)


def joins_labels(names: Counter[str]) -> bool:
    """Whether some names are those of subsets and of their parallels."""
    return joined_labels(names) > 0


@dataclass(frozen=True)
class Profile:
    """A column's cells in the order of the rows, blanks among them, with what can be counted of them."""

    place: int
    heading: str
    cells: tuple[str, ...]
    more: tuple[str, ...] = ()  # filled cells of other columns under the same heading

    @cached_property
    def filled(self) -> list[str]:
        """The cells that are not blank."""
        return [cell for cell in (*self.cells, *self.more) if cell]

    @cached_property
    def fill(self) -> float:
        """The share of cells that are not blank."""
        return sum(map(bool, self.cells)) / len(self.cells) if self.cells else 0.0

    @cached_property
    def kinds(self) -> Counter[str]:
        """The different cells, as compared, with their counts."""
        return Counter(words.fold(cell) for cell in self.filled)

    @cached_property
    def distinct(self) -> float:
        """The share of filled cells that are different from each other."""
        return len(self.kinds) / len(self.filled) if self.filled else 0.0

    @cached_property
    def blocks(self) -> int:
        """Into how many stretches of equal cells the filled cells fall."""
        folded = [words.fold(cell) for cell in self.filled]
        return sum(1 for a, b in zip(folded, [None, *folded], strict=False) if a != b)

    @cached_property
    def stretches(self) -> int:
        """Into how many stretches the filled cells fall that blank ones part."""
        return sum(
            bool(cell) and not before for cell, before in zip(self.cells, ("", *self.cells), strict=False)
        )

    @cached_property
    def is_constant(self) -> bool:
        """Whether all cells are the same, but for an unseen heading and a few shifted rows."""
        cells = Counter(map(words.fold, self.filled[1:]))
        return bool(cells) and cells.total() - max(cells.values()) <= cells.total() // _SHIFTED

    @cached_property
    def is_steady(self) -> bool:
        """Whether nearly all cells are the same."""
        return max(self.kinds.values(), default=0) * 10 > 9 * len(self.filled)

    def share(self, test: Callable[[str], object]) -> float:
        """The share of filled cells that pass a test; each different cell is tried once."""
        if not self.filled:
            return 0.0
        tried: dict[str, bool] = {}
        for cell in self.filled:
            if cell not in tried:
                tried[cell] = bool(test(cell))
        return sum(tried[cell] for cell in self.filled) / len(self.filled)

    def kinds_share(self, test: Callable[[str], object]) -> float:
        """The share of the different cells that pass a test: one subset of many cards is not most of them."""
        return sum(bool(test(one)) for one in self.kinds) / len(self.kinds) if self.kinds else 0.0

    @cached_property
    def running(self) -> float:
        """The share of neighbours whose last digits go up by one, or start again at one."""
        once = [cell for cell, before in zip(self.filled, ["", *self.filled], strict=False) if cell != before]
        tails = [
            int(found[1]) if (found := looks.TAIL.search(cell)) and len(found[1]) < 7 else None
            for cell in once
        ]
        if len(tails) < 3:
            return 0.0
        steps = [b is not None and ((a is not None and b - a == 1) or b == 1) for a, b in pairwise(tails)]
        return sum(steps) / len(steps)


def profiles(rows: Sequence[Sequence[str]], headings: Mapping[int, str]) -> list[Profile]:
    """The columns of a table's body."""
    if len(rows) > _SAMPLE:
        third, middle = _SAMPLE // 3, len(rows) // 2
        rows = [*rows[:third], *rows[middle : middle + third], *rows[-third:]]
    width = max([len(row) for row in rows] + [place + 1 for place in headings], default=0)
    return [
        Profile(place, headings.get(place, ""), tuple(row[place] if place < len(row) else "" for row in rows))
        for place in range(width)
    ]


def stem(heading: str) -> str:
    """A heading without the number or letter behind it: 'Athlete 1' and 'Athlete 2' are one."""
    return re.sub(r"[\s_#.(]*(?:\d+|(?<=\s)[ab])\)?$", "", words.fold(heading)).strip()
