"""Writing on a sheet: text that stays text, formulas with their values, rows as high as they need."""

from __future__ import annotations

import textwrap
from collections.abc import Collection, Sequence
from copy import copy
from datetime import date, datetime, time
from io import BytesIO

from xlsxwriter.format import Format
from xlsxwriter.workbook import Workbook

from rating.export.workbook import cells
from rating.export.workbook.positions import address
from rating.export.workbook.styles import Styles

# a column's width counts figures of the usual size; of our smaller letters a quarter more fit in
_MARKS = 1.25
_LINE, _TALLEST = 13.5, 409.0


def new_book(out: BytesIO, title: str, day: date) -> Workbook:
    """A workbook to write into: text stays text, and the same content gives the same bytes.

    `day` is the one it stands for, not that of the clock.
    """
    options = ("strings_to_formulas", "strings_to_urls", "strings_to_numbers")
    book = Workbook(out, {"in_memory": True, **dict.fromkeys(options, False)})
    book.set_properties({"title": title, "created": datetime.combine(day, time.min)})
    return book


class SheetWriter:
    """A sheet to write on, its columns as wide as it says: `widths`, from the first on.

    Text from people goes through `words`, which never makes a formula of it.
    """

    def __init__(self, book: Workbook, name: str, style: Styles, widths: Sequence[float]) -> None:
        self.sheet, self.style, self.widths = book.add_worksheet(name), style, tuple(widths)
        for column, width in enumerate(self.widths):
            self.sheet.set_column(column, column, width)

    def styled(self, style: Styles) -> SheetWriter:
        """The same sheet, written on in another style."""
        other = copy(self)
        other.style = style
        return other

    @property
    def last(self) -> int:
        """The last column that has a width, from 0."""
        return len(self.widths) - 1

    def words(self, row: int, column: int, words: str, form: Format | None = None) -> None:
        """Write text, as text; without any, an empty cell."""
        shown, form = cells.cell_text(words), form or self.style.words
        if cells.looks_like_markup(shown):
            # in runs of its own making the writer escapes it, and it reads the same
            runs = (shown[:1], shown[1:2], shown[2:])
            _sound(self.sheet.write_rich_string(row, column, *runs, form), row, column)
        elif shown:
            _sound(self.sheet.write_string(row, column, shown, form), row, column)
        else:
            self.blank(row, column, form)

    def across(self, row: int, first: int, last: int, words: str, form: Format) -> None:
        """Write text over several columns."""
        self.sheet.merge_range(row, first, row, last, "", form)
        self.words(row, first, words, form)

    def number(self, row: int, column: int, number: float | None, form: Format) -> None:
        """Write a number, None as an empty cell."""
        if number is None:
            self.blank(row, column, form)
        else:
            _sound(self.sheet.write_number(row, column, number, form), row, column)

    def blank(self, row: int, column: int, form: Format) -> None:
        """Write an empty cell with a format."""
        _sound(self.sheet.write_blank(row, column, None, form), row, column)

    def formula(self, row: int, column: int, formula: str, value: float | str | None, form: Format) -> None:
        """Write a formula with the value it has now, None for a blank."""
        shown = "" if value is None else value
        _sound(self.sheet.write_formula(row, column, formula, form, shown), row, column)

    def tenths(self, row: int, column: int, formula: str, value: int | None, form: Format) -> None:
        """Write a formula whose value is given in tenths."""
        self.formula(row, column, formula, None if value is None else value / 10, form)

    def title(self, words: str) -> None:
        """Write the title of the sheet into its first row."""
        self.words(0, 0, words, self.style.title)
        self.sheet.set_row(0, 30)

    def heading(self, row: int, words: str) -> None:
        """Write a heading over all columns."""
        self.across(row, 0, self.last, words, self.style.heading)

    def heads(self, row: int, heads: Sequence[str], *, texts: Collection[str]) -> None:
        """Write the heads of columns from the first on; `texts` are those over text, not numbers."""
        for column, words in enumerate(heads):
            self.words(row, column, words, self.style.head if words in texts else self.style.head_number)

    def paragraph(
        self,
        row: int,
        words: str,
        form: Format,
        *,
        first: int = 0,
        fill: float = 1.0,
        more: float = 0.0,
        least: float = 0.0,
    ) -> None:
        """Write text from a column to the last one, in a row that is high enough for it.

        Parameters
        ----------
        fill : the part of the columns' width that text fills
        more, least : points of height beyond what it needs, and the least height in points
        """
        self.across(row, first, self.last, words, form)
        room = sum(self.widths[first:]) * fill
        self.sheet.set_row(row, max(least, height((words, room)) + more))

    def fit(self, row: int, *texts: tuple[str, int], least: float = 0.0) -> None:
        """Make a row high enough for texts, each in the column beside it."""
        needed = height(*((words, self.widths[column]) for words, column in texts))
        self.sheet.set_row(row, max(least, needed))

    def lay_out(
        self,
        *,
        landscape: bool = True,
        repeat: tuple[int, int] | None = None,
        sortable: bool = False,
        scale: int | None = None,
    ) -> None:
        """Do what all sheets share: locked without a password, no grid, page numbers.

        Parameters
        ----------
        repeat : the rows that stand on top of every page
        sortable : people may sort its unlocked rows
        scale : the size of the print in per cent; without one it is as wide as the page
        """
        sheet = self.sheet
        allowed = {"format_columns": True, "format_rows": True, "autofilter": True, "sort": sortable}
        sheet.protect("", allowed)
        sheet.hide_gridlines(2)
        if landscape:
            sheet.set_landscape()
        sheet.set_paper(9)
        if scale is None:
            sheet.fit_to_pages(1, 0)
        else:
            sheet.set_print_scale(scale)
        sheet.set_margins(left=0.4, right=0.4, top=0.5, bottom=0.6)
        sheet.set_footer("&L&8&A&R&8&P / &N")
        if repeat is not None:
            sheet.repeat_rows(*repeat)


def height(*texts: tuple[str, float]) -> float:
    """The height of a row that holds wrapped texts, each with the width of its columns.

    Spreadsheet programs do not fit rows to merged cells, so every row is given its height.
    """
    lines = max(_lines(cells.cell_text(words), int(width * _MARKS)) for words, width in texts)
    return min(_TALLEST, _LINE * lines + 5)


def _lines(words: str, marks: int) -> int:
    return sum(max(1, len(textwrap.wrap(line, max(1, marks)))) for line in words.split("\n"))


def _sound(fault: int | None, row: int, column: int) -> None:
    if fault:
        raise ValueError(f"the cell {address(row, column)} was not written: code {fault}")
