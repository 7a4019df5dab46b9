"""The cells of one sheet's XML part: values, dates, merged cells and formulas without a result, in one pass.

openpyxl opens the workbook and knows its sheets, texts and styles; its reader of sheets makes objects of
every cell and trusts a stated size. This one is told the cells by the XML parser as they come, in a third of
the time.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from xml.parsers import expat

from rating.errors import RatingError

ROWS_LIMIT = 100_000
CELLS_LIMIT = 1_000_000
PADDED_LIMIT = 5_000_000
_BITE = 1 << 20
_RANGE = re.compile(r"([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})\Z")
_FIX = "open the file in a spreadsheet program, save it again and take that in"


@dataclass(frozen=True, slots=True, kw_only=True)
class Styles:
    """What a cell's style says of its number: dates, durations, and those that fill up with noughts.

    `percents` are the styles that show a hundred times the number, where that is asked for.
    """

    dates: Collection[int]
    durations: Collection[int]
    noughts: Mapping[int, int]
    epoch: datetime
    percents: Collection[int] = ()


@dataclass(slots=True)
class Cells:
    """The rows of a sheet that hold something, its merged cells, and the formulas that have no result."""

    rows: list[tuple[int, list[Any]]] = field(default_factory=list)
    spans: list[tuple[int, int, int, int]] = field(default_factory=list)
    uncomputed: list[tuple[str, int]] = field(default_factory=list)


def read(data: bytes, texts: Sequence[str], styles: Styles, *, where: str) -> Cells:
    """The cells of a sheet's part.

    Raises
    ------
    RatingError
        if it has more rows or cells than a checklist could, or rows out of order
    xml.parsers.expat.ExpatError, ValueError, IndexError
        if the part is damaged
    """
    return _Reader(texts, styles, where).read(data)


class _Reader:
    def __init__(self, texts: Sequence[str], styles: Styles, where: str) -> None:
        self.texts, self.styles, self.where = texts, styles, where
        self.found = Cells()
        self.cells = self.padded = 0
        self.row = self.column = 0
        self.values: list[Any] = []
        self.kind = self.style = self.place = ""
        self.words: list[str] = []
        self.is_inside = self.is_phonetic = self.has_formula = self.has_cell = False
        self.begin: dict[str, Callable[[dict[str, str]], None]] = {
            "sheetData": self._begin_data,
            "row": self._begin_row,
            "c": self._begin_cell,
            "v": self._listen,
            "t": self._listen,
            "f": self._formula,
            "rPh": self._begin_phonetic,
            "mergeCell": self._merge,
        }
        self.end: dict[str, Callable[[], None]] = {
            "sheetData": self._end_data,
            "row": self._end_row,
            "c": self._end_cell,
            "v": self._deaf,
            "t": self._deaf,
            "rPh": self._end_phonetic,
        }

    def read(self, data: bytes) -> Cells:
        parser = expat.ParserCreate()
        self.parser = parser
        parser.buffer_text = True
        begin, end = self.begin, self.end

        def start(name: str, attributes: dict[str, str]) -> None:
            if name in begin:
                begin[name](attributes)
            elif ":" in name and (told := begin.get(name.rpartition(":")[2])) is not None:
                told(attributes)

        def stop(name: str) -> None:
            if name in end:
                end[name]()
            elif ":" in name and (told := end.get(name.rpartition(":")[2])) is not None:
                told()

        parser.StartElementHandler = start
        parser.EndElementHandler = stop
        for place in range(0, len(data), _BITE):
            parser.Parse(data[place : place + _BITE], False)
        parser.Parse(b"", True)
        return self.found

    # ------------------------------------------------------------ the table
    def _begin_data(self, _: dict[str, str]) -> None:
        self.is_inside = True

    def _end_data(self) -> None:
        self.is_inside = False

    def _begin_row(self, attributes: dict[str, str]) -> None:
        if not self.is_inside:
            return
        number = int(attributes["r"]) if "r" in attributes else self.row + 1
        if number <= self.row:
            # readers drop a row whose number was there before, without a word
            raise RatingError(f"row {number} stands after row {self.row}", where=self.where, fix=_FIX)
        self.row, self.column, self.values = number, 0, []

    def _end_row(self) -> None:
        if not self.is_inside or not self.values:
            return
        self.padded += len(self.values)
        if self.padded > PADDED_LIMIT:
            raise RatingError(
                f"the sheet is {len(self.values):,} columns wide",
                where=self.where,
                fix="delete the columns beyond the table, save it and take it in again",
            )
        self.found.rows.append((self.row, self.values))
        if len(self.found.rows) > ROWS_LIMIT or self.cells > CELLS_LIMIT:
            raise RatingError(
                f"the sheet has more than {ROWS_LIMIT:,} rows or {CELLS_LIMIT:,} cells, which are the "
                f"most that are"
                " read",
                where=self.where,
                fix="copy the table alone into a new workbook or CSV, and take that in",
            )

    def _merge(self, attributes: dict[str, str]) -> None:
        if found := _RANGE.match(attributes.get("ref", "")):
            self.found.spans.append((int(found[2]), column_of(found[1]), int(found[4]), column_of(found[3])))

    # ------------------------------------------------------------ a cell
    def _begin_cell(self, attributes: dict[str, str]) -> None:
        if not self.is_inside:
            return
        self.place = attributes.get("r", "")
        if self.place:
            self.column = (
                _COLUMNS.get(letters := self.place.rstrip("0123456789"), -1) + 1 or column_of(letters) + 1
            )
        else:
            self.column += 1
        self.kind = attributes.get("t", "n")
        self.style = attributes.get("s", "")
        self.words = []
        self.has_formula, self.has_cell = False, True

    def _listen(self, _: dict[str, str]) -> None:
        if self.has_cell and not self.is_phonetic:
            self.parser.CharacterDataHandler = self.words.append

    def _deaf(self) -> None:
        self.parser.CharacterDataHandler = None

    def _formula(self, _: dict[str, str]) -> None:
        self.has_formula = self.has_cell

    def _begin_phonetic(self, _: dict[str, str]) -> None:
        self.is_phonetic = True  # how a word is read aloud, which is no part of it

    def _end_phonetic(self) -> None:
        self.is_phonetic = False

    def _end_cell(self) -> None:
        if not self.has_cell:
            return
        self.has_cell = False
        if not self.words:
            if self.has_formula:
                self.found.uncomputed.append((self.place, self.row))
            return
        words = self.words[0] if len(self.words) == 1 else "".join(self.words)
        value = self._value(words)
        if value is None or value == "":
            return
        if len(self.values) >= self.column:
            raise RatingError(f"the cell {self.place} stands there twice", where=self.where, fix=_FIX)
        self.cells += 1
        while len(self.values) < self.column - 1:
            self.values.append(None)
        self.values.append(value)

    def _value(self, words: str) -> Any:
        kind = self.kind
        if kind == "s":
            return self.texts[int(words)]
        if kind == "n":
            return self._number(words)
        if kind == "b":
            return words not in {"0", "false"}
        if kind == "d":
            from openpyxl.utils.datetime import from_ISO8601

            return from_ISO8601(words)  # type: ignore[no-untyped-call]  # openpyxl does not type it
        return words

    def _number(self, words: str) -> Any:
        number = float(words) if not words.lstrip("-").isdigit() else int(words)
        if not self.style:
            return number
        style = int(self.style)
        if style in self.styles.percents:
            return f"{number * 100:g} %"
        if style in self.styles.dates:
            from openpyxl.utils.datetime import from_excel

            try:
                return from_excel(number, self.styles.epoch, timedelta=style in self.styles.durations)
            except (OverflowError, ValueError):
                return words  # no date of any calendar; the number is shown
        width = self.styles.noughts.get(style)
        if width and number >= 0 and number == int(number):
            return str(int(number)).zfill(width)
        return number


def column_of(letters: str) -> int:
    """The column of a cell's letters, counted from 0."""
    known = _COLUMNS.get(letters)
    if known is None:
        number = 0
        for letter in letters:
            if not "A" <= letter <= "Z":
                raise ValueError(f"{letters!r} is not a column")
            number = number * 26 + ord(letter) - 64
        if not 0 < number <= 16_384:
            raise ValueError(f"{letters!r} is not a column")
        known = _COLUMNS[letters] = number - 1
    return known


_COLUMNS: dict[str, int] = {}
