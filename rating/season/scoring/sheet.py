"""A score sheet: what marks one, how its table is headed, and reading one that came back.

The sheet is a foreign file: what is in a cell is read right or refused with the cell, all cells at once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any

from rating import text
from rating.criterion import REASON_LIMIT
from rating.errors import Problem, RatingError, refuse_if_any
from rating.release.intake import grid, guards
from rating.release.intake.roles import letters
from rating.release.intake.sheet_xml import Cells

# the sheet that says what the other one is about, a mark a row
ABOUT = "About"
KEY, SCORE, REASON = "criterion", "your score", "your reason"
# of the marks; who reads them refuses a newer one
_FORMAT = "1"
_ABSENT = frozenset("-\u2010\u2011\u2012\u2013\u2014\u2212")  # whatever a program makes of a typed hyphen
_WHOLE = "write a whole number from 0 to 100, or - where it does not apply"
_NO_SHEET = "send back the workbook that 'boxwright scoresheet' wrote, saved as .xlsx"


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """What a score sheet is about: the season by its id, the release, the rubric by its hash, the rater."""

    season_id: str
    release: str
    rubric: str
    rater: str

    def told(self) -> dict[str, str]:
        """The marks as the sheet keeps them."""
        return {"format": _FORMAT} | {name: getattr(self, name) for name in self.__slots__}

    @property
    def line(self) -> str:
        """What stands over the table itself, so that a table put into another workbook is known."""
        return f"Release {self.release}, scored by {self.rater}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """One criterion of a sheet with what was written beside it; no score says that it does not apply."""

    criterion: str
    score: int | None
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Returned:
    """A score sheet as it came back, nothing wrong in its cells; `open` are the criteria left blank."""

    file: str
    marks: Marks
    filled: tuple[Filled, ...]
    open: tuple[str, ...]


def read(path: Path, *, criteria: Sequence[str]) -> Returned:
    """A score sheet that came back.

    Parameters
    ----------
    criteria : the keys that a row may begin with

    Raises
    ------
    RatingError
        if a guard refuses the file, or it is no score sheet
    Refused
        with every cell that cannot stand
    """
    data, file = guards.read_bytes(path), path.name
    if not guards.is_workbook(data, file):
        raise RatingError("this is text, not a score sheet", where=file, fix=_NO_SHEET)
    sheets = grid.cells(data, file)
    marks = _marks(sheets, file)
    title, cells, head = _table(sheets, file)
    table = _Table(file, title, cells, head)
    if marks.line not in {text.tidy(str(value)) for _, row in cells.rows for value in row[:1]}:
        raise RatingError(
            f"the table is not the one of this workbook: it should say {marks.line!r}",
            where=f"{file}, sheet {title}",
            fix="fill in the sheet as it was written, and do not copy one into another",
        )
    filled, blank = table.answers(criteria)
    refuse_if_any(table.problems)
    return Returned(file=file, marks=marks, filled=filled, open=blank)


def _marks(sheets: Sequence[tuple[str, Cells]], file: str) -> Marks:
    for title, cells in sheets:
        if title == ABOUT:
            found = {str(row[0]): text.tidy(str(row[1])) if len(row) > 1 else "" for _, row in cells.rows}
            if found.get("format", _FORMAT) != _FORMAT:
                raise RatingError(
                    "the score sheet is of a newer program", where=file, fix="update this one first"
                )
            try:
                return Marks(**{name: found[name] for name in Marks.__slots__})
            except KeyError as fault:
                raise RatingError(
                    f"the score sheet does not say which {fault.args[0]} it is about",
                    where=f"{file}, sheet {ABOUT}",
                    fix=_NO_SHEET,
                ) from fault
    raise RatingError(f"this is not a score sheet: the sheet {ABOUT!r} is missing", where=file, fix=_NO_SHEET)


def _table(sheets: Sequence[tuple[str, Cells]], file: str) -> tuple[str, Cells, dict[str, tuple[int, int]]]:
    """The sheet with the table, and the row and column of each of its heads that are read."""
    for title, cells in sheets:
        for number, row in cells.rows:
            heads = [text.key(str(value)) if value is not None else "" for value in row]
            places = {name: (number, heads.index(name)) for name in (KEY, SCORE, REASON) if name in heads}
            if len(places) == 3:
                return title, cells, places
    raise RatingError(
        f"there is no table with the heads {KEY!r}, {SCORE!r} and {REASON!r}", where=file, fix=_NO_SHEET
    )


class _Table:
    """The rows under the heads, and what is wrong in them."""

    def __init__(self, file: str, title: str, cells: Cells, heads: Mapping[str, tuple[int, int]]) -> None:
        self.file, self.title, self.cells = file, title, cells
        self.head = heads[KEY][0]
        self.columns = {name: column for name, (_, column) in heads.items()}
        self.uncomputed = {place for place, _ in cells.uncomputed}
        self.problems: list[Problem] = []

    def answers(self, criteria: Sequence[str]) -> tuple[tuple[Filled, ...], tuple[str, ...]]:
        """What is filled in, in the order of the rubric, and what is left blank."""
        found: dict[str, Filled] = {}
        seen: dict[str, str] = {}
        last = self.head
        for number, key, score, reason in self._rows():
            known, place = text.key(key), self._place(KEY, number)
            if known not in criteria:
                if score is not None or reason is not None:
                    what = (
                        f"{place} names {key!r}, which the rubric does not ask"
                        if key
                        else f"{place} is blank"
                    )
                    self._complain(number, f"{what}, and a score or reason stands beside it", "take it out")
                continue
            last = number
            if known in seen:
                self._complain(
                    number, f"{place} names {known}, as {seen[known]} does", "keep one of the rows"
                )
                continue
            seen[known] = place
            answer = self._answer(number, known, score, reason)
            if answer is not None:
                found[known] = answer
        self._look_at_merged(last)
        filled = tuple(found[key] for key in criteria if key in found)
        return filled, tuple(key for key in criteria if key not in found)

    def _rows(self) -> Iterator[tuple[int, str, Any, Any]]:
        """Number, key, score and reason of each row that holds one; a blank cell is None."""
        rows = {number: row for number, row in self.cells.rows if number > self.head}
        for number in {row for _, row in self.cells.uncomputed if row > self.head}:
            rows.setdefault(number, [])
        for number, row in sorted(rows.items()):
            key, score, reason = (
                _kept(row[column]) if (column := self.columns[name]) < len(row) else None
                for name in (KEY, SCORE, REASON)
            )
            score, reason = self._computed(number, SCORE, score), self._computed(number, REASON, reason)
            yield number, str(key or ""), score, reason

    def _computed(self, number: int, name: str, value: Any) -> Any:
        """The value of a cell; a formula without its result is something, and is refused later."""
        return _Uncomputed() if value is None and self._place(name, number) in self.uncomputed else value

    def _answer(self, number: int, criterion: str, score: Any, reason: Any) -> Filled | None:
        if score is None and reason is None:
            return None
        if score is None:
            place = self._place(SCORE, number)
            self._complain(number, f"{place} is blank, and a reason stands beside it", _WHOLE)
        value, fault = (None, "") if score is None else _score(score)
        if fault:
            self._complain(number, f"{self._place(SCORE, number)} {fault}", _WHOLE)
        words, fault = _reason(reason)
        if fault:
            fix = "write why, in a sentence that can be read aloud: no score stands without a reason"
            self._complain(
                number, f"{self._place(REASON, number)} {fault}", fix, is_reason_missing=reason is None
            )
        return Filled(criterion=criterion, score=value, reason=words)

    def _look_at_merged(self, last: int) -> None:
        """Refuse merged cells over scores and reasons: one answer would stand for several questions."""
        ours = set(self.columns.values())
        for top, left, bottom, right in self.cells.spans:
            touched = ours & set(range(left, right + 1))
            if touched and bottom > self.head and top <= last:
                ends = f"{_address(left, top)} to {_address(right, bottom)}"
                self._complain(top, f"{ends} are merged into one cell", "part them again")

    def _place(self, name: str, number: int) -> str:
        return _address(self.columns[name], number)

    def _complain(self, number: int, what: str, fix: str, *, is_reason_missing: bool = False) -> None:
        self.problems.append(
            Problem(
                code="score-without-reason" if is_reason_missing else "score-cell",
                file=self.file,
                sheet=self.title,
                row=number,
                what=what,
                fix=fix,
            )
        )


class _Uncomputed:
    """Stands for a formula that has no result."""


def _kept(value: Any) -> Any:
    """A cell's value, None where a person sees nothing."""
    return text.tidy(value) or None if isinstance(value, str) else value


def _address(column: int, row: int) -> str:
    return f"{letters(column)}{row}"


def _score(value: Any) -> tuple[int | None, str]:
    """A score, None where it does not apply; or what is wrong with it."""
    if isinstance(value, str) and value in _ABSENT:
        return None, ""
    if isinstance(value, str) and value.isascii() and value.isdigit() and len(value) <= 3:
        value = int(value)
    if isinstance(value, float) and value == int(value) and abs(value) < 1e9:
        value = int(value)
    if isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= 100:
        return value, ""
    return None, _told(value) or f"holds {_shown(value)}, which is not a whole number from 0 to 100"


def _reason(value: Any) -> tuple[str, str]:
    """A reason; or what is wrong with it."""
    if value is None:
        return "", "is blank, and a score needs its reason"
    if not isinstance(value, str):
        return "", _told(value) or f"holds {_shown(value)}, which is not a sentence"
    if fault := _told(value):
        return "", fault
    if mark := text.bad_marks(value):
        return "", f"holds the invisible mark {mark}"
    if len(value) > REASON_LIMIT:
        return "", f"has {len(value):,} characters, at most {REASON_LIMIT:,} are kept"
    return value, ""


def _told(value: Any) -> str:
    """What is wrong with a value wherever it stands, '' where nothing is."""
    if isinstance(value, _Uncomputed):
        return "holds a formula without its result"
    if isinstance(value, str) and value in text.SPREADSHEET_ERRORS:
        return f"shows the error {value}"
    if isinstance(value, datetime | date):
        return f"holds a date, {value:%Y-%m-%d}"
    return ""


def _shown(value: Any) -> str:
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    return text.printable(str(value)[:60]) if not isinstance(value, str) else repr(text.printable(value[:60]))
