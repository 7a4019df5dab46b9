"""Reading a person's TOML: every value checked, every problem gathered with the line it stands on.

tomllib gives no line numbers, and a message needs them, so they are found by a second look at the text;
tomlkit is slow to read with, and keeps none either.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from rating import regular, tenths, text
from rating.errors import Problem, RatingError, Refused

# days before the first cards, or after anybody will read of them, are slips: 0031 for 2031
FIRST_DAY, LAST_DAY = date(1850, 1, 1), date(2199, 12, 31)
FORMAT = 1
SIZE_LIMIT = 4 * 1024 * 1024
_MOST_PLACES = 30
_LONG_NUMBER = re.compile(r"\d[\d_]{1000}|\d[eE][+-]?\d{6}")
_HEADER = re.compile(r"\s*\[{1,2}([^\]]+)\]{1,2}")
_ENTRY = re.compile(r"""\s*("[^"]+"|'[^']+'|[A-Za-z0-9_.-]+)\s*=""")


@dataclass(slots=True)
class TomlTable:
    """One table of a TOML file; reading a value wrongly typed adds a problem and gives None.

    Each read marks its key as known; `finish` reports the keys that nobody asked for.
    """

    values: Mapping[str, Any]
    file: str
    path: tuple[str | int, ...] = ()
    lines: Mapping[tuple[str | int, ...], int] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    _known: set[str] = field(default_factory=set)

    def complain(self, name: str, what: str, fix: str, code: str = "bad-value") -> None:
        """Add a problem about one key of this table."""
        self.problems.append(
            Problem(code=code, file=self.file, row=self.line(name), what=f"{self.name(name)} {what}", fix=fix)
        )

    def name(self, key: str) -> str:
        """The key as a person finds it: 'formats.hobby.cards_per_pack'; of a list, its first part is '#1'."""
        parts = (f"#{part + 1}" if isinstance(part, int) else part for part in (*self.path, key))
        return ".".join(part for part in parts if part)

    def line(self, key: str) -> int | None:
        """The line on which a key or the first thing in it stands, or that of the nearest table around it."""
        place: tuple[str | int, ...] = (*self.path, key)
        while place:
            inside = [line for name, line in self.lines.items() if name[: len(place)] == place]
            if inside:
                return min(inside)
            place = place[:-1]
        return None

    def _get(self, name: str, *, required: bool, fix: str) -> Any:
        self._known.add(name)
        value = self.values.get(name)
        if value is None and required:
            self.complain(name, "is missing", fix, "missing-value")
        return value

    def text(
        self, name: str, *, required: bool = False, limit: int = text.NAME_LIMIT, fix: str = ""
    ) -> str | None:
        """A line of text, tidied; blank counts as missing."""
        fix = fix or f"write {name} = " + '"..." with the words between the quotes'
        value = self._get(name, required=required, fix=fix)
        if value is None:
            return None
        if not isinstance(value, str):
            self.complain(name, f"is {_kind(value)}, not text", fix)
            return None
        return self._checked(name, value, required=required, limit=limit, fix=fix)

    def _checked(self, name: str, value: str, *, required: bool, limit: int, fix: str) -> str | None:
        clean = text.tidy(value)
        if mark := text.bad_marks(clean):
            self.complain(
                name, f"holds the invisible mark {mark}", "type the text again, without it", "bad-mark"
            )
            return None
        if len(clean) > limit:
            self.complain(name, f"has {len(clean)} characters", f"shorten it to at most {limit}")
            return None
        if not clean and required:
            self.complain(name, "is blank", fix, "missing-value")
        return clean or None

    def texts(self, name: str, *, fix: str = "") -> tuple[str, ...]:
        """A list of lines of text."""
        fix = fix or f'write {name} = ["...", "..."]'
        value = self._get(name, required=False, fix=fix)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            self.complain(name, "is not a list of texts", fix)
            return ()
        found = [self._checked(name, one, required=True, limit=text.NAME_LIMIT, fix=fix) for one in value]
        return tuple(one for one in found if one)

    def one_of(
        self, name: str, choices: tuple[str, ...], *, required: bool = False, default: str | None = None
    ) -> str | None:
        """One word out of a fixed list."""
        fix = f"write one of {', '.join(choices)}"
        value = self._get(name, required=required, fix=fix)
        if value is None:
            return default
        if value not in choices:
            self.complain(name, f"is {_shown(value)}", fix)
            return default
        return str(value)

    def whole(self, name: str, *, low: int = 0, high: int = 1_000_000, required: bool = False) -> int | None:
        """A whole number between two ends."""
        fix = f"write a whole number from {low} to {high}"
        value = self._get(name, required=required, fix=fix)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            self.complain(name, f"is {_shown(value)}", fix)
            return None
        return value

    def decimal(
        self, name: str, *, low: str = "0", high: str = "1000000", required: bool = False
    ) -> Decimal | None:
        """A number between two ends, kept as it was written."""
        fix = f"write a number from {low} to {high}"
        value = self._get(name, required=required, fix=fix)
        if value is None:
            return None
        number = as_decimal(value)
        if number is None or not Decimal(low) <= number <= Decimal(high):
            self.complain(name, f"is {_shown(value)}", fix)
            return None
        return number

    def points(self, name: str, *, required: bool = False) -> int | None:
        """A number of points, as tenths."""
        number = self.decimal(name, high="1000", required=required)
        if number is None:
            return None
        try:
            return tenths.from_decimal(number)
        except ValueError:
            self.complain(name, f"is {number}", "write points in whole tenths, such as 12 or 12.5")
            return None

    def day(self, name: str, *, required: bool = False) -> date | None:
        """A date, written as 2031-03-12 without quotes."""
        fix = f"write {name} = 2031-03-12, year first and without quotes"
        value = self._get(name, required=required, fix=fix)
        if value is None:
            return None
        if isinstance(value, datetime) or not isinstance(value, date):
            self.complain(name, f"is {_shown(value)}, not a date", fix)
            return None
        if not FIRST_DAY <= value <= LAST_DAY:
            self.complain(name, f"is {value.isoformat()}", f"write a day from {FIRST_DAY} to {LAST_DAY}")
            return None
        return value

    def flag(self, name: str) -> bool:
        """true or false; false where it is missing or is neither."""
        value = self._get(name, required=False, fix="")
        if value is None:
            return False
        if not isinstance(value, bool):
            self.complain(name, f"is {_shown(value)}", "write true or false, without quotes")
            return False
        return value

    def table(self, name: str) -> TomlTable | None:
        """A table inside this one, None where there is none."""
        value = self._get(name, required=False, fix="")
        if value is None:
            return None
        if not isinstance(value, dict):
            self.complain(
                name, f"is {_kind(value)}, not a table", f"begin it with the line [{self.name(name)}]"
            )
            return None
        return self._inner(value, name)

    def tables(self, name: str) -> list[TomlTable]:
        """A list of tables, [[name]] in the file."""
        value = self._get(name, required=False, fix="")
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
            self.complain(name, "is not a list of tables", f"begin each with the line [[{self.name(name)}]]")
            return []
        return [self._inner(one, name, number) for number, one in enumerate(value)]

    def named_tables(self, name: str) -> Iterator[tuple[str, TomlTable]]:
        """The tables [name.KEY] with their keys, in the order of the file."""
        outer = self.table(name)
        if outer is None:
            return
        for one in list(outer.values):
            inner = outer.table(one)
            if inner is not None:
                yield one, inner

    def _inner(self, value: Mapping[str, Any], *path: str | int) -> TomlTable:
        return TomlTable(value, self.file, (*self.path, *path), self.lines, self.problems)

    def raw(self, name: str) -> Any:
        """A value as it was parsed, for the few that have a shape of their own."""
        return self._get(name, required=False, fix="")

    def finish(self, known: str = "") -> None:
        """Report the keys that nobody asked for: a slip of the pen must not pass in silence."""
        for name in self.values:
            if name not in self._known:
                choices = known or ", ".join(sorted(self._known))
                self.complain(
                    name, "is not known here", f"remove it, or use one of: {choices}", "unknown-key"
                )


def as_decimal(value: Any) -> Decimal | None:
    """A parsed TOML number as a decimal of sane size, None where it is none (NaN and true are none)."""
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        return None
    number = Decimal(value)
    if number == 0:
        return Decimal(0)
    # 1e999999999 is a number to a parser, and more digits than memory to whatever reckons with it
    return number if number.is_finite() and abs(number.adjusted()) <= _MOST_PLACES else None


def read(path: Path, *, file: str = "") -> TomlTable:
    """The top table of a TOML file with its format checked.

    Raises
    ------
    RatingError
        if the file is missing, empty, too large, no UTF-8, no TOML, or of a newer format
    """
    file = file or path.name
    return parse(read_text(path, file=file), file=file)


def read_text(path: Path, *, file: str = "") -> str:
    """The text of a person's file.

    Raises
    ------
    RatingError
        if it is missing, a folder, too large or no UTF-8 text
    """
    file = file or path.name
    regular.hold(path, file=file)
    try:
        size = path.stat().st_size
        if size > SIZE_LIMIT:
            raise RatingError(
                f"the file has {size:,} bytes", where=file, fix=f"keep it under {SIZE_LIMIT:,} bytes"
            )
        return path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise RatingError("the file is missing", where=file, fix="write it, or restore it") from None
    except OSError as fault:
        raise RatingError(
            f"the file cannot be read: {fault.strerror}", where=file, fix="check that you may read it"
        ) from fault
    except UnicodeDecodeError as fault:
        row = fault.object.count(b"\n", 0, fault.start) + 1
        raise RatingError(
            f"byte {fault.start + 1} is not UTF-8 text",
            where=f"{file}, line {row}",
            fix="save the file as UTF-8",
        ) from fault


def parse(content: str, *, file: str) -> TomlTable:
    """The top table of TOML text, see `read`."""
    fix = "fix that line; text stands between quotes, dates and numbers do not"
    try:
        values = tomllib.loads(content, parse_float=Decimal)
    except tomllib.TOMLDecodeError as fault:
        raise _broken(content, file, str(fault), fix) from fault
    except (ValueError, ArithmeticError) as fault:
        # whole numbers of thousands of digits and powers of ten beyond any number, which Python refuses
        raise _broken(content, file, "a number is far too long", fix, row=_long_number(content)) from fault
    except RecursionError:
        raise RatingError(
            "brackets are nested too deeply", where=file, fix="flatten the lists and tables"
        ) from None
    if not values:
        raise RatingError("the file is empty", where=file, fix="begin it with the line: format = 1")
    table = TomlTable(values, file, (), _lines(content))
    form = table.raw("format")
    if isinstance(form, int) and not isinstance(form, bool) and form > FORMAT:
        raise RatingError(
            f"the file has format {form}, this program reads format {FORMAT}",
            where=file,
            fix="install a newer version of boxwright",
        )
    if form != FORMAT or isinstance(form, bool):
        table.complain("format", f"is {_shown(form)}", "begin the file with the line: format = 1")
    return table


def finish(table: TomlTable) -> None:
    """Raise Refused when problems were gathered while a file was read."""
    if table.problems:
        raise Refused(sorted(table.problems, key=lambda problem: problem.row or 0))


def _long_number(content: str) -> int:
    """The line of the first number that no reader could keep."""
    return next(
        (row for row, line in enumerate(content.split("\n"), start=1) if _LONG_NUMBER.search(line)), 1
    )


def _broken(content: str, file: str, message: str, fix: str, *, row: int | None = None) -> Refused:
    match = re.search(r"\(at line (\d+), column (\d+)\)", message)
    row = row or (int(match[1]) if match else content.count("\n") + 1)
    what = re.sub(r"\s*\(at [^)]*\)", "", message)
    return Refused(
        [Problem(code="broken-toml", file=file, row=row, what=f"this is not TOML: {what}", fix=fix)]
    )


def _lines(content: str) -> dict[tuple[str | int, ...], int]:
    """Where each table and key begins, read from the text: line numbers for messages only."""
    begins: dict[tuple[str | int, ...], int] = {}
    counts: dict[tuple[str | int, ...], int] = {}
    prefix: tuple[str | int, ...] = ()
    for number, line in enumerate(content.splitlines(), start=1):
        if header := _HEADER.match(line):
            names = tuple(part.strip().strip("\"'") for part in header[1].split("."))
            prefix = names
            if line.lstrip().startswith("[["):
                counts[names] = counts.get(names, -1) + 1
                prefix = (*names, counts[names])
            begins.setdefault(prefix, number)
        elif entry := _ENTRY.match(line):
            begins.setdefault((*prefix, *(part.strip("\"'") for part in entry[1].split("."))), number)
    return begins


def _kind(value: Any) -> str:
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, int | Decimal):
        return "a number"
    if isinstance(value, date):
        return "a date"
    names = ((str, "text"), (list, "a list"), (dict, "a table"))
    return next((name for kind, name in names if isinstance(value, kind)), "something else")


def _shown(value: Any) -> str:
    if value is None:
        return "missing"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return repr(text.printable(value[:40]))
    if isinstance(value, list | dict):
        return _kind(value)  # nested lists and tables may be too deep to be written out
    if isinstance(value, int) and value.bit_length() > 200:
        return "a number far too large"
    return text.printable(str(value)[:40])
