"""What other documents speak of: a subset leads the lines of odds, legends and sentences on its cards."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import lru_cache

from rating.release.intake import words
from rating.release.intake.values import Grid

_ROWS = 1_500  # of a document that are looked at
_NARROW = 2  # cells of a row that may each be a name
_WORDS = 8  # of a name, at most
_SHORTEST = 4  # letters of a name
_BEGUN = re.compile(r"(?:[.;:]|\bof|\bcards in)\s+")


class Mentions:
    """The words that lead lines and sentences of all documents, those of each apart from the others."""

    def __init__(self, grids: Iterable[Grid] = ()) -> None:
        self._grids = tuple(grids)
        self._led = lru_cache(maxsize=None)(self._read)

    def _read(self, place: int) -> frozenset[str]:
        found: set[str] = set()
        for row in self._grids[place].rows[:_ROWS]:
            cells = (
                row.filled if len(row.filled) <= _NARROW else row.filled[:1]
            )  # others hold persons and teams
            for cell in cells:
                for said in _BEGUN.split(cell):
                    led = words.fold(said[:200]).split()[:_WORDS]
                    found.update(" ".join(led[:number]) for number in range(1, len(led) + 1))
        return frozenset(found)

    def beside(self, own: Iterable[int]) -> Callable[[str], bool]:
        """Whether any other document than these, by their identities, has a line that begins so."""
        left_out = set(own)
        others = [place for place, grid in enumerate(self._grids) if id(grid) not in left_out]

        def are_there(cell: str) -> bool:
            said = words.fold(cell)
            return len(said) >= _SHORTEST and any(said in self._led(place) for place in others)

        return are_there
