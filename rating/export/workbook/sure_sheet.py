"""The sheet How sure: the range of each place on the day it was written, and whose weights put it first."""

from __future__ import annotations

from xlsxwriter.workbook import Workbook

from rating.doubt.ranges import Ranges, percent_text, ranges, who_would_put_first
from rating.doubt.score_table import ScoreTable
from rating.export.workbook import contents as at
from rating.export.workbook import styles as look
from rating.export.workbook.contents import STANDINGS, SURE, Book, Page
from rating.export.workbook.standings_sheet import disclosed

_WIDTHS = (8, 34, 9, 9, 11, 12, 16, 62)
_LAST = len(_WIDTHS) - 1
# a place taken less often is left out
_SEEN = 0.005


def write_sure(book: Workbook, made: Book, style: look.Look) -> None:
    """How sure the places are: values, not formulas, since they rest on draws."""
    season = made.season
    held = season.held_back()
    table = season.table(entries=[one for one in season.recorded.entries if one.release not in held])
    found = ranges(table)
    page = Page(book.add_worksheet(SURE), style)
    for column, width in enumerate(_WIDTHS):
        page.sheet.set_column(column, column, width)
    page.words(0, 0, "How sure the places are", style.title)
    page.sheet.set_row(0, 30)
    page.across(1, 0, _LAST, disclosed(made), style.loud)
    page.sheet.set_row(1, at.height((disclosed(made), sum(_WIDTHS) * 0.9)) + 3)
    told = (
        f"Values as of {season.today.isoformat()}; they do not follow the points on the sheet {STANDINGS}. "
        f"Ranges hold in nine draws of ten: {found.assumed}; {found.draws:,} draws."
    )
    page.across(2, 0, _LAST, told, style.note)
    page.sheet.set_row(2, at.height((told, sum(_WIDTHS))))
    names = {row.standing.release: row.name for row in made.rows}
    line = _places(page, table, found, names, 4)
    line = _shares(page, found, names, line + 1)
    at.lay_out(page, repeat=(4, 4))
    page.sheet.freeze_panes(5, 2)
    page.sheet.print_area(0, 0, line, _LAST)


def _places(page: Page, table: ScoreTable, found: Ranges, names: dict[str, str], top: int) -> int:
    style = page.look
    heads = (
        "place",
        "release",
        "best",
        "worst",
        "expected",
        "first in",
        "before the next in",
        "whose weights",
    )
    for column, words in enumerate(heads):
        page.words(top, column, words, style.head if column in {1, 7} else style.head_number)
    line = top + 1
    for i, row in enumerate(found.rows):
        form = look.TIED if row.place.startswith("=") else look.RANK
        page.number(line, 0, int(row.place.removeprefix("=")), style.number(form))
        page.words(line, 1, names[row.release], style.name)
        page.number(line, 2, row.low, style.number(look.RANK))
        page.number(line, 3, row.high, style.number(look.RANK))
        page.number(line, 4, round(row.expected, 1), style.number(look.GRADE))
        page.words(line, 5, percent_text(row.shares[0]), style.words)
        last = i + 1 == len(found.rows)
        page.words(line, 6, "" if last else percent_text(float(found.wins[i, i + 1])), style.words)
        told = who_would_put_first(table, row)
        page.words(line, 7, told, style.words)
        page.sheet.set_row(line, at.height((names[row.release], _WIDTHS[1]), (told, _WIDTHS[7])))
        line += 1
    return line


def _shares(page: Page, found: Ranges, names: dict[str, str], top: int) -> int:
    """In how many draws each release takes each place, in words: a square of 40 columns nobody reads."""
    style = page.look
    page.across(top, 0, _LAST, "How often each place is taken", style.heading)
    for line, row in enumerate(found.rows, start=top + 1):
        told = ", ".join(
            f"{place} in {percent_text(share)}"
            for place, share in enumerate(row.shares, start=1)
            if share >= _SEEN
        )
        page.words(line, 0, row.place)
        page.words(line, 1, names[row.release], style.name)
        page.across(line, 2, _LAST, told, style.words)
        page.sheet.set_row(line, at.height((names[row.release], _WIDTHS[1]), (told, sum(_WIDTHS[2:]))))
    return top + 1 + len(found.rows)
