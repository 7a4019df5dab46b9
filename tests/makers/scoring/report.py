"""What an intake's answer names: rows set aside, problems, and questions with the cells they are about."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from makers.truth.facts import Place

_CELLS = re.compile(r"^(?:.*!)?\$?([A-Z]{0,3})\$?(\d+)(?::\$?([A-Z]{0,3})\$?(\d+))?$")


def fold(text: str) -> str:
    """A text as it is compared: without marks, case, odd blanks and kinds of quotes and dashes."""
    text = unicodedata.normalize("NFKC", re.sub("[®™©\u200b\ufeff\0]", "", text)).casefold()
    text = re.sub("[\u2018\u2019\u02bc`]", "'", re.sub("[\u2010-\u2015\u2212]", "-", text))
    return " ".join(text.split())


def letters(text: str) -> str:
    """Letters and digits of a text alone."""
    return re.sub(r"[\W_]", "", fold(text))


def rows_of(cells: object) -> set[int] | None:
    """Rows that cells name, None for all of them.

    Cells may be a list of 'B5', 'B5:D40', '5:40', 'Sheet!B5', of whole numbers (rows), of pairs of row and
    column, or of objects with `row`; a single one may stand for itself. An object with `table`, `row` and
    `column` names a cell of a table that was written, see `Report.waiting`.
    """
    if cells is None or cells in ("", [], ()):
        return None
    found: set[int] = set()
    for cell in cells if isinstance(cells, list | tuple) else [cells]:
        if isinstance(cell, int):
            found.add(cell)
        elif isinstance(cell, Mapping):
            if "table" not in cell and isinstance(cell.get("row"), int):
                found.add(cell["row"])
        elif isinstance(cell, list | tuple) and cell and isinstance(cell[0], int):
            found.add(cell[0])
        elif match := _CELLS.match(str(cell).upper()):
            first = int(match[2])
            found.update(range(first, int(match[4] or first) + 1))
    return found


def _rows_named(entry: Mapping[str, Any]) -> list[int]:
    """The rows of an entry: `row`, and with it `rows`, a list of more or how many there are from it on."""
    first, rows = entry.get("row"), entry.get("rows")
    if isinstance(rows, list):
        return [row for row in (first, *rows) if isinstance(row, int)]
    if not isinstance(first, int) or first < 1:
        return []
    return list(range(first, first + (rows if isinstance(rows, int) else 1)))


class _Rows:
    """Rows that entries of a report name, looked up by row or by what stands in it."""

    def __init__(self, entries: Iterable[Mapping[str, Any]]) -> None:
        self.rows: set[tuple[str, str, int]] = set()
        self.texts: set[tuple[str, str]] = set()
        for one in entries:
            file, sheet = str(one.get("file") or ""), str(one.get("sheet") or "")
            self.rows.update((file, sheet, row) for row in _rows_named(one))
            if text := letters(str(one.get("text") or "")):
                self.texts.add((file, text))

    def name(self, place: Place) -> bool:
        """Whether they name a place: its row, or a row that holds just what it holds."""
        if (place.file, place.sheet, place.row) in self.rows:
            return True
        return len(letters(place.text)) > 4 and (place.file, letters(place.text)) in self.texts


class Report:
    """The answer of an intake, asked about places of facts."""

    def __init__(self, answer: Mapping[str, Any]) -> None:
        self.questions: Sequence[Mapping[str, Any]] = answer.get("questions") or ()
        problems = answer.get("problems") or ()
        self._aside = _Rows(answer.get("set_aside") or ())
        self._problems = _Rows(problems)
        self._files = {
            (str(one.get("file") or ""), str(one.get("sheet") or ""))
            for one in problems
            if not one.get("row") and not one.get("rows") and one.get("severity", "error") == "error"
        }
        self._waiting = {
            (str(cell["table"]).removesuffix(".csv"), int(cell.get("row", 0)), str(cell.get("column", "")))
            for one in self.questions
            for cell in one.get("cells") or ()
            if isinstance(cell, Mapping) and "table" in cell
        }

    def sets_aside(self, places: Sequence[Place]) -> bool:
        """Whether a row that states it was set aside with a reason."""
        return any(self._aside.name(place) for place in places)

    def names(self, places: Sequence[Place]) -> bool:
        """Whether a problem or a question names a row that states it, or all of its file or sheet."""
        return any(self._problems.name(place) or self._whole(place) for place in places) or any(
            asks_about(question, place) for question in self.questions for place in places
        )

    def waits(self, table: str, row: int, column: str) -> bool:
        """Whether a question names a cell of a written table; `row` counts from 1 below the header."""
        return (table, row, column) in self._waiting

    def _whole(self, place: Place) -> bool:
        return (place.file, place.sheet) in self._files or (place.file, "") in self._files


def asks_about(question: Mapping[str, Any], place: Place) -> bool:
    """Whether a question is about a place."""
    if str(question.get("file") or "") not in {"", place.file}:
        return False
    if str(question.get("sheet") or "") not in {"", place.sheet}:
        return False
    rows = rows_of(question.get("cells"))
    return rows is None or place.row in rows
