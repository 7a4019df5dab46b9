"""The season as a workbook that recomputes: standings with points on top, reasons, doubt, a sheet a
release, method.

Every formula carries the value it has when it is written, so that a preview shows numbers; every spreadsheet
program knows its functions. The same season gives the same bytes.
"""

from __future__ import annotations

import io
from pathlib import Path

from rating.errors import RatingError
from rating.export.workbook.contents import gather
from rating.export.workbook.method_sheet import write_method
from rating.export.workbook.reasons_sheet import write_reasons
from rating.export.workbook.release_sheet import write_release
from rating.export.workbook.sheet_writer import new_book
from rating.export.workbook.sorted_sheet import write_sorted
from rating.export.workbook.standings_sheet import write_standings
from rating.export.workbook.styles import Styles
from rating.export.workbook.sure_sheet import write_sure
from rating.release.swap import write_whole
from rating.season.season import Season


def write_workbook(season: Season, path: Path) -> None:
    """Write the season's workbook; a file that is there is replaced in one step.

    Releases under embargo are left out, as if they were not reviewed yet.

    Raises
    ------
    RatingError
        if nothing may be shown yet, a sheet cannot hold the season, or the file cannot be written
    """
    write_whole(path, workbook_bytes(season))


def workbook_bytes(season: Season) -> bytes:
    """The season's workbook as the bytes of an .xlsx file, see `write_workbook`."""
    contents = gather(season)
    if not contents.releases:
        held = season.held_back()
        raise RatingError(
            "there is no review to show" + (", what is recorded is under embargo" if held else " yet"),
            where=season.config.name,
            fix=f"export it from {min(held.values()).isoformat()} on"
            if held
            else "record one with 'boxwright grade RELEASE --record'",
        )
    out = io.BytesIO()
    book = new_book(out, season.config.name, season.today)
    style = Styles(book)
    write_standings(book, contents, style)
    write_sorted(book, contents, style)
    write_reasons(book, contents, style)
    write_sure(book, contents, style)
    for place in range(len(contents.releases)):
        write_release(book, contents, style, place)
    write_method(book, contents, style)
    book.close()
    return out.getvalue()
