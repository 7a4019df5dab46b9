"""The rows of a sold list as entries: cells by what they say, of a table, of lines or of blocks of lines."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from rating.release.intake import days
from rating.release.intake.account import Account
from rating.release.intake.market import cells as cell_words
from rating.release.intake.market import headings
from rating.release.intake.sold.lines import LineReader
from rating.release.intake.sold.table import Reader as TableReader
from rating.release.intake.values import Grid, Row, SeasonWords
from rating.release.intake.words import Columns

_MONTH_DAY = re.compile(r"\b([^\W\d_]{3,10}\.? \d{1,2}) \| ((?:19|20)\d\d\b)")
_DECIMAL = re.compile(r"(\d) \| (\d\d)\b(?!\d)")
_OVER_SALES = re.compile(r"\b(?:auctions?|sales?|session|evening|night|ended|held|closed)\b", re.IGNORECASE)
_OF_LIST = re.compile(r"\b(?:export\w*|print\w*|updated?|download\w*|as of|created|saved)\b", re.IGNORECASE)


@dataclass(slots=True)
class Entry:
    """One row of a list, its cells by their columns."""

    row: Row
    cells: dict[str, str]
    title: str
    day_cell: str
    is_date: bool


class Entries:
    """Reads the entries of one sheet; rows that are none are accounted for.

    `heads` are lines that stand over entries, each with its row: the day of an auction, for one.
    """

    def __init__(
        self, grid: Grid, account: Account, season: SeasonWords, today: date, columns: Columns
    ) -> None:
        self.grid, self.account, self.today = grid, account, today
        self.lines = LineReader(today)
        self.table = TableReader(season, today, columns)
        self.heads: list[tuple[int, str]] = []

    def read(self) -> list[Entry]:
        table = self.table.table(self.grid)
        if table is None or ("title" not in table.columns and table.header is None):
            return self._pasted(self.grid.rows)
        entries: list[Entry] = []
        for place, row in enumerate(self.grid.rows):
            if row is table.header or (table.header and headings.is_again(row, table.header)):
                self.account.take(row, "header")
            elif place < table.first:
                self._head(row)
            else:
                entries.append(self._cells(row, table.columns))
        return entries

    def _cells(self, row: Row, places: Mapping[str, int]) -> Entry:
        cells: Mapping[str, str] = {name: row.cell(place) for name, place in places.items()}
        if not self._is_in_step(row, cells):
            cells = self.lines.by_content(row)
            return Entry(row, dict(cells), cells.get("title", ""), cells.get("date", ""), is_date=False)
        # a title stays as its seller wrote it, damaged letters and all, so that it is found again
        title = row.written.get(places.get("title", -1), cells.get("title", ""))
        return Entry(
            row,
            dict(cells),
            title.replace("\n", " "),
            cells.get("date", ""),
            places.get("date", -1) in row.dates,
        )

    def _is_in_step(self, row: Row, cells: Mapping[str, str]) -> bool:
        """Whether a row's cells stand under their columns; a row of another width may be out of step."""
        title = cells.get("title", "")
        if not title and any(cell_words.has_words(cell, 3) for cell in row.filled):
            return False
        if cell_words.is_money(title) or cell_words.is_day(title, self.today):
            return False
        if cell_words.is_how(title) and len(row.filled) > 2:
            return False
        wrong = [
            name
            for name in ("date", "price", "postage")
            if (cell := cells.get(name, "")) and not self._may_be(name, cell)
        ]
        better = any(
            cell_words.is_day(cell, self.today) or cell_words.is_marked(cell)
            for cell in row.filled
            if cell not in cells.values()
        )
        return not (wrong and better) and len(wrong) < 2

    def _may_be(self, name: str, cell: str) -> bool:
        if name == "date":
            return days.read_day(cell, self.today) is not None and len(cell) < 41
        return re.search(r"\d", cell) is not None or not cell_words.has_words(cell, 3)

    def _head(self, row: Row) -> None:
        self.account.take(row, "title")
        if _is_head(row.text):
            self.heads.append((row.number, row.text))

    # ------------------------------------------------------------ pasted text
    def _pasted(self, rows: Sequence[Row]) -> list[Entry]:
        """Entries out of text without columns: a line each, or a block of lines each."""
        lines = [self._line(row) for row in rows]
        whole = sum(map(self.lines.is_whole, lines))
        if whole * 2 >= len(lines):
            found = []
            for row, line in zip(rows, lines, strict=True):
                cells = self.lines.parted(line)
                found.append(Entry(row, cells, cells.get("title", ""), cells.get("date", ""), is_date=False))
            return found
        blocks = self.lines.blocks(rows)
        texts = [[one.text for one in block] for block in blocks if len(block) > 1]
        label = self.lines.label_of(texts)
        if self.table.heading_of(label.strip(":")) != "title":
            label = ""
        return [entry for block in blocks if (entry := self._from_block(block, label)) is not None]

    def _line(self, row: Row) -> str:
        """A row as a line; what commas parted is whole again."""
        joined = " | ".join(cell for cell in row.cells if cell)
        return _DECIMAL.sub(r"\1,\2", _MONTH_DAY.sub(r"\1, \2", joined))

    def _from_block(self, rows: Sequence[Row], label: str) -> Entry | None:
        """A listing out of its lines; None for a line that stands over listings."""
        if len(rows) == 1 and not self.lines.has_price(rows[0].text) and _stands_over(rows[0].text):
            self._head(rows[0])
            return None
        for other in rows[1:]:
            self.account.take(other, "part of a listing")
        if len(rows) == 1:
            cells = self.lines.parted(self._line(rows[0]))
        else:
            cells = self.lines.of_block([one.text for one in rows], label)
        return Entry(rows[0], cells, cells.get("title", ""), cells.get("date", ""), is_date=False)


def _stands_over(line: str) -> bool:
    """Whether a line speaks of an auction, of sales, or of when the list was made."""
    return len(line) < 90 and bool(_OVER_SALES.search(line) or _OF_LIST.search(line))


def _is_head(line: str) -> bool:
    """Whether a line speaks of an auction or of sales, not of when a list was made."""
    return len(line) < 90 and bool(_OVER_SALES.search(line)) and not _OF_LIST.search(line)
