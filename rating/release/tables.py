"""Reading and writing the tidy tables: CSV text in, checked columns out, every problem with its row.

Rows are numbered as a spreadsheet program shows them: the header is row 1. Checks run over the different
values of a column, not over its cells, so that a checklist of 50,000 rows costs little more than its parse.
"""

from __future__ import annotations

import csv
import gc
import io
import os
import re
import tempfile
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import TypeVar

from rating import text
from rating.errors import Problem, RatingError

Value = TypeVar("Value")

# what tidy texts, joined by line ends, do not hold
_UNTIDY = ("  ", " \n", "\n ", "\t", "\r", "\v", "\f", "\x1c", "\x1d", "\x1e", "\x1f")
_OTHER_BLANK = re.compile(r"[^\S\x00-\x20]")
# how a blank row may begin
_MAY_BE_BLANK = re.compile(r"\n[,\s]")
_FIELD_LIMIT = 32_767
_SHOWN_PROBLEMS = 50


@dataclass(slots=True)
class Columns:
    """The columns of one table as tidied text, its number of rows, and the problems found in it."""

    file: str
    rows: int
    cells: dict[str, Sequence[str]]
    problems: list[Problem] = field(default_factory=list)
    row_numbers: Sequence[int] = ()
    is_printable: bool = False
    _different: dict[str, set[str]] = field(default_factory=dict)

    def different(self, name: str) -> set[str]:
        """The different texts of a column."""
        if name not in self._different:
            self._different[name] = set(self.cells[name])
        return self._different[name]

    def complain(self, index: int, what: str, fix: str, code: str = "bad-value") -> None:
        """Add a problem about one row, counted from 0."""
        self.problems.append(
            Problem(code=code, file=self.file, row=self.row_numbers[index], what=what, fix=fix)
        )

    def read(
        self, name: str, parse: Callable[[str], Value], *, blank: Value, fix: str, required: bool = False
    ) -> list[Value]:
        """A column read cell by cell; each different text is parsed once.

        `parse` raises ValueError for a text it cannot read; such a cell becomes `blank` and a problem.
        """
        column = self.cells[name]
        different = self.different(name)
        if different == {""} and not required:
            return [blank] * len(column)
        values: dict[str, Value] = {}
        wrong: dict[str, str] = {}
        for cell in different:
            try:
                if cell:
                    values[cell] = parse(cell)
                else:
                    values[cell] = blank
                    if required:
                        wrong[cell] = f"{name} is blank"
            except ValueError:
                values[cell] = blank
                wrong[cell] = f"{name} is {text.printable(cell[:60])!r}"
        if wrong:
            places = [(index, cell) for index, cell in enumerate(column) if cell in wrong]
            for index, cell in places:
                self.complain(index, wrong[cell], fix)
        return [values[cell] for cell in column]

    def one_of(self, name: str, choices: tuple[str, ...], *, required: bool = False) -> list[str]:
        """A column that holds one of a few words, compared without regard to capitals."""
        known = {text.key(choice): choice for choice in choices}

        def parse(cell: str) -> str:
            if text.key(cell) not in known:
                raise ValueError(cell)
            return known[text.key(cell)]

        fix = f"write one of {', '.join(choices)}" + ("" if required else ", or leave it blank")
        return self.read(name, parse, blank="", fix=fix, required=required)

    def words(self, name: str, *, required: bool = False, limit: int = text.NAME_LIMIT) -> Sequence[str]:
        """A column of text; what is too long or holds invisible marks is a problem."""
        column = self.cells[name]
        wrong = {}
        different = self.different(name)
        if not self.is_printable:
            for cell in different:
                if mark := text.bad_marks(cell):
                    wrong[cell] = (
                        f"{name} holds the invisible mark {mark}",
                        "type the text anew",
                        "bad-mark",
                    )
        if max(map(len, different), default=0) > limit:
            for cell in different:
                if len(cell) > limit:
                    what = f"{name} has {len(cell)} characters"
                    wrong[cell] = (what, f"shorten it to at most {limit}", "bad-value")
        if required and "" in different:
            wrong[""] = (f"{name} is blank", f"write the {name}", "missing-value")
        if wrong:
            for index, cell in enumerate(column):
                if cell in wrong:
                    self.complain(index, *wrong[cell])
        return column


def yes(cell: str) -> bool:
    """True for 'yes'; anything else that is not blank raises ValueError."""
    if text.key(cell) != "yes":
        raise ValueError(cell)
    return True


def day(cell: str) -> date:
    """A day as it is written in a tidy table, 2031-03-12; ValueError for anything else."""
    found = date.fromisoformat(cell)
    if found.isoformat() != cell:  # Python reads 20310312 and 2031-W11-3 as well
        raise ValueError(cell)
    return found


def whole(low: int = 0, high: int = 1_000_000) -> Callable[[str], int]:
    """A parser of whole numbers between two ends."""

    def parse(cell: str) -> int:
        if not (cell.isascii() and cell.isdigit() and len(cell) < 10 and low <= int(cell) <= high):
            raise ValueError(cell)
        return int(cell)

    return parse


def read(path: Path, columns: tuple[str, ...], *, required: tuple[str, ...], file: str = "") -> Columns:
    """The columns of a tidy table.

    Parameters
    ----------
    columns : the columns that the table may have; those left out of the file read as blank
    required : the columns that it must have

    Raises
    ------
    RatingError
        if the file cannot be read as text or CSV at all, or its header is not one of a tidy table
    """
    file = file or path.name
    return parse(read_text(path, file=file), columns, required=required, file=file)


def read_text(path: Path, *, file: str) -> str:
    """The text of a CSV file in UTF-8, with or without a byte order mark."""
    try:
        data = path.read_bytes()
    except OSError as fault:
        raise RatingError(
            f"the file cannot be read: {fault.strerror}", where=file, fix="see to its rights"
        ) from fault
    if b"\0" in data:
        raise RatingError("the file is no text", where=file, fix="save it as CSV in UTF-8")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        row = fault.object.count(b"\n", 0, fault.start) + 1  # without the byte order mark
        raise RatingError(
            f"byte {fault.start + 1} is no UTF-8 text",
            where=f"{file}, row {row}",
            fix="save it as CSV in UTF-8",
        ) from fault


def parse(content: str, columns: tuple[str, ...], *, required: tuple[str, ...], file: str) -> Columns:
    """The columns of a tidy table's text, see `read`."""
    with paused_collection():
        return _parse(content, columns, required, file)


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


def _parse(content: str, columns: tuple[str, ...], required: tuple[str, ...], file: str) -> Columns:
    _refuse_semicolons(content, columns, file)
    header, across, numbers, problems = _split(content) or _read_csv(content, file)
    if not any(name.strip() for name in header):
        raise RatingError(
            "the file is empty", where=file, fix=f"begin it with the header: {','.join(columns)}"
        )
    header = [text.key(name) for name in header]
    wrong = _header_problems(header, columns, required, file)
    if wrong:
        raise RatingError(wrong[0].what, where=f"{file}, row 1", fix=wrong[0].fix)
    table: dict[str, Sequence[str]] = dict(zip(header, across, strict=True))
    different = {}
    is_printable = True
    for name, column in table.items():
        texts = set(column)
        joined = "\n".join(texts)
        if _is_untidy(joined) or joined.count("\n") >= max(len(texts), 1):
            clean = {cell: text.tidy(cell) for cell in texts}
            table[name] = [clean[cell] for cell in column]
            texts = set(clean.values())
        different[name] = texts
        is_printable = is_printable and joined.replace("\n", "").isprintable()
    for name in columns:
        table.setdefault(name, ("",) * len(numbers))
    return Columns(file, len(numbers), table, problems, numbers, is_printable, different)


def _refuse_semicolons(content: str, columns: tuple[str, ...], file: str) -> None:
    """Refuse a table as a spreadsheet program saves it where the comma is the decimal mark."""
    first = content.partition("\n")[0].split(";")
    if len(first) > 1 and any(text.key(name).strip('"') in columns for name in first):
        raise RatingError(
            "its cells are parted by semicolons, a tidy table has commas between them",
            where=f"{file}, row 1",
            fix="save it as CSV with the comma as separator and points in decimal numbers",
        )


_Split = tuple[list[str], Sequence[Sequence[str]], Sequence[int], list[Problem]]


def _split(content: str) -> _Split | None:
    """Header and columns of a text without quotes, with even rows, none blank, by splitting alone; else None.

    A large checklist is nearly always of this kind, and is read four times as fast as by the csv module.
    """
    if '"' in content or "\r" in content:
        return None
    lines = content.removesuffix("\n").split("\n")
    header = lines[0].split(",")
    commas = len(header) - 1
    if not commas or {line.count(",") for line in lines} != {commas} or max(map(len, lines)) > _FIELD_LIMIT:
        return None
    if _MAY_BE_BLANK.search(content) and not all(line.replace(",", "").strip() for line in lines):
        return None
    cells = ",".join(lines).split(",")
    width = len(header)
    across = [cells[place::width][1:] for place in range(width)]
    return header, across, range(2, len(lines) + 1), []


def _read_csv(content: str, file: str) -> _Split:
    """Header and columns of any CSV text, with a problem for each row of another width than the header."""
    csv.field_size_limit(_FIELD_LIMIT)
    rows: list[list[str]] = []
    try:
        rows.extend(csv.reader(io.StringIO(content, newline=""), strict=True))
    except csv.Error as fault:
        raise RatingError(
            f"this is no CSV: {fault}",
            where=f"{file}, row {len(rows) + 1}",
            fix='close every quote, and write a quote inside a text twice ("")',
        ) from None
    header = rows[0] if rows else []
    body, numbers, problems = _even(rows[1:], len(header), file)
    return header, list(zip(*body, strict=True)) or [()] * len(header), numbers, problems


def _is_untidy(joined: str) -> bool:
    """Whether one of some texts, joined by line ends, has blanks that do not belong, or is not composed."""
    if joined[:1] == " " or joined[-1:] == " " or any(mark in joined for mark in _UNTIDY):
        return True
    return not joined.isascii() and (
        not unicodedata.is_normalized("NFC", joined) or _OTHER_BLANK.search(joined) is not None
    )


def _header_problems(
    header: list[str], columns: tuple[str, ...], required: tuple[str, ...], file: str
) -> list[Problem]:
    fix = f"use the columns {', '.join(columns)}"
    unknown = [name for name in header if name not in columns]
    missing = [name for name in required if name not in header]
    twice = sorted({name for name in header if header.count(name) > 1})
    found = []
    for names, what in ((twice, "stands twice"), (unknown, "is not known here"), (missing, "is missing")):
        found += [f"the column {text.printable(name[:40])!r} {what}" for name in names]
    if not found:
        return []
    return [Problem(code="bad-header", file=file, row=1, what="; ".join(found), fix=fix)]


def _even(body: list[list[str]], width: int, file: str) -> tuple[list[list[str]], list[int], list[Problem]]:
    """Rows of the right width with their numbers; blank ones are passed over, others become problems."""
    kept, numbers, problems = [], [], []
    for number, row in enumerate(body, start=2):
        if not any(cell.strip() for cell in row):
            continue
        if len(row) == width:
            kept.append(row)
            numbers.append(number)
        else:
            what = f"the row has {len(row)} cells, the header {width}"
            fix = "put quotes around a text with a comma in it, or fill in the missing cells"
            problems.append(Problem(code="ragged-row", file=file, row=number, what=what, fix=fix))
    return kept, numbers, problems


def trimmed(problems: Sequence[Problem]) -> list[Problem]:
    """At most fifty problems of one code and file, with a last one that counts the others."""
    seen: dict[tuple[str, str], int] = {}
    kept = []
    for problem in problems:
        place = (problem.code, problem.file)
        seen[place] = seen.get(place, 0) + 1
        if seen[place] <= _SHOWN_PROBLEMS:
            kept.append(problem)
    for (code, file), number in seen.items():
        if number > _SHOWN_PROBLEMS:
            what = f"{number - _SHOWN_PROBLEMS:,} more of the same kind"
            kept.append(Problem(code=code, file=file, what=what, fix="mend those above first"))
    return kept


def to_text(columns: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """The CSV text of a tidy table: header, one fact a row, None and False as blank, True as yes."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return out.getvalue()


def _cell(value: object) -> str:
    if value is None or value is False:
        return ""
    # the writer puts quotes around LF, but before Python 3.13 not around CR, which ends a row as well
    return "yes" if value is True else str(value).replace("\r\n", "\n").replace("\r", "\n")


def write_whole(path: Path, content: bytes) -> None:
    """Put a file in its place in one step: a reader, or a crash, sees the old one or the new one.

    Raises
    ------
    RatingError
        if there is no room or no right to write; the old file stays as it was
    """
    handle = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o644
        Path(name).chmod(mode)
        Path(name).replace(path)
    except OSError as fault:
        if handle is not None:
            Path(name).unlink(missing_ok=True)
        raise RatingError(
            f"the file cannot be written: {fault.strerror}",
            where=str(path),
            fix="make room, or see to the rights of the folder; nothing was changed",
        ) from fault
    except BaseException:
        if handle is not None:
            Path(name).unlink(missing_ok=True)
        raise
