"""Which words of a table other documents use too: a subset is named in odds, legends and sentences."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache

from rating.release.intake import words
from rating.release.intake.values import Grid

_ROWS = 1_500  # of a document that are searched
_SHORTEST = 4  # letters of what is looked for


class Mentions:
    """The words of all documents, each searched apart from the others."""

    def __init__(self, grids: Iterable[Grid] = ()) -> None:
        self._grids = tuple(grids)
        self._text = lru_cache(maxsize=None)(self._read)

    def _read(self, place: int) -> str:
        rows = self._grids[place].rows[:_ROWS]
        return "|".join(f" {words.fold(cell)} " for row in rows for cell in row.filled)

    def beside(self, own: Iterable[int]) -> Callable[[str], bool]:
        """Whether any other document than these, by their identities, has a text in it, as whole words."""
        left_out = set(own)
        others = [place for place, grid in enumerate(self._grids) if id(grid) not in left_out]

        def are_there(cell: str) -> bool:
            said = words.fold(cell)
            return len(said) >= _SHORTEST and any(f" {said} " in self._text(place) for place in others)

        return are_there
