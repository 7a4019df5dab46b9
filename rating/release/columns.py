"""What a cell of a tidy table may hold, and the columns of such cells: for reading, writing and telling.

A row of a table is a named tuple, and each of its fields says beside its type which column it is:

    print_run: Annotated[int | None, Column("how many copies exist", whole(low=1, fix="…"))]

`rating.release.tables.Table` makes the table of it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, Literal

from rating import text
from rating.release.csv_file import CsvColumns
from rating.tomlfile import FIRST_DAY, LAST_DAY

Type = Literal["text", "choice", "whole", "decimal", "day", "yes"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """What the cells of a column may hold.

    type
        what kind of value it is, in a word; `choices` are the words that a choice can be
    read
        the values of a column, given its name and whether it is required, with a problem for each wrong cell
    write
        a value as a cell has it
    compared
        what two cells have in common that are the same; None for `rating.text.key`
    is_list
        whether a cell may hold several values
    """

    type: Type
    read: Callable[[CsvColumns, str, bool], Sequence[Any]]
    write: Callable[[Any], str] = str
    compared: Callable[[str], str] | None = None
    choices: tuple[str, ...] = ()
    is_list: bool = False


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a tidy table: what stands in it, and what its cells may hold.

    name
        that of the row's field where it is blank
    required
        whether every row says it; else a blank cell is not known, or not so
    is_always_there
        whether a file must have the column though its cells may be blank
    is_left_out
        whether a column that says nothing is not written
    """

    about: str
    cell: Cell
    name: str = ""
    required: bool = False
    is_always_there: bool = False
    is_left_out: bool = False


def words(*, limit: int = text.NAME_LIMIT, compared: Callable[[str], str] | None = None) -> Cell:
    """Text of so many characters at most."""

    def read(cells: CsvColumns, name: str, required: bool) -> Sequence[str]:
        return cells.words(name, required=required, limit=limit)

    return Cell(type="text", read=read, compared=compared)


def names(*, fix: str) -> Cell:
    """A name, or several parted by ' / '."""

    def read(cells: CsvColumns, name: str, required: bool) -> Sequence[tuple[str, ...]]:
        column = cells.words(name, required=required, limit=400)
        different = set(column)
        special: dict[str, tuple[str, ...]] = {"": ()} if "" in different else {}
        if "/" in "\n".join(different):
            special |= {cell: tuple(cell.split(" / ")) for cell in different if "/" in cell}
            what = f"{name} is {{!r}}, with nothing on one side of the stroke"
            halves = [cell for cell, parts in special.items() if any(map(_is_half, parts))]
            cells.complain_of(name, {cell: (what.format(cell), fix, "bad-value") for cell in halves})
        if len(different) * 4 < len(column):
            known = {cell: (cell,) for cell in different} | special
            return [known[cell] for cell in column]
        alone = zip(column)  # one column: each name becomes a tuple of one, at the speed of C
        return [special.get(cell[0], cell) for cell in alone] if special else list(alone)

    return Cell(type="text", read=read, write=" / ".join, is_list=True)


def _is_half(part: str) -> bool:
    """Whether a name among others is blank, or the stroke beside it stands without a blank."""
    return part[:1] in {"", "/"} or part[-1] == "/"


def keys(*, fix: str) -> Cell:
    """Keys parted by commas or blanks."""

    def parse(cell: str) -> tuple[str, ...]:
        return tuple(cell.replace(",", " ").split())

    return parsed("text", parse, blank=(), fix=fix, write=" ".join, is_list=True)


def choice(choices: tuple[str, ...]) -> Cell:
    """One of a few words, compared without regard to capitals."""
    known = {text.key(one): one for one in choices}

    def parse(cell: str) -> str:
        if text.key(cell) not in known:
            raise ValueError(cell)
        return known[text.key(cell)]

    def read(cells: CsvColumns, name: str, required: bool) -> Sequence[str]:
        fix = f"write one of {', '.join(choices)}" + ("" if required else ", or leave it blank")
        return cells.read(name, parse, blank="", fix=fix, required=required)

    return Cell(type="choice", read=read, choices=choices)


def whole(*, low: int, high: int = 1_000_000, blank: int | None = None, fix: str) -> Cell:
    """A whole number between two ends."""
    return parsed("whole", whole_between(low, high), blank=blank, fix=fix, write=_or_blank(str))


def decimal(
    parse: Callable[[str], Decimal],
    *,
    blank: Decimal | None = None,
    fix: str,
    write: Callable[[Decimal], str] = "{:f}".format,
) -> Cell:
    """A number that may have places behind its point, kept exactly."""
    return parsed("decimal", parse, blank=blank, fix=fix, write=_or_blank(write))


def day(*, blank: date | None, fix: str) -> Cell:
    """A day as a tidy table has it."""
    return parsed("day", read_day, blank=blank, fix=fix, write=_or_blank(date.isoformat))


def yes() -> Cell:
    """A mark: yes, or blank."""
    return parsed(
        "yes",
        read_yes,
        blank=False,
        fix="write yes, or leave it blank",
        write=lambda value: "yes" if value else "",
    )


def parsed(
    kind: Type,
    parse: Callable[[str], Any],
    *,
    blank: Any,
    fix: str,
    write: Callable[[Any], str] = str,
    is_list: bool = False,
) -> Cell:
    """What a function reads, which raises ValueError for another text.

    Parameters
    ----------
    blank : the value of a blank cell, and of one that cannot be read
    fix : what to write instead
    """

    def read(cells: CsvColumns, name: str, required: bool) -> Sequence[Any]:
        return cells.read(name, parse, blank=blank, fix=fix, required=required)

    return Cell(type=kind, read=read, write=write, is_list=is_list)


def _or_blank(write: Callable[[Any], str]) -> Callable[[Any], str]:
    return lambda value: "" if value is None else write(value)


def read_yes(cell: str) -> bool:
    """True for 'yes'; anything else that is not blank raises ValueError."""
    if text.key(cell) != "yes":
        raise ValueError(cell)
    return True


def read_day(cell: str) -> date:
    """A day as it is written in a tidy table, 2031-03-12; ValueError for anything else.

    So it is for a day on which nobody collects cards, such as one of the year 1.
    """
    found = date.fromisoformat(cell)
    if found.isoformat() != cell:  # Python reads 20310312 and 2031-W11-3 as well
        raise ValueError(cell)
    if not FIRST_DAY <= found <= LAST_DAY:
        raise ValueError(cell)
    return found


def whole_between(low: int, high: int) -> Callable[[str], int]:
    """A parser of whole numbers between two ends; ValueError for anything else."""

    def parse(cell: str) -> int:
        if not (cell.isascii() and cell.isdigit() and len(cell) < 10 and low <= int(cell) <= high):
            raise ValueError(cell)
        return int(cell)

    return parse
