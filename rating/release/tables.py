"""A tidy table, declared once: reading and writing it, what names its rows, and a data frame of them.

    CHECKLIST = Table(file="checklist.csv", row=Card, key=("subset", "number"), …)

Its columns are the fields of its row, a named tuple that ends with the row's number; `rating.release.columns`
says what a field can hold. Whoever adds a column adds a field, and nothing else.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Generic, TypeVar, get_type_hints

from rating import text
from rating.errors import Problem
from rating.release.columns import Column
from rating.release.csv_file import CsvColumns, parse, paused_collection, read_text, to_text

if TYPE_CHECKING:
    import pandas as pd

# how a data frame keeps a column; whole numbers may be missing, days and decimals stay what they are
_KEPT_AS: dict[str, Any] = {
    "text": str,
    "choice": str,
    "whole": "Int64",
    "decimal": object,
    "day": object,
    "yes": bool,
}
_key = lru_cache(maxsize=65_536)(text.key)


R = TypeVar("R", bound=tuple[Any, ...])
# a column's place, and what two of its cells have in common that are the same
_Way = tuple[int, Callable[[str], str]]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Table(Generic[R]):
    """A tidy table.

    file
        its name in the folder
    about
        what one row says
    nouns
        what a row is called, and several
    row
        the type of a row; its fields are the columns
    key
        the columns that name a row
    problems
        what is wrong between cells or rows that are each right; given all rows and the name of the file
    is_usable
        which rows are kept; others miss something, which is a problem already
    columns, names
        the columns in the order of the file, and what they are called
    """

    file: str
    about: str
    nouns: tuple[str, str]
    row: type[R]
    key: tuple[str, ...]
    problems: Callable[[Sequence[R], str], Iterable[Problem]] | None = None
    is_usable: Callable[[R], bool] | None = None
    columns: tuple[Column, ...] = field(init=False)
    names: tuple[str, ...] = field(init=False, repr=False)
    _key_ways: tuple[_Way, ...] = field(init=False, repr=False)
    _own_ways: tuple[_Way, ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        hints = get_type_hints(self.row, include_extras=True)
        if list(hints)[-1] != "row":
            raise ValueError(f"{self.row.__name__} ends with {list(hints)[-1]}, not with the row's number")
        del hints["row"]
        found = []
        for name, hint in hints.items():
            column = next(one for one in hint.__metadata__ if isinstance(one, Column))
            found.append(dataclasses.replace(column, name=column.name or name))
        ways = [(place, column.cell.compared) for place, column in enumerate(found)]
        object.__setattr__(self, "columns", tuple(found))
        object.__setattr__(self, "names", tuple(column.name for column in found))
        places = [self.place(name) for name in self.key]
        object.__setattr__(self, "_key_ways", tuple((place, ways[place][1] or _key) for place in places))
        object.__setattr__(self, "_own_ways", tuple((place, way) for place, way in ways if way))

    def place(self, name: str) -> int:
        """Where a column stands, counted from 0."""
        return self.names.index(name)

    def pick(self, cells: Sequence[str], *names: str) -> tuple[str, ...]:
        """Some cells of a row, by the names of their columns."""
        return tuple(cells[self.place(name)] for name in names)

    # reading and writing ---------------------------------------------------------------------------------

    def read(self, path: Path, *, file: str = "") -> tuple[tuple[R, ...], list[Problem]]:
        """The rows of a file with their problems; `file` is how messages name it.

        Raises
        ------
        rating.errors.RatingError
            if it cannot be read, or is no CSV with this header
        """
        file = file or path.name
        return self.parse(read_text(path, file=file), file=file)

    def parse(self, content: str, *, file: str = "") -> tuple[tuple[R, ...], list[Problem]]:
        """The rows in the text of a file with their problems, see `read`."""
        with paused_collection():
            cells = self._cells(content, file or self.file)
            across = [column.cell.read(cells, column.name, column.required) for column in self.columns]
            make: Callable[[Iterable[Any]], R] = partial(tuple.__new__, self.row)
            rows = tuple(map(make, zip(*across, cells.row_numbers, strict=True)))
            if self.problems is not None:
                cells.problems += self.problems(rows, cells.file)
            return (tuple(filter(self.is_usable, rows)) if self.is_usable else rows), cells.problems

    def read_cells(self, path: Path) -> list[tuple[str, ...]]:
        """The rows of a file as tidied text, right or wrong, see `read`."""
        cells = self._cells(read_text(path, file=path.name), path.name).cells
        return list(zip(*(cells[name] for name in self.names), strict=True))

    def _cells(self, content: str, file: str) -> CsvColumns:
        required = [one.name for one in self.columns if one.required or one.is_always_there]
        return parse(content, self.names, required=required, file=file)

    def cells_of(self, row: R) -> tuple[str, ...]:
        """A row as the file has it."""
        return tuple(column.cell.write(value) for column, value in zip(self.columns, row, strict=False))

    def to_text(self, rows: Iterable[R]) -> str:
        """The text of the file."""
        return self.text_of([self.cells_of(row) for row in rows])

    def text_of(self, rows: Sequence[Sequence[str]]) -> str:
        """The text of the file from the cells of its rows."""
        kept = [
            place
            for place, column in enumerate(self.columns)
            if not column.is_left_out or any(row[place] for row in rows)
        ]
        return to_text(
            [self.names[place] for place in kept], ([row[place] for place in kept] for row in rows)
        )

    # which rows are the same -----------------------------------------------------------------------------

    def name_of(self, row: R) -> tuple[str, ...]:
        """What names a row, as names are compared."""
        return tuple(_key(self.columns[place].cell.write(row[place])) for place, _ in self._key_ways)

    def repeated(self, rows: Iterable[R]) -> Iterator[tuple[R, R]]:
        """Each row that is named as one above it, after the first that is."""
        first: dict[tuple[str, ...], R] = {}
        for row in rows:
            name = self.name_of(row)
            if name in first:
                yield first[name], row
            else:
                first[name] = row

    def compared(self, cells: Sequence[str]) -> list[str]:
        """The cells of a row, those with a way of their own to be compared in that way."""
        found = list(cells)
        for place, way in self._own_ways:
            found[place] = way(found[place])
        return found

    def key_of(self, cells: Sequence[str]) -> tuple[str, ...]:
        """What names a row, from its cells, each compared in its column's way."""
        return tuple([way(cells[place]) for place, way in self._key_ways])

    # for notebooks ---------------------------------------------------------------------------------------

    def frame(self, rows: Iterable[R]) -> pd.DataFrame:
        """Rows as a data frame: several values of a cell as the file has them, missing numbers missing."""
        import pandas as pd

        across = list(zip(*rows, strict=True)) or [()] * len(self.columns)
        shown = {
            one.name: list(map(one.cell.write, values)) if one.cell.is_list else list(values)
            for one, values in zip(self.columns, across, strict=False)
        }
        return pd.DataFrame(shown).astype({one.name: _KEPT_AS[one.cell.type] for one in self.columns})
