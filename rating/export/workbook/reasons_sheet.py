"""The sheet Reasons: every score of every release with its why."""

from __future__ import annotations

from xlsxwriter.workbook import Workbook

from rating.export.workbook import cells
from rating.export.workbook.contents import Contents, ReviewedRelease
from rating.export.workbook.positions import REASONS
from rating.export.workbook.sheet_writer import SheetWriter
from rating.export.workbook.styles import SCALE, Styles

_COLUMNS = {
    "release": 30,
    "criterion": 12,
    "score": 7,
    "basis": 14,
    "doubt ±": 8,
    "computed": 10,
    "rater": 14,
    "reason": 90,
}
_NUMBERS = {"score", "doubt ±", "computed"}
_TOP = 4


def write_reasons(book: Workbook, contents: Contents, style: Styles) -> None:
    """One line for each release and criterion: score, basis, doubt, rater and the reason in full."""
    sheet = SheetWriter(book, REASONS, style, tuple(_COLUMNS.values()))
    sheet.title("Reasons")
    sheet.paragraph(1, contents.disclosed, style.loud, fill=0.9)
    sheet.paragraph(2, contents.cautions, style.note, fill=0.9)
    sheet.heads(_TOP, tuple(_COLUMNS), texts=set(_COLUMNS) - _NUMBERS)
    line = _TOP + 1
    cells.hold_to_limits(line + len(contents.releases) * len(contents.keys), len(_COLUMNS), REASONS)
    for release in contents.releases:
        for key in _criteria(contents, release):
            _reason(sheet, contents, line, release, key)
            line += 1
    last = max(_TOP + 1, line - 1)
    sheet.sheet.freeze_panes(_TOP + 1, 1)
    sheet.sheet.autofilter(_TOP, 0, last, sheet.last)
    sheet.sheet.conditional_format(_TOP + 1, 2, last, 2, SCALE)
    sheet.lay_out(repeat=(_TOP, _TOP))


def _criteria(contents: Contents, release: ReviewedRelease) -> list[str]:
    """The criteria of the rubric that a review covers, then those of its own time that are gone."""
    covered = {**release.scores, **release.unknown, **release.not_applicable}
    return [key for key in contents.keys if key in covered] + sorted(set(covered) - set(contents.keys))


def _reason(sheet: SheetWriter, contents: Contents, line: int, release: ReviewedRelease, key: str) -> None:
    style, score = sheet.style, release.scores.get(key)
    plain = style.number("0")
    sheet.words(line, 0, release.name, style.name)
    sheet.words(line, 1, key)
    if score is None:
        basis, why = release.unscored(key)
        for column in (2, 4, 5):
            sheet.blank(line, column, plain)
        sheet.words(line, 3, basis)
        sheet.words(line, 6, "")
    else:
        why = score.reason
        sheet.number(line, 2, score.score, style.number("0", bold=True))
        sheet.words(line, 3, score.basis)
        sheet.number(line, 4, score.spread, plain)
        sheet.number(line, 5, score.computed_score, plain)
        sheet.words(line, 6, contents.season.config.rater_name(score.rater))
    sheet.words(line, 7, why)
    sheet.fit(line, (release.name, 0), (why, 7))
