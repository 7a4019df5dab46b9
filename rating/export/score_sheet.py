"""A score sheet: a workbook in which somebody gives own scores of a release, and sends it back.

It says what each criterion asks, what the files say that bears on it, and what 0, 50 and 100 look like. The
grade so far follows live, in whole numbers as the program's own. Nothing of what others scored is in it,
unless that is asked for.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from xlsxwriter.workbook import Workbook

from rating import money
from rating.export.workbook.positions import address
from rating.export.workbook.sheet_writer import SheetWriter, new_book
from rating.export.workbook.styles import INK, LINE, TINT, Styles
from rating.grading import Graded
from rating.release.swap import write_whole
from rating.season import taking_in
from rating.season.scoring import sheet as layout
from rating.season.season import Season

_HOW = (
    "On each line give a whole number from 0 to 100 and a sentence that says why; 50 is what a typical "
    "release offers. Write - where a question does not apply, and say why. Leave blank what you cannot say. "
    "Then save the file and send it back."
)
_HEADS = (layout.KEY, "points", "it asks", "what is known", "0 is", "50 is", "100 is")
_OWN = (layout.SCORE, layout.REASON, "check")
_PUBLISHED = ("the host's score", "the host's reason")
_WIDTHS = (12.0, 7.0, 22.0, 44.0, 17.0, 17.0, 17.0, 9.0, 40.0, 17.0)
_HEAD_ROW = 3
# what a cell of scores is, by the hidden column that works it out
_OPEN, _SCORED, _ABSENT, _WRONG = 0, 1, 2, -1
_FILLED, _LEFT = "filled", "open"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    """A criterion as the sheet asks it: points in tenths, guidance for 0, 50 and 100."""

    key: str
    points: int
    question: str
    known: str
    guidance: tuple[str, str, str]


def write_score_sheet(season: Season, release: str, rater: str, path: Path, *, is_open: bool = False) -> None:
    """Write a score sheet; a file that is there is replaced in one step.

    Parameters
    ----------
    rater : the key of who is to fill it in
    is_open : whether it shows what the host's grade of today says; otherwise nothing of it is in the file

    Raises
    ------
    rating.errors.RatingError
        if the release's files cannot be read, or the sheet cannot be written
    """
    write_whole(path, score_sheet_bytes(season, release, rater, is_open=is_open))


def score_sheet_bytes(season: Season, release: str, rater: str, *, is_open: bool = False) -> bytes:
    """The score sheet as the bytes of an .xlsx file, see `write_score_sheet`."""
    title = season.files.sheet(release).title
    published = _published(season.grade(release).graded) if is_open else None
    out = io.BytesIO()
    book = new_book(out, title, season.today)
    style = Styles(book)
    marks = taking_in.marks_of(season.files, release, rater)
    widths = [*_WIDTHS, *((9.0, 40.0) if published is not None else ())]
    on = SheetWriter(book, "Scores", style, widths)
    on.title(title)
    on.words(1, 0, marks.line, style.of(bold=True))
    on.paragraph(2, _HOW, style.note)
    lines = _lines(season, release)
    _heads(on, published is not None)
    for place, line in enumerate(lines):
        _row(on, _HEAD_ROW + 1 + place, line, published)
    _foot(on, len(lines))
    _guard(on, len(lines))
    _about(book, style, season, marks.told())
    book.close()
    return out.getvalue()


def _published(graded: Graded) -> Mapping[str, tuple[str, str]]:
    """What the grade of today says of each criterion: the score, or a word, and the reason."""
    told = {one.score.criterion: (str(one.score.score), one.score.reason) for one in graded.contributions}
    told |= {one.criterion: ("-", one.why) for one in graded.not_applicable}
    return told | {one.criterion: ("open", one.why) for one in graded.unknown}


def _known(graded: Graded) -> dict[str, str]:
    """The sentence of facts for each criterion, of a grade without anybody's scores."""
    told = {one.score.criterion: one.score.reason for one in graded.contributions}
    told |= {one.criterion: _sentence(one.why) for one in graded.not_applicable}
    return told | {one.criterion: f"Not known yet: {one.why}." for one in graded.unknown}


def _sentence(why: str) -> str:
    return f"{why[:1].upper()}{why[1:].rstrip('.')}."


def _lines(season: Season, release: str) -> list[_Line]:
    told = _known(season.grade(release, judgements=()).graded)
    lines, currency = [], season.config.currency
    for one in season.rubric.criteria:
        module = season.files.modules.get(one.key)
        asked = module.criterion if module is not None else None
        is_asked = asked is not None and asked.find is None
        said = asked.guidance if asked is not None else ("",) * 5
        low, _, middle, _, high = (money.in_currency(words, currency) for words in said)
        lines.append(
            _Line(
                key=one.key,
                points=one.points,
                question=money.in_currency(asked.question, currency) if asked is not None else "",
                known="Nothing is computed here: go by what you saw." if is_asked else told[one.key],
                guidance=(low, middle, high),
            )
        )
    return lines


def _heads(on: SheetWriter, is_open: bool) -> None:
    heads = (*_HEADS, *_OWN, *(_PUBLISHED if is_open else ()))
    on.heads(_HEAD_ROW, heads, texts=set(heads) - {"points", layout.SCORE, _PUBLISHED[0]})
    on.sheet.set_row(_HEAD_ROW, 30)


def _row(on: SheetWriter, row: int, line: _Line, published: Mapping[str, tuple[str, str]] | None) -> None:
    style = on.style
    on.words(row, 0, line.key, style.name)
    on.number(row, 1, line.points / 10, style.number("General"))
    texts = (line.question, line.known, *line.guidance)
    for column, words in enumerate(texts, start=2):
        on.words(row, column, words)
    own = {"locked": False, "bg_color": TINT, "border": 1, "border_color": LINE, "font_color": INK}
    on.blank(row, 7, style.of(num_format="0", align="center", font_size=12, **own))
    on.blank(row, 8, style.of(text_wrap=True, num_format="@", **own))
    on.formula(row, 9, _check(row, on.last + 1), _LEFT, style.words)
    fits = [(words, column) for column, words in enumerate(texts, start=2)]
    if published is not None:
        score, reason = published[line.key]
        on.words(row, 10, score, style.number("General"))
        on.words(row, 11, reason)
        fits.append((reason, 11))
    on.fit(row, *fits, least=45)
    _helpers(on, row, line.points)


def _helpers(on: SheetWriter, row: int, points: int) -> None:
    """Hidden beside a row: what its score is, its weight, weight times score, weight left open, no reason."""
    first, plain = on.last + 1, on.style.plain
    score, reason, weight = address(row, 7), address(row, 8), f"ROUND({address(row, 1)}*10,0)"
    is_, counted = address(row, first), address(row, first + 1)
    whole = f"IF(AND({score}>=0,{score}<=100,{score}=INT({score})),{_SCORED},{_WRONG})"
    words = f'IF(TRIM({score})="",{_OPEN},IF(TRIM({score})="-",{_ABSENT},{_WRONG}))'
    is_wrong = f"IF(ISERROR({score}),TRUE,ISLOGICAL({score}))"
    state = f"=IF({is_wrong},{_WRONG},IF(ISNUMBER({score}),{whole},{words}))"
    is_due = f'IF(ISERROR({reason}),TRUE,TRIM({reason})="")'
    on.formula(row, first, state, _OPEN, plain)
    on.formula(row, first + 1, f"=IF({is_}={_SCORED},{weight},0)", 0, plain)
    on.formula(row, first + 2, f"=IF({is_}={_SCORED},{score}*{counted},0)", 0, plain)
    on.formula(row, first + 3, f"=IF({is_}<{_SCORED},{weight},0)", points, plain)
    on.formula(row, first + 4, f"=IF({is_due},1,0)", 1, plain)


def _check(row: int, first: int) -> str:
    is_, due = address(row, first), address(row, first + 4)
    due_words = f'IF({is_}={_ABSENT},"say why it does not apply","say why, in a sentence")'
    given = f'IF({due}=1,{due_words},IF({is_}={_ABSENT},"does not apply","{_FILLED}"))'
    left = f'IF({due}=1,"{_LEFT}","a reason without a score")'
    return f'=IF({is_}={_WRONG},"a whole number from 0 to 100, or -",IF({is_}={_OPEN},{left},{given}))'


def _foot(on: SheetWriter, lines: int) -> None:
    """How many are filled, and the grade so far with what it could become, live."""
    top, bottom, row = _HEAD_ROW + 1, _HEAD_ROW + lines, _HEAD_ROW + 1 + lines
    first = on.last + 1

    def area(column: int) -> str:
        return f"{address(top, column)}:{address(bottom, column)}"

    sums = [f"SUM({area(first + place)})" for place in (1, 2, 3)]
    for place, formula in enumerate(sums, start=1):
        on.formula(row, first + place, f"={formula}", None, on.style.plain)
    weight, product, left = (address(row, first + place) for place in (1, 2, 3))
    whole = f"({weight}+{left})"
    grade = _grade(product, weight)
    lowest, highest = _grade(product, whole), _grade(f"({product}+100*{left})", whole)
    bounds = f'IF({left}=0,""," (could become "&{lowest}&" to "&{highest}&")")'
    so_far = f'IF({weight}=0,"; no grade yet","; your grade so far "&{grade}&{bounds})'
    filled = f'COUNTIF({area(first)},">={_SCORED}")'
    due = f"SUMPRODUCT(({area(first)}>={_SCORED})*({area(first + 4)}=1))"
    due_words = f'IF({due}=0,"","; "&{due}&IF({due}=1," needs"," need")&" a reason")'
    formula = f'={filled}&" of {lines} filled"&{so_far}&{due_words}'
    form = on.style.of(bold=True, font_size=12, bg_color=TINT, indent=1)
    on.across(row, 0, on.last, "", form)
    on.formula(row, 0, formula, f"0 of {lines} filled; no grade yet", form)
    on.sheet.set_row(row, 26)
    on.sheet.set_column(first, first + 4, None, None, {"hidden": True})


def _grade(product: str, weight: str) -> str:
    """The grade as text, by the whole numbers that make it: a number format would hang on the language."""
    whole = f"INT((20*{product}+{weight})/(2*{weight}))"
    return f'INT({whole}/10)&"."&MOD({whole},10)'


def _guard(on: SheetWriter, lines: int) -> None:
    """Warn of what is no score while it is typed, keep all but the answers locked, and lay out the page."""
    top, bottom = _HEAD_ROW + 1, _HEAD_ROW + lines
    cell = address(top, 7)
    rule = f'=IF(ISNUMBER({cell}),AND({cell}>=0,{cell}<=100,{cell}=INT({cell})),TRIM({cell})="-")'
    on.sheet.data_validation(
        top,
        7,
        bottom,
        7,
        {
            "validate": "custom",
            "value": rule,
            "error_type": "warning",
            "error_title": "No score",
            "error_message": "Write a whole number from 0 to 100, or - where it does not apply.",
        },
    )
    check = {"type": "cell", "criteria": "==", "value": f'"{_FILLED}"', "format": on.style.bare(bold=True)}
    on.sheet.conditional_format(top, 9, bottom, 9, check)
    on.sheet.freeze_panes(_HEAD_ROW + 1, 1)
    on.sheet.set_selection(top, 7, top, 7)
    on.lay_out(repeat=(_HEAD_ROW, _HEAD_ROW))
    on.sheet.print_area(0, 0, _HEAD_ROW + 1 + lines, on.last)


def _about(book: Workbook, style: Styles, season: Season, marks: Mapping[str, str]) -> None:
    """The second sheet: what the first is about, so that it finds its way back."""
    on = SheetWriter(book, layout.ABOUT, style, (16.0, 70.0))
    rows = {"season": season.config.name, "rater's name": season.config.rater_name(marks["rater"]), **marks}
    for row, (name, value) in enumerate(rows.items()):
        on.words(row, 0, name, style.name)
        on.words(row, 1, value)
    on.lay_out(landscape=False)
