"""A person's CSV file as columns of tidied text, every problem with its row; and the text of such a file.

Rows are numbered as a spreadsheet program shows them: the header is row 1. What can be asked of a whole text
is not asked of its cells, and a cell is parsed once for all that are like it, so that a checklist of 50,000
rows costs little more than taking it apart.
"""

from __future__ import annotations

import csv
import gc
import io
import itertools
import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple, TypeVar

from rating import regular, text
from rating.errors import Problem, RatingError

Value = TypeVar("Value")

# what tidy cells, joined by line ends, do not hold
_UNTIDY = ("  ", " \n", "\n ")
# what a line may begin with that holds nothing
_BLANK_STARTS = re.compile(r"\n[,\s]")
_QUOTED = re.compile(r'"[^"]*(?:""[^"]*)*"')
_BLANKS = re.compile(r"[^\S \n]")
_NO_MARKS = bytes(set(range(256)) - set(b",\n"))
_SEEN = bytes((*b"\n", *range(0x20, 0x7F)))
_FIELD_LIMIT = 32_767


@dataclass(slots=True)
class CsvColumns:
    """The columns of a CSV file as tidied text, the number of each row, and the problems found in them.

    `is_printable`, whether all marks of the file can be seen, and `longest`, a number of characters that no
    cell goes beyond, spare looks at every cell.
    """

    file: str
    cells: dict[str, Sequence[str]]
    row_numbers: Sequence[int]
    problems: list[Problem] = field(default_factory=list)
    is_printable: bool = False
    longest: int = _FIELD_LIMIT

    def complain(self, index: int, what: str, fix: str, code: str = "bad-value") -> None:
        """Add a problem about one row, counted from 0."""
        self.problems.append(
            Problem(code=code, file=self.file, row=self.row_numbers[index], what=what, fix=fix)
        )

    def complain_of(self, name: str, wrong: dict[str, tuple[str, str, str]]) -> None:
        """Add a problem for each cell of a column that is wrong, by its text: what, fix and code."""
        if wrong:
            for index, cell in enumerate(self.cells[name]):
                if cell in wrong:
                    self.complain(index, *wrong[cell])

    def read(
        self, name: str, parse: Callable[[str], Value], *, blank: Value, fix: str, required: bool = False
    ) -> list[Value]:
        """A column read cell by cell; each different text is parsed once.

        `parse` raises ValueError for a text it cannot read; such a cell becomes `blank` and a problem.
        """
        column = self.cells[name]
        if not required and not any(column):
            return [blank] * len(column)
        wrong: dict[str, tuple[str, str, str]] = {}

        def value_of(cell: str) -> Value:
            try:
                if cell:
                    return parse(cell)
                if required:
                    wrong[cell] = (f"{name} is blank", fix, "bad-value")
            except ValueError:
                wrong[cell] = (f"{name} is {text.printable(cell[:60])!r}", fix, "bad-value")
            return blank

        values = each_once(value_of, column)
        self.complain_of(name, wrong)
        return values

    def words(self, name: str, *, required: bool = False, limit: int = text.NAME_LIMIT) -> Sequence[str]:
        """A column of text; what is too long or holds invisible marks is a problem."""
        column = self.cells[name]
        wrong = {}
        if not self.is_printable and not "".join(column).isprintable():
            for cell in set(column):
                if mark := text.bad_marks(cell):
                    what = f"{name} holds the invisible mark {mark}"
                    wrong[cell] = (what, "type the text again", "bad-mark")
        if self.longest > limit and max(map(len, column), default=0) > limit:
            for cell in set(column):
                if len(cell) > limit:
                    what = f"{name} has {len(cell)} characters"
                    wrong[cell] = (what, f"shorten it to at most {limit}", "bad-value")
        if required and "" in column:
            wrong[""] = (f"{name} is blank", f"write the {name}", "missing-value")
        self.complain_of(name, wrong)
        return column


class _Kept(dict[str, Value]):
    """The values of texts, each worked out when it is asked for first."""

    def __init__(self, value_of: Callable[[str], Value]) -> None:
        super().__init__()
        self._value_of = value_of

    def __missing__(self, cell: str) -> Value:
        value = self[cell] = self._value_of(cell)
        return value


def each_once(value_of: Callable[[str], Value], column: Iterable[str]) -> list[Value]:
    """The value of each cell, worked out once for all that are like it."""
    return list(map(_Kept(value_of).__getitem__, column))


def read_text(path: Path, *, file: str) -> str:
    """The text of a CSV file in UTF-8, with or without a byte order mark.

    Raises
    ------
    RatingError
        if it cannot be read, or is no such text
    """
    regular.hold(path, file=file)
    try:
        data = path.read_bytes()
    except OSError as fault:
        raise RatingError(
            f"the file cannot be read: {fault.strerror}", where=file, fix="check that you may read it"
        ) from fault
    if b"\0" in data:
        raise RatingError("the file is not text", where=file, fix="save it as CSV in UTF-8")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        row = fault.object.count(b"\n", 0, fault.start) + 1  # without the byte order mark
        raise RatingError(
            f"byte {fault.start + 1} is not UTF-8 text",
            where=f"{file}, line {row}",
            fix="save it as CSV in UTF-8",
        ) from fault


@contextmanager
def paused_collection() -> Iterator[None]:
    """Rest the garbage collector while many small values are made: it would walk them over and over."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def parse(content: str, names: Sequence[str], *, required: Sequence[str], file: str) -> CsvColumns:
    """The columns in the text of a CSV file.

    Parameters
    ----------
    names : the columns that the file may have; those left out of it read as blank
    required : the columns that it must have

    Raises
    ------
    RatingError
        if it is no CSV at all, or its header is another one
    """
    _refuse_semicolons(content, names, file)
    found = _split(content) or _read_csv(content, file)
    if not any(name.strip() for name in found.header):
        raise RatingError("the file is empty", where=file, fix=f"begin it with the header: {','.join(names)}")
    header = [text.key(name) for name in found.header]
    _refuse_header(header, names, required, file)
    width = len(header)
    is_printable = _is_printable(found.joined)
    across: Iterable[Sequence[str]] = (found.cells[width + place :: width] for place in range(width))
    if _is_untidy(found.joined, is_printable):
        across = map(_tidied, across)
    cells = dict(zip(header, across, strict=True))
    for name in names:
        cells.setdefault(name, ("",) * len(found.row_numbers))
    return CsvColumns(file, cells, found.row_numbers, found.problems, is_printable, found.longest)


def _refuse_semicolons(content: str, names: Sequence[str], file: str) -> None:
    """Refuse a table as a spreadsheet program saves it where the comma is the decimal mark."""
    first = content.partition("\n")[0].split(";")
    if len(first) > 1 and any(text.key(name).strip('"') in names for name in first):
        raise RatingError(
            "its cells are separated by semicolons, a tidy table has commas between them",
            where=f"{file}, line 1",
            fix="save it as CSV with the comma as separator and points in decimal numbers",
        )


class _Cells(NamedTuple):
    """What a text was taken apart into.

    cells
        those of all rows, one row after the other, the header first; none holds a line end
    joined
        the same with line ends between them, to be looked at
    longest
        a number of characters that no cell goes beyond
    """

    header: list[str]
    cells: list[str]
    joined: str
    longest: int
    row_numbers: Sequence[int]
    problems: list[Problem]


def _split(content: str) -> _Cells | None:
    """The cells of a text with even rows, none blank, and few quotes, by splitting alone; else None.

    A large checklist is nearly always of this kind, and is read twice as fast as by the csv module. What
    stands in quotes is taken out first, and put back where the mark is that it left.
    """
    if "\0" in content or content.count('"') > 2 * content.count("\n"):
        return None
    found = _QUOTED.findall(content) if '"' in content else []
    content = _QUOTED.sub("\0", content) if found else content
    if "\r" in content:
        content = content.replace("\r\n", "\n").replace("\r", "\n")
    content = content.removesuffix("\n")
    lines = content.split("\n")
    commas = lines[0].count(",")
    marks = content.encode("utf-8", "surrogatepass").translate(None, _NO_MARKS)
    if '"' in content or not commas or marks + b"\n" != (b"," * commas + b"\n") * len(lines):
        return None
    if _BLANK_STARTS.search(content) and not all(line.replace(",", "").strip() for line in lines):
        return None
    longest = max(map(len, (*lines, *found)))
    quoted = [text.tidy(cell[1:-1].replace('""', '"')) for cell in found]
    if longest > _FIELD_LIMIT or not all(quoted):
        return None
    joined = content.replace(",", "\n")
    cells = joined.split("\n")
    if not _put_back(cells, quoted):
        return None
    joined = "\n".join((joined.replace("\0", ""), *quoted)) if quoted else joined
    return _Cells(cells[: commas + 1], cells, joined, longest, range(2, len(lines) + 1), [])


def _put_back(cells: list[str], quoted: Sequence[str]) -> bool:
    """Put texts where their marks are; whether each has a cell for itself.

    Where one has not, a quote stood in the middle of a cell, and was a letter like others.
    """
    place = -1
    try:
        for cell in quoted:
            place = cells.index("\0", place + 1)
            cells[place] = cell
    except ValueError:
        return False
    return True


def _read_csv(content: str, file: str) -> _Cells:
    """The cells of any CSV text, with a problem for each row of another width than the header."""
    csv.field_size_limit(_FIELD_LIMIT)
    rows: list[list[str]] = []
    try:
        rows.extend(csv.reader(io.StringIO(content, newline=""), strict=True))
    except csv.Error as fault:
        raise RatingError(
            f"this is not CSV: {fault}",
            where=f"{file}, line {len(rows) + 1}",
            fix='close every quote, and write a quote inside a text twice ("")',
        ) from None
    header = rows[0] if rows else []
    kept, numbers, problems = _even(rows[1:], len(header), file)
    cells = [*header, *itertools.chain.from_iterable(kept)]
    joined = "\n".join(cells)
    if joined.count("\n") >= max(len(cells), 1):
        cells = [text.tidy(cell) if "\n" in cell else cell for cell in cells]
        joined = "\n".join(cells)
    longest = max(map(len, map("".join, kept)), default=0)
    return _Cells(header, cells, joined, longest, numbers, problems)


def _even(
    body: Sequence[list[str]], width: int, file: str
) -> tuple[Sequence[list[str]], Sequence[int], list[Problem]]:
    """Rows of the right width with their numbers; blank ones are passed over, others become problems."""
    kept, numbers, problems = [], [], []
    for number, row in enumerate(body, start=2):
        if not "".join(row).strip():
            continue
        if len(row) == width:
            kept.append(row)
            numbers.append(number)
        else:
            what = f"the row has {len(row)} cells, the header {width}"
            fix = "put quotes around a text with a comma in it, or fill in the missing cells"
            problems.append(Problem(code="ragged-row", file=file, row=number, what=what, fix=fix))
    return kept, numbers, problems


def _is_printable(joined: str) -> bool:
    """Whether all marks of some cells, joined by line ends, can be seen."""
    if joined.isascii():  # ten times as fast as asking the text
        return not joined.encode().translate(None, _SEEN)
    return joined.replace("\n", "").isprintable()


def _is_untidy(joined: str, is_printable: bool) -> bool:
    """Whether one of some cells, joined by line ends, has blanks that do not belong, or is not composed.

    Of all blanks only the space is printable.
    """
    if joined[:1] == " " or joined[-1:] == " " or any(mark in joined for mark in _UNTIDY):
        return True
    if not is_printable and _BLANKS.search(joined):
        return True
    return not joined.isascii() and not unicodedata.is_normalized("NFC", joined)


def _tidied(column: Sequence[str]) -> Sequence[str]:
    different = set(column)
    if not _is_untidy("\n".join(different), is_printable=False):
        return column
    return each_once(text.tidy, column)


def _refuse_header(header: list[str], names: Sequence[str], required: Sequence[str], file: str) -> None:
    twice = sorted({name for name in header if header.count(name) > 1})
    unknown = [name for name in header if name not in names]
    missing = [name for name in required if name not in header]
    found = []
    for wrong, what in ((twice, "stands twice"), (unknown, "is not known here"), (missing, "is missing")):
        found += [f"the column {text.printable(name[:40])!r} {what}" for name in wrong]
    if found:
        fix = f"use the columns {', '.join(names)}"
        raise RatingError("; ".join(found), where=f"{file}, line 1", fix=fix)


def to_text(names: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """The text of a CSV file: header, one fact a row, None and False as blank, True as yes."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(names)
    writer.writerows(
        [value if type(value) is str and "\r" not in value else _cell(value) for value in row] for row in rows
    )
    return out.getvalue()


def _cell(value: object) -> str:
    if value is None or value is False:
        return ""
    # the writer puts quotes around LF, but before Python 3.13 not around CR, which ends a row as well
    return "yes" if value is True else str(value).replace("\r\n", "\n").replace("\r", "\n")
