"""The sheet How sure: the range of each place on the day it was written, and whose weights put it first."""

from __future__ import annotations

from collections.abc import Mapping

from xlsxwriter.workbook import Workbook

from rating.doubt.levels import percent_text
from rating.doubt.ranges import (
    Ranges,
    ranges,
    together,
    who_would_put_first,
)
from rating.doubt.score_table import ScoreTable
from rating.export.workbook.contents import Contents
from rating.export.workbook.positions import STANDINGS, SURE
from rating.export.workbook.sheet_writer import SheetWriter, height
from rating.export.workbook.styles import GRADE, RANK, TIED, Styles

_COLUMNS = {
    "place": 8,
    "release": 34,
    "best": 8,
    "worst": 8,
    "best at once": 9,
    "worst at once": 9,
    "kept in": 9,
    "expected": 11,
    "first in": 12,
    "before the next in": 16,
    "whose weights": 62,
}
# a place taken less often is left out
_SEEN = 0.005


def write_sure(book: Workbook, contents: Contents, style: Styles) -> None:
    """How sure the places are: values, not formulas, since they rest on draws."""
    season, held = contents.season, contents.season.held_back()
    table = season.table(entries=[entry for entry in season.recorded.entries if entry.release not in held])
    drawn = ranges(table)
    sheet = SheetWriter(book, SURE, style, tuple(_COLUMNS.values()))
    sheet.title("How sure the places are")
    sheet.paragraph(1, contents.disclosed, style.loud, fill=0.9, more=3)
    sheet.paragraph(
        2,
        f"Values as of {season.today.isoformat()}; they do not follow the points on the sheet {STANDINGS}. "
        f"{together(drawn)} {drawn.draws:,} simulations, {drawn.assumed}.",
        style.note,
    )
    names = {release.standing.release: release.name for release in contents.releases}
    line = _places(sheet, table, drawn, names, 4)
    line = _shares(sheet, drawn, names, line + 1)
    sheet.lay_out(repeat=(4, 4))
    sheet.sheet.freeze_panes(5, 2)
    sheet.sheet.print_area(0, 0, line, sheet.last)


def _places(sheet: SheetWriter, table: ScoreTable, drawn: Ranges, names: Mapping[str, str], top: int) -> int:
    style = sheet.style
    sheet.heads(top, tuple(_COLUMNS), texts={"release", "whose weights"})
    line = top + 1
    for i, row in enumerate(drawn.rows):
        form = TIED if row.place.startswith("=") else RANK
        sheet.number(line, 0, int(row.place.removeprefix("=")), style.number(form))
        sheet.words(line, 1, names[row.release], style.name)
        sheet.number(line, 2, row.low, style.number(RANK))
        sheet.number(line, 3, row.high, style.number(RANK))
        sheet.number(line, 4, row.low_at_once, style.number(RANK))
        sheet.number(line, 5, row.high_at_once, style.number(RANK))
        sheet.words(line, 6, percent_text(row.kept))
        sheet.number(line, 7, round(row.expected, 1), style.number(GRADE))
        sheet.words(line, 8, percent_text(row.shares[0]))
        is_last = i + 1 == len(drawn.rows)
        sheet.words(line, 9, "" if is_last else percent_text(float(drawn.wins[i, i + 1])))
        told = who_would_put_first(table, row)
        sheet.words(line, 10, told)
        sheet.fit(line, (names[row.release], 1), (told, 10))
        line += 1
    return line


def _shares(sheet: SheetWriter, drawn: Ranges, names: Mapping[str, str], top: int) -> int:
    """In how many draws each release takes each place, in words: a square of 40 columns nobody reads."""
    sheet.heading(top, "How often each place is taken")
    for line, row in enumerate(drawn.rows, start=top + 1):
        name = names[row.release]
        told = ", ".join(
            f"{place} in {percent_text(share)}"
            for place, share in enumerate(row.shares, start=1)
            if share >= _SEEN
        )
        sheet.words(line, 0, row.place)
        sheet.words(line, 1, name, sheet.style.name)
        sheet.paragraph(line, told, sheet.style.words, first=2, least=height((name, sheet.widths[1])))
    return top + 1 + len(drawn.rows)
