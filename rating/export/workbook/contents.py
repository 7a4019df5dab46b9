"""What the workbook is made from: the published reviews of a season as rows, and where their cells lie."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from xlsxwriter.utility import xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from rating import text
from rating.export.published import facts_of, published
from rating.export.workbook import cells
from rating.export.workbook.formulas import Live, live
from rating.export.workbook.styles import Look
from rating.facts.facts import KeptFacts
from rating.review import Review, Score
from rating.rubric.rubric import Rubric
from rating.season.season import Season
from rating.standings import Standing

STANDINGS, SORTED, REASONS, SURE, METHOD = "Standings", "Sorted", "Reasons", "How sure", "Method"
FIXED_SHEETS = (STANDINGS, SORTED, REASONS, SURE, METHOD)
# a column's width counts figures of the usual size; of our smaller letters a quarter more fit in
_MARKS = 1.25
_LINE, _TALLEST = 13.5, 409.0

# the rows of the sheet Standings, from 0: groups, names, weights and their helpers stand above the scores
GROUPS, NAMES, WEIGHTS, SNAPPED, FIRST = 6, 7, 8, 9, 10
# its columns, from 0
RANK, MOVED, PUBLISHED, TITLE, GRADE, VERDICT, CLASS, IN_CLASS, STAGE, SCORES = range(10)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One release: its published standing, its review, the facts it used, and its own sheet's name.

    `name` is its title without the words that nearly all titles of the season share.
    """

    standing: Standing
    name: str
    review: Review
    facts: KeptFacts
    sheet: str
    scores: Mapping[str, Score]
    not_applicable: Mapping[str, str]
    unknown: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """The values of a workbook; `classes`, `order` and `live` run parallel to `rows`."""

    season: Season
    rubric: Rubric
    rows: Sequence[Row]
    classes: Sequence[int]
    order: Sequence[int]
    live: Live

    @property
    def keys(self) -> list[str]:
        """The criteria in the order of the rubric."""
        return [one.key for one in self.rubric.criteria]

    @property
    def weights(self) -> list[int]:
        """The points of the criteria, in tenths."""
        return [one.points for one in self.rubric.criteria]

    @property
    def last(self) -> int:
        """The last row of releases on the sheet Standings, from 0."""
        return FIRST + len(self.rows) - 1

    @property
    def after(self) -> int:
        """The first column right of the scores on the sheet Standings, from 0."""
        return SCORES + len(self.keys)

    def column(self, name: str) -> int:
        """A column right of the scores by its name; those from `order` on are helpers and hidden."""
        names = ("obtained", "known", "slug", "order", "class", "apart", "sum", "weight", "counts", "key")
        return self.after + names.index(name)

    def down(self, column: int) -> str:
        """The address of a column of releases, with the sheet: 'Standings!$A$11:$A$28'."""
        first, last = absolute(FIRST, column), absolute(self.last, column)
        return f"{STANDINGS}!{first}:{last}"


def gather(season: Season) -> Book:
    """The values that a season's workbook shows: current reviews without those under embargo."""
    found = published(season)
    rubric = season.rubric
    names = text.short_titles([one.title for one, _ in found])
    sheets = cells.sheet_names((one.release for one, _ in found), taken=FIXED_SHEETS)
    rows = [
        Row(
            standing=one,
            name=name,
            review=review,
            facts=facts_of(season, review),
            sheet=sheet,
            scores={score.criterion: score for score in review.scores},
            not_applicable={left.criterion: left.why for left in review.not_applicable},
            unknown={left.criterion: left.why for left in review.unknown},
        )
        for (one, review), name, sheet in zip(found, names, sheets, strict=True)
    ]
    bands = {band.name: number for number, band in enumerate(season.config.classes, start=1)}
    for row in rows:  # a class that was renamed since still groups its own
        bands.setdefault(row.standing.price_class, len(bands) + 1)
    bands[""] = 0
    classes = [bands[row.standing.price_class] for row in rows]
    # of equal ranks the earlier release comes first, then the name, as everywhere
    dated = sorted(
        range(len(rows)),
        key=lambda place: (rows[place].standing.released_on, text.key(rows[place].standing.title)),
    )
    order = [dated.index(place) + 1 for place in range(len(rows))]
    return Book(
        season=season,
        rubric=rubric,
        rows=rows,
        classes=classes,
        order=order,
        live=live(
            [
                [row.scores[one.key].score if one.key in row.scores else None for one in rubric.criteria]
                for row in rows
            ],
            [one.points for one in rubric.criteria],
            apart=[row.standing.ranked_apart for row in rows],
            classes=classes,
            order=order,
        ),
    )


def absolute(row: int, column: int) -> str:
    """A cell's address that stays when it is copied: '$A$1'."""
    return str(xl_rowcol_to_cell(row, column, row_abs=True, col_abs=True))


def address(row: int, column: int) -> str:
    """A cell's address: 'A1'."""
    return str(xl_rowcol_to_cell(row, column))


class Page:
    """A sheet to write on. Text from people goes through `words`, which never makes a formula of it."""

    def __init__(self, sheet: Worksheet, look: Look) -> None:
        self.sheet, self.look = sheet, look

    def words(self, row: int, column: int, words: str, form: Any = None) -> None:
        """Write text, as text; without any, an empty cell."""
        shown, form = cells.cell_text(words), form or self.look.words
        if cells.looks_like_markup(shown):
            # in runs of its own making the writer escapes it, and it reads the same
            runs = (shown[:1], shown[1:2], shown[2:])
            _sound(self.sheet.write_rich_string(row, column, *runs, form), row, column)
        elif shown:
            _sound(self.sheet.write_string(row, column, shown, form), row, column)
        else:
            self.blank(row, column, form)

    def across(self, row: int, first: int, last: int, words: str, form: Any) -> None:
        """Write text over several columns."""
        self.sheet.merge_range(row, first, row, last, "", form)
        self.words(row, first, words, form)

    def number(self, row: int, column: int, number: float, form: Any) -> None:
        """Write a number."""
        _sound(self.sheet.write_number(row, column, number, form), row, column)

    def blank(self, row: int, column: int, form: Any) -> None:
        """Write an empty cell with a format."""
        _sound(self.sheet.write_blank(row, column, None, form), row, column)

    def formula(self, row: int, column: int, formula: str, value: float | str | None, form: Any) -> None:
        """Write a formula with the value it has now, None for a blank."""
        shown = "" if value is None else value
        _sound(self.sheet.write_formula(row, column, formula, form, shown), row, column)

    def tenths(self, row: int, column: int, formula: str, value: int | None, form: Any) -> None:
        """Write a formula whose value is given in tenths."""
        self.formula(row, column, formula, None if value is None else value / 10, form)


def lay_out(page: Page, *, landscape: bool = True, repeat: tuple[int, int] | None = None) -> None:
    """What all sheets share: locked without a password, one page wide, no grid lines, page numbers."""
    sheet = page.sheet
    sheet.protect("", {"format_columns": True, "format_rows": True, "autofilter": True})
    sheet.hide_gridlines(2)
    if landscape:
        sheet.set_landscape()
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)
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


def day(written: str) -> str:
    """A date as it is shown, 'no date' where there is none."""
    return date.fromisoformat(written).isoformat() if written else "no date"


def _sound(fault: int | None, row: int, column: int) -> None:
    if fault:
        raise ValueError(f"the cell {address(row, column)} was not written: code {fault}")
