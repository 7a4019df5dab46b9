"""The sheet Standings, with the points on top of their columns: places, grades and scores follow them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from xlsxwriter.format import Format
from xlsxwriter.workbook import Workbook

from rating import tenths
from rating.export.workbook import cells
from rating.export.workbook import positions as at
from rating.export.workbook.contents import Contents, ReviewedRelease
from rating.export.workbook.positions import FIRST, HELPERS, METHOD, SCORES, STANDINGS, address, down
from rating.export.workbook.sheet_writer import SheetWriter
from rating.export.workbook.styles import (
    GRADE,
    HUE,
    LINE,
    MOVED,
    OPEN,
    POINTS,
    QUIET,
    RANK,
    SCALE,
    TIED,
    TINT,
    Styles,
)

POINTS_LIMIT = 1000
# the columns left of the scores with their heads and widths, then a score's width, then those right of them
_LEFT = (
    ("place", 6),
    ("moved", 7),
    ("published place", 9),
    ("release", 30),
    ("grade", 8),
    ("verdict", 24),
    ("class", 10),
    ("place in class", 6),
    ("stage", 10),
)
_SCORE_WIDTH = 5.5
_RIGHT = (("how we came by it", 20), ("what is open", 32), ("its sheet", 20))
_TEXTS = {"release", "verdict", "class", "stage", *(words for words, _ in _RIGHT)}


def write_standings(book: Workbook, contents: Contents, style: Styles) -> None:
    """The sheet where points are changed: places, grades and scores follow at once."""
    widths = [*(width for _, width in _LEFT), *[_SCORE_WIDTH] * len(contents.keys)]
    sheet = SheetWriter(book, STANDINGS, style, [*widths, *(width for _, width in _RIGHT)])
    cells.hold_to_limits(contents.last + 1, contents.column("key") + 1, STANDINGS)
    _names(book, contents)
    _top(sheet, contents)
    _groups(sheet, contents)
    _heads(sheet, contents)
    _weights(sheet, contents)
    for place in range(len(contents.releases)):
        _release(sheet, contents, place)
    _dress(sheet, contents)
    _foot(sheet, contents)
    sheet.lay_out(repeat=(at.GROUPS, at.WEIGHTS))
    sheet.sheet.print_area(0, 0, contents.last + 5, contents.column("slug"))


def _names(book: Workbook, contents: Contents) -> None:
    weights = at.across(at.WEIGHTS, SCORES, contents.after - 1)
    scores = f"{at.absolute(FIRST, SCORES)}:{at.absolute(contents.last, contents.after - 1)}"
    for name, place in (
        ("weights", f"{STANDINGS}!{weights}"),
        ("scores", f"{STANDINGS}!{scores}"),
        ("grades", contents.down(at.GRADE)),
        ("ranks", contents.down(at.RANK)),
        ("releases", contents.down(contents.column("slug"))),
    ):
        book.define_name(name, f"={place}")


def _top(sheet: SheetWriter, contents: Contents) -> None:
    style, season = sheet.style, contents.season
    sheet.title(season.config.name)
    sheet.words(
        1,
        0,
        f"Standings as of {season.today.isoformat()}, {contents.rubric.name}. "
        "Change the points in the framed cells: grades, places and the sheet Sorted follow.",
        style.of(font_size=11),
    )
    sheet.across(2, 0, sheet.last, contents.disclosed, style.loud)
    sheet.paragraph(3, contents.cautions, style.note)
    for row, size in ((1, 18), (2, 20), (4, 6), (5, 6)):
        sheet.sheet.set_row(row, size)


def _groups(sheet: SheetWriter, contents: Contents) -> None:
    """The groups of criteria, each over the columns of its own."""
    form = sheet.style.of(bold=True, font_color=HUE, bottom=1, bottom_color=HUE, align="center")
    first = SCORES
    for key, members in groupby(criterion.group for criterion in contents.rubric.criteria):
        last, words = first + len(list(members)) - 1, contents.rubric.groups[key]
        if last > first:
            sheet.across(at.GROUPS, first, last, words, form)
        else:
            sheet.words(at.GROUPS, first, words, form)
        first = last + 1
    sheet.sheet.set_row(at.GROUPS, 18)


def _heads(sheet: SheetWriter, contents: Contents) -> None:
    """The heads of all columns but the scores', on both rows above the releases."""
    style = sheet.style
    heads = [
        *enumerate(words for words, _ in _LEFT),
        *enumerate((words for words, _ in _RIGHT), start=contents.after),
    ]
    for column, words in heads:
        sheet.words(at.NAMES, column, words, style.head if words in _TEXTS else style.head_number)
        sheet.blank(at.WEIGHTS, column, style.of(bg_color=TINT))
    points = style.of(bold=True, bg_color=TINT, align="right", font_color=HUE)
    sheet.words(at.WEIGHTS, at.STAGE, "points ▸", points)
    for name in HELPERS:
        sheet.words(at.NAMES, contents.column(name), name, style.note)
    sheet.sheet.set_row(at.NAMES, 66)


def _weights(sheet: SheetWriter, contents: Contents) -> None:
    """Names and points above the scores; the hidden row below snaps the points to whole tenths."""
    style = sheet.style
    upright = style.of(
        bold=True,
        bg_color=TINT,
        rotation=90,
        align="center",
        valign="vcenter",
        bottom=1,
        bottom_color=HUE,
    )
    framed = style.of(
        bold=True,
        font_size=11,
        font_color=HUE,
        align="center",
        border=2,
        border_color=HUE,
        num_format=POINTS,
        locked=False,
    )
    for column, criterion in enumerate(contents.rubric.criteria, start=SCORES):
        sheet.words(at.NAMES, column, criterion.key, upright)
        sheet.number(at.WEIGHTS, column, criterion.points / 10, framed)
        cell = address(at.WEIGHTS, column)
        sheet.formula(
            at.SNAPPED,
            column,
            f"=IF(ISNUMBER({cell}),MAX(0,ROUND({cell}*10,0)),0)",
            criterion.points,
            style.of(num_format="0"),
        )
    sheet.sheet.data_validation(
        at.WEIGHTS,
        SCORES,
        at.WEIGHTS,
        contents.after - 1,
        {
            "validate": "decimal",
            "criteria": "between",
            "minimum": 0,
            "maximum": POINTS_LIMIT,
            "input_title": "Points",
            "input_message": "0 or more, whole tenths. Only the ratio of the points matters.",
            "error_title": "No points",
            "error_message": f"A number from 0 to {POINTS_LIMIT}; what is finer than a tenth is rounded.",
        },
    )
    sheet.sheet.set_row(at.WEIGHTS, 21)
    sheet.sheet.set_row(at.SNAPPED, None, None, {"hidden": True})


def _release(sheet: SheetWriter, contents: Contents, place: int) -> None:
    """One release's line: what follows from the points by formulas, then what its review says."""
    release, line = contents.releases[place], FIRST + place
    _grade_formulas(sheet, contents, place)
    _rank_formulas(sheet, contents, place)
    _class_formulas(sheet, contents, place)
    _sort_formula(sheet, contents, place)
    obtained, known = ", ".join(release.review.disclosure.how_obtained), _open(contents, release)
    sheet.words(line, at.TITLE, release.name, sheet.style.name)
    sheet.words(line, at.CLASS, release.standing.price_class)
    sheet.words(line, at.STAGE, release.standing.stage)
    sheet.words(line, contents.column("obtained"), obtained)
    sheet.words(line, contents.column("known"), known)
    sheet.sheet.write_url(
        line,
        contents.column("slug"),
        f"internal:'{release.sheet}'!A1",
        sheet.style.of(font_color=HUE, underline=1, bottom=1, bottom_color=LINE, indent=1),
        release.standing.release,
        "to its own sheet",
    )
    _scores(sheet, contents, line, release)
    # the longest verdict, since any may stand in a row once points are moved
    longest = max((band.words for band in contents.rubric.bands), key=len)
    sheet.fit(
        line,
        (release.name, at.TITLE),
        (longest, at.VERDICT),
        (obtained, contents.column("obtained")),
        (known, contents.column("known")),
        least=22,
    )


def _grade_formulas(sheet: SheetWriter, contents: Contents, place: int) -> None:
    """N and D, then the grade in tenths by whole numbers, half up: (20 N + D) // (2 D)."""
    style, line, values = sheet.style, FIRST + place, contents.values
    scores = f"{address(line, SCORES)}:{address(line, contents.after - 1)}"
    snapped = at.across(at.SNAPPED, SCORES, contents.after - 1)
    sums, weight = contents.column("sum"), contents.column("weight")
    sheet.formula(line, sums, f"=SUMPRODUCT({snapped},{scores})", values.sums[place], _quiet(style))
    sheet.formula(line, weight, f'=SUMIF({scores},">=0",{snapped})', values.weights[place], _quiet(style))
    N, D = address(line, sums), address(line, weight)
    sheet.tenths(
        line,
        at.GRADE,
        f'=IF({D}=0,"",INT((20*{N}+{D})/(2*{D}))/10)',
        values.grades[place],
        style.number(GRADE, bold=True, font_size=11),
    )


def _rank_formulas(sheet: SheetWriter, contents: Contents, place: int) -> None:
    """The place, beside the published one, and the verdict; shown apart it counts in nobody's place."""
    style, line, values = sheet.style, FIRST + place, contents.values
    standing, apart, counts = (
        contents.releases[place].standing,
        contents.column("apart"),
        contents.column("counts"),
    )
    rank, grade, counted = (address(line, column) for column in (at.RANK, at.GRADE, counts))
    sheet.number(line, apart, int(standing.ranked_apart), _quiet(style))
    sheet.tenths(
        line,
        counts,
        f'=IF({address(line, apart)}=1,"",{grade})',
        None if standing.ranked_apart else values.grades[place],
        _quiet(style),
    )
    sheet.formula(
        line,
        at.RANK,
        f'=IF(ISNUMBER({counted}),RANK({counted},{_down(contents, counts)},0),"")',
        values.ranks[place],
        style.number(RANK, bold=True, font_size=11),
    )
    published = address(line, at.PUBLISHED)
    sheet.number(
        line, at.PUBLISHED, standing.rank, style.number(TIED if standing.tied else RANK, font_color=QUIET)
    )
    sheet.formula(
        line,
        at.MOVED,
        f'=IF(ISNUMBER({rank}),IF(ISNUMBER({published}),{published}-{rank},""),"")',
        contents.moved(place),
        style.number(MOVED, font_color=HUE),
    )
    sheet.formula(
        line,
        at.VERDICT,
        f'=IF(ISNUMBER({rank}),INDEX(verdict_words,MATCH({grade},verdict_from,1)),"")',
        contents.verdict(place),
        style.words,
    )


def _class_formulas(sheet: SheetWriter, contents: Contents, place: int) -> None:
    line, column = FIRST + place, contents.column("class")
    rank, band = address(line, at.RANK), address(line, column)
    sheet.number(line, column, contents.classes[place], _quiet(sheet.style))
    sheet.formula(
        line,
        at.IN_CLASS,
        f"=IF(ISNUMBER({rank}),IF({band}>0,"
        f'1+COUNTIFS({_down(contents, column)},{band},{_down(contents, at.RANK)},"<"&{rank}),""),"")',
        contents.values.class_ranks[place],
        sheet.style.number(RANK),
    )


def _sort_formula(sheet: SheetWriter, contents: Contents, place: int) -> None:
    """The place in the sheet Sorted, each once: ties by date and name, those without a rank at the end."""
    line, column = FIRST + place, contents.column("order")
    rank, order = address(line, at.RANK), address(line, column)
    ranks, so_far = _down(contents, at.RANK), f"{at.absolute(FIRST, at.RANK)}:{rank}"
    sheet.number(line, column, contents.order[place], _quiet(sheet.style))
    sheet.formula(
        line,
        contents.column("key"),
        f"=IF(ISNUMBER({rank}),"
        f'{rank}+COUNTIFS({ranks},{rank},{_down(contents, column)},"<"&{order}),'
        f"COUNT({ranks})+{place + 1}-COUNT({so_far}))",
        contents.values.keys[place],
        _quiet(sheet.style),
    )


def _down(contents: Contents, column: int) -> str:
    """A column of releases on this sheet."""
    return down(column, FIRST, contents.last)


def _quiet(style: Styles) -> Format:
    return style.of(num_format="0", font_color=QUIET)


def _scores(sheet: SheetWriter, contents: Contents, line: int, release: ReviewedRelease) -> None:
    """Scores as numbers; what is not known or does not apply is an empty cell with a mark of its own."""
    style = sheet.style
    number = style.of(num_format="0", align="center", border=1, border_color="#FFFFFF")
    for column, key in enumerate(contents.keys, start=SCORES):
        if key in release.scores:
            sheet.number(line, column, release.scores[key].score, number)
        else:
            sheet.blank(line, column, _absent(style) if key in release.not_applicable else _unknown(style))


def _absent(style: Styles) -> Format:
    return style.of(diag_type=1, diag_border=1, diag_color=QUIET, border=1, border_color=LINE)


def _unknown(style: Styles) -> Format:
    return style.of(bg_color=OPEN, border=4, border_color=LINE)


def _open(contents: Contents, release: ReviewedRelease) -> str:
    """What is open about a published grade, '' where nothing is."""
    standing = release.standing
    told = []
    if standing.ranked_apart:
        told.append("shown apart, too little is known")
    elif standing.partial:
        told.append("partial")
    if standing.partial and standing.lowest is not None and standing.highest is not None:
        low, high = tenths.show(standing.lowest), tenths.show(standing.highest)
        told.append(f"published grade could become {low} to {high}")
    if standing.rubric != contents.rubric.hash:
        told.append(f"published with {tenths.show(standing.grade or 0)} by an earlier rubric")
    return "; ".join(told)


def _dress(sheet: SheetWriter, contents: Contents) -> None:
    """The one-hue scale on scores, '=' before a shared place, frozen heads, hidden helpers."""
    worksheet, last = sheet.sheet, contents.after - 1
    helpers = (contents.column(HELPERS[0]), contents.column(HELPERS[-1]))
    worksheet.set_column(*helpers, 9, None, {"hidden": True})
    worksheet.conditional_format(FIRST, SCORES, contents.last, last, SCALE)
    # for who takes the protection off to try another score: a range, since a list breaks on decimal commas
    worksheet.data_validation(
        FIRST,
        SCORES,
        contents.last,
        last,
        {
            "validate": "list",
            "source": "=allowed_scores",
            "dropdown": False,
            "error_title": "No score",
            "error_message": "A score is a whole number from 0 to 100, or nothing where it is not known.",
        },
    )
    mark_ties(sheet, at.RANK, FIRST, contents.last)
    worksheet.freeze_panes(FIRST, at.GRADE + 1)
    worksheet.set_selection(at.WEIGHTS, SCORES, at.WEIGHTS, SCORES)


def mark_ties(sheet: SheetWriter, column: int, first: int, last: int) -> None:
    """Show '=' before the places of a column that are shared."""
    form = sheet.style.bare(num_format=TIED)
    shared = f"=COUNTIF({down(column, first, last)},{address(first, column)})>1"
    sheet.sheet.conditional_format(
        first, column, last, column, {"type": "formula", "criteria": shared, "format": form}
    )


def _foot(sheet: SheetWriter, contents: Contents) -> None:
    style, line = sheet.style, contents.last + 2
    quiet = style.of(font_color=QUIET)
    legend: Sequence[tuple[Format, str]] = (
        (_absent(style), "does not apply: its points are shared out over the rest"),
        (_unknown(style), "not known yet: the same, and the grade is partial"),
    )
    for row, (mark, words) in enumerate(legend, start=line):
        sheet.blank(row, SCORES, mark)
        sheet.words(row, SCORES + 1, words, quiet)
    sheet.words(
        line,
        at.TITLE,
        f"Moved is against the published place. Reasons for every score stand on the sheet Reasons; "
        f"see {METHOD} for how to read this.",
        quiet,
    )
