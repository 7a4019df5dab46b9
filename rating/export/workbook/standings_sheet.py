"""The sheet Standings, with the points on top of their columns: places, grades and scores follow them.

Its rows may be sorted and filtered by people: every formula in a row reads its own row, whole columns or the
rows above, and other sheets find a release by its slug. No formula counts rows.
"""

from __future__ import annotations

from itertools import groupby

from xlsxwriter.format import Format
from xlsxwriter.workbook import Workbook

from rating import tenths, text
from rating.export.workbook import cells
from rating.export.workbook import positions as at
from rating.export.workbook.contents import Contents, ReviewedRelease
from rating.export.workbook.positions import (
    ABSENT,
    FIRST,
    HELPERS,
    METHOD,
    SCORES,
    SORTED,
    STANDINGS,
    UNKNOWN,
    absolute,
    address,
    down,
)
from rating.export.workbook.sheet_writer import SheetWriter, height
from rating.export.workbook.styles import (
    AWAY,
    GRADE,
    HUE,
    LINE,
    MOVED,
    OPEN,
    POINTS,
    QUIET,
    RANK,
    SCALE,
    SHARE,
    TIED,
    TINT,
    Styles,
)

POINTS_LIMIT = 1000
# heads and widths of the columns beside the scores, in the order of LEFT and SHOWN, and a score's width
_LEFT = (
    ("release", 33),
    ("place", 6),
    ("grade", 7),
    ("moved", 7),
    ("published place", 9),
    ("published grade", 9),
)
_SCORE_WIDTH = 5.0
_RIGHT = (
    ("verdict", 24),
    ("class", 10),
    ("place in class", 7),
    ("stage", 10),
    ("what is known", 10),
    ("at least", 8),
    ("at most", 8),
    ("what is open", 26),
    ("how we came by it", 20),
    ("its review", 14),
    ("its sheet", 20),
)
_TEXTS = {
    "release",
    "verdict",
    "class",
    "stage",
    "what is known",
    "what is open",
    "how we came by it",
    "its review",
    "its sheet",
}
# the size of the letters over the scores, and the heights of the rows there, in points
_SMALL = 9
_HEIGHTS = {at.GROUPS: 18, at.PUBLISHED_POINTS: 13, at.SHARES: 13, at.WEIGHTS: 25, at.HEADS: 27}
_NAMES_HEIGHT = 66
_AS_PUBLISHED = "points as published"


def write_standings(book: Workbook, contents: Contents, style: Styles) -> None:
    """The sheet where points and scores are changed: places, grades and what is open follow at once."""
    widths = [*(width for _, width in _LEFT), *[_SCORE_WIDTH] * len(contents.keys)]
    sheet = SheetWriter(book, STANDINGS, style, [*widths, *(width for _, width in _RIGHT)])
    cells.hold_to_limits(contents.last + 1, contents.end + 1, STANDINGS)
    _names(book, contents)
    _top(sheet, contents)
    _groups(sheet, contents)
    _heads(sheet, contents)
    _weights(sheet, contents)
    # sorting under protection needs every cell of a row unlocked
    rows = sheet.styled(style.unlocked)
    for place in range(len(contents.releases)):
        _release(rows, contents, place)
    _dress(sheet, contents)
    last = _foot(sheet, contents)
    sheet.lay_out(repeat=(at.GROUPS, at.HEADS), sortable=True, scale=90)
    sheet.sheet.repeat_columns(0)
    sheet.sheet.set_v_pagebreaks([contents.after])
    sheet.sheet.print_area(0, 0, last, contents.column("open"))


def _names(book: Workbook, contents: Contents) -> None:
    weights = at.across(at.WEIGHTS, SCORES, contents.after - 1)
    scores = f"{absolute(FIRST, SCORES)}:{absolute(contents.last, contents.after - 1)}"
    columns = {
        "grades": "grade",
        "ranks": "rank",
        "moved": "moved",
        "verdicts": "verdict",
        "places_in_class": "in_class",
        "states": "state",
        "lowest": "lowest",
        "highest": "highest",
        "what_is_open": "open",
        "releases": "slug",
    }
    for name, place in (
        ("weights", f"{STANDINGS}!{weights}"),
        ("scores", f"{STANDINGS}!{scores}"),
        ("points_state", f"{STANDINGS}!{absolute(at.WEIGHTS, 0)}"),
        ("wrong_scores", f"{STANDINGS}!{absolute(at.GROUPS, SCORES - 1)}"),
        *((name, contents.there(column)) for name, column in columns.items()),
    ):
        book.define_name(name, f"={place}")


def _top(sheet: SheetWriter, contents: Contents) -> None:
    """Title, disclosure and the state of the points, all in the column that stays in view."""
    style, season = sheet.style, contents.season
    title = f"{season.config.name}, {season.today.isoformat()}"
    sheet.words(at.GROUPS, 0, title, style.of(bold=True, font_size=12, font_color=HUE, shrink=True))
    sheet.words(at.NAMES, 0, contents.disclosed, style.small_loud)
    for row, size in _HEIGHTS.items():
        sheet.sheet.set_row(row, size)
    sheet.sheet.set_row(at.NAMES, max(_NAMES_HEIGHT, _small_height(contents.disclosed)))
    changed = f"SUM({at.across(at.CHANGED, SCORES, contents.after - 1)})"
    tried = f"SUM({_down(contents, 'tried')})"
    sheet.formula(
        at.WEIGHTS,
        0,
        f'=IF({changed}+{tried}=0,"{_AS_PUBLISHED}",'
        f'IF({changed}=0,"{_AS_PUBLISHED}",{changed}&" of {text.count(len(contents.keys), "point")} changed")'
        f'&IF({tried}=0,"",", "&{tried}&IF({tried}=1," score"," scores")&" tried")'
        '&": these are not the published grades")',
        _AS_PUBLISHED,
        style.of(bold=True, font_size=_SMALL, font_color=HUE, text_wrap=True),
    )
    quiet = style.of(font_size=_SMALL, font_color=QUIET, align="right")
    sheet.across(at.GROUPS, 1, SCORES - 2, "scores that do not count", quiet)
    sheet.formula(
        at.GROUPS,
        SCORES - 1,
        f"=SUM({_down(contents, 'wrong')})",
        0,
        style.of(num_format="0", align="center", font_color=QUIET),
    )
    loud = {
        "type": "cell",
        "criteria": ">",
        "value": 0,
        "format": style.bare(bold=True, bg_color=HUE, font_color="#FFFFFF"),
    }
    sheet.sheet.conditional_format(at.GROUPS, SCORES - 1, at.GROUPS, SCORES - 1, loud)


def _small_height(words: str) -> float:
    """The height that small letters need in the column that stays in view."""
    return height((words, _LEFT[0][1] * 10 / 8.5)) * _SMALL / 10


def _groups(sheet: SheetWriter, contents: Contents) -> None:
    """The groups of criteria, each over the columns of its own."""
    form = sheet.style.of(
        bold=True, font_color=HUE, bottom=1, bottom_color=HUE, align="center", valign="bottom"
    )
    first = SCORES
    for key, members in groupby(criterion.group for criterion in contents.rubric.criteria):
        last, words = first + len(list(members)) - 1, contents.rubric.groups[key]
        if last > first:
            sheet.across(at.GROUPS, first, last, words, form)
        else:
            sheet.words(at.GROUPS, first, words, form)
        first = last + 1


def _heads(sheet: SheetWriter, contents: Contents) -> None:
    """The heads of all columns, in the row right above the releases: people sort and filter by them."""
    style = sheet.style
    heads = [*enumerate(words for words, _ in _LEFT)]
    heads += enumerate((words for words, _ in _RIGHT), start=contents.after)
    for column, words in heads:
        sheet.words(at.HEADS, column, words, style.head if words in _TEXTS else style.head_number)
    for column, key in enumerate(contents.keys):
        small = style.of(
            font_size=7,
            font_color=QUIET,
            bg_color=TINT,
            bottom=1,
            bottom_color=HUE,
            align="left",
            shrink=True,
        )
        sheet.words(at.HEADS, SCORES + column, key, small)
        sheet.words(at.HEADS, contents.counting + column, f"{key} as it counts", style.note)
        sheet.words(at.HEADS, contents.kept + column, f"{key} as published", style.note)
    for name in HELPERS:
        sheet.words(at.HEADS, contents.column(name), name, style.note)


def _weights(sheet: SheetWriter, contents: Contents) -> None:
    """Names and points above the scores; hidden rows snap the points to whole tenths and count changes."""
    style = sheet.style
    upright = style.of(
        bold=True, bg_color=TINT, rotation=90, align="center", valign="vcenter", bottom=1, bottom_color=HUE
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
    quiet = {"font_size": _SMALL, "font_color": QUIET}
    label, whole = style.of(align="right", **quiet), _quiet(style)
    sheet.words(at.PUBLISHED_POINTS, 0, "points as published", label)
    sheet.words(at.SHARES, 0, "share of the grade now", label)
    snapped = at.across(at.SNAPPED, SCORES, contents.after - 1)
    for column, criterion in enumerate(contents.rubric.criteria, start=SCORES):
        cell, tenth = address(at.WEIGHTS, column), address(at.SNAPPED, column)
        published = address(at.PUBLISHED_POINTS, column)
        sheet.words(at.NAMES, column, criterion.key, upright)
        sheet.number(
            at.PUBLISHED_POINTS,
            column,
            criterion.points / 10,
            style.of(align="center", num_format=POINTS, **quiet),
        )
        sheet.formula(
            at.SHARES,
            column,
            f'=IF(SUM({snapped})=0,"",{tenth}/SUM({snapped}))',
            criterion.points / contents.rubric.total,
            style.of(align="center", num_format=SHARE, shrink=True, **quiet),
        )
        sheet.number(at.WEIGHTS, column, criterion.points / 10, framed)
        sheet.formula(
            at.SNAPPED,
            column,
            f"=IF(ISNUMBER({cell}),MAX(0,ROUND({cell}*10,0)),0)",
            criterion.points,
            whole,
        )
        sheet.formula(at.CHANGED, column, f"=IF({tenth}=ROUND({published}*10,0),0,1)", 0, whole)
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
    for row in (at.SNAPPED, at.CHANGED):
        sheet.sheet.set_row(row, None, None, {"hidden": True})


def _release(sheet: SheetWriter, contents: Contents, place: int) -> None:
    """One release's line: what follows from points and scores by formulas, then what its review says."""
    release, line = contents.releases[place], FIRST + place
    _scores(sheet, contents, place)
    _grade_formulas(sheet, contents, place)
    _open_formulas(sheet, contents, place)
    _rank_formulas(sheet, contents, place)
    _class_formulas(sheet, contents, place)
    _sort_formulas(sheet, contents, place)
    obtained, review = ", ".join(release.review.disclosure.how_obtained), _review(contents, release)
    sheet.words(line, 0, release.name, sheet.style.name)
    sheet.words(line, contents.column("class"), release.standing.price_class)
    sheet.words(line, contents.column("stage"), release.standing.stage)
    sheet.words(line, contents.column("obtained"), obtained)
    sheet.words(line, contents.column("review"), review)
    sheet.sheet.write_url(
        line,
        contents.column("slug"),
        f"internal:'{release.sheet}'!A1",
        sheet.style.of(font_color=HUE, underline=1, bottom=1, bottom_color=LINE, indent=1),
        release.standing.release,
        "to its own sheet",
    )
    # the longest verdict, since any may stand in a row once points are moved
    longest = max((band.words for band in contents.rubric.bands), key=len)
    sheet.fit(
        line,
        (release.name, 0),
        (longest, contents.column("verdict")),
        (obtained, contents.column("obtained")),
        (review, contents.column("review")),
        (_open_list(contents, release), contents.column("open")),
        least=22,
    )


def _scores(sheet: SheetWriter, contents: Contents, place: int) -> None:
    """Scores as numbers, else empty cells; beside them, hidden, as they count and as published."""
    style, line, release = sheet.style, FIRST + place, contents.releases[place]
    number = style.of(num_format="0", align="center", border=1, border_color="#FFFFFF")
    for i, key in enumerate(contents.keys):
        score = release.scores.get(key)
        if score is not None:
            sheet.number(line, SCORES + i, score.score, number)
            sheet.number(line, contents.kept + i, score.score, _quiet(style))
            counts: int | str = score.score
        else:
            counts = ABSENT if key in release.not_applicable else UNKNOWN
            sheet.blank(line, SCORES + i, number)
            sheet.words(line, contents.kept + i, counts, _quiet(style))
        cell, kept = address(line, SCORES + i), address(line, contents.kept + i)
        sheet.formula(
            line,
            contents.counting + i,
            f'=IF(ISERROR({cell}),"{UNKNOWN}",IF(ISNUMBER({cell}),'
            f'IF({cell}<0,"{UNKNOWN}",IF({cell}>100,"{UNKNOWN}",IF({cell}=INT({cell}),{cell},"{UNKNOWN}"))),'
            f'IF({cell}="{ABSENT}","{ABSENT}",'
            f'IF({cell}="",IF({kept}="{ABSENT}","{ABSENT}","{UNKNOWN}"),"{UNKNOWN}"))))',
            counts,
            _quiet(style),
        )
    scores, counting = _row(line, SCORES, contents), _row(line, contents.counting, contents)
    # every filled cell but those that count and those that say they do not apply
    sheet.formula(
        line,
        contents.column("wrong"),
        f'=COUNTA({scores})-COUNT({counting})-COUNTIF({scores},"{ABSENT}")',
        0,
        _quiet(style),
    )
    pairs = (
        (address(line, contents.counting + i), address(line, contents.kept + i))
        for i in range(len(contents.keys))
    )
    sheet.formula(
        line,
        contents.column("tried"),
        "=" + "+".join(f"IF({now}={then},0,1)" for now, then in pairs),
        0,
        _quiet(style),
    )


def _grade_formulas(sheet: SheetWriter, contents: Contents, place: int) -> None:
    """N, D and the points of what is open, then the grade by whole numbers, half up: (20 N + D) // (2 D)."""
    style, line, values = sheet.style, FIRST + place, contents.values
    counting = _row(line, contents.counting, contents)
    snapped = at.across(at.SNAPPED, SCORES, contents.after - 1)
    N, D, U = (address(line, contents.column(name)) for name in ("sum", "weight", "unknown"))
    quiet = _quiet(style)
    sheet.formula(
        line, contents.column("sum"), f"=SUMPRODUCT({snapped},{counting})", values.sums[place], quiet
    )
    sheet.formula(
        line, contents.column("weight"), f'=SUMIF({counting},">=0",{snapped})', values.weights[place], quiet
    )
    sheet.formula(
        line,
        contents.column("unknown"),
        f'=SUM({snapped})-{D}-SUMIF({counting},"{ABSENT}",{snapped})',
        values.unknown[place],
        quiet,
    )
    bold = style.number(GRADE, bold=True, font_size=11)
    grade = f'=IF({D}=0,"",INT((20*{N}+{D})/(2*{D}))/10)'
    sheet.tenths(line, contents.column("grade"), grade, values.grades[place], bold)
    bounds = values.bounds[place] if values.unknown[place] else None
    for name, best, bound in zip(("lowest", "highest"), (0, 100), bounds or (None, None), strict=True):
        sheet.tenths(
            line,
            contents.column(name),
            f'=IF({D}=0,"",IF({U}=0,"",INT((20*({N}+{best}*{U})+{D}+{U})/(2*({D}+{U})))/10))',
            bound,
            style.number(GRADE, font_color=QUIET),
        )


def _open_formulas(sheet: SheetWriter, contents: Contents, place: int) -> None:
    """Whether enough is known for a place, and the names of what is open and has points."""
    line, values, style = FIRST + place, contents.values, sheet.style
    D, U, listed = (address(line, contents.column(name)) for name in ("weight", "unknown", "listed"))
    sheet.formula(
        line,
        contents.column("state"),
        f'=IF({D}=0,"apart",IF(4*{U}>{D}+{U},"apart",IF({U}>0,"partial","complete")))',
        "apart" if values.apart[place] else "partial" if values.unknown[place] else "complete",
        style.words,
    )
    names = (
        f'IF({address(line, contents.counting + i)}="{UNKNOWN}",'
        f'IF({absolute(at.SNAPPED, SCORES + i)}>0,{absolute(at.NAMES, SCORES + i)}&", ",""),"")'
        for i in range(len(contents.keys))
    )
    told = _open_list(contents, contents.releases[place])
    sheet.formula(
        line, contents.column("listed"), "=" + "&".join(names), f"{told}, " if told else None, _quiet(style)
    )
    sheet.formula(
        line,
        contents.column("open"),
        f'=IF({listed}="","",LEFT({listed},LEN({listed})-2))',
        told,
        style.words,
    )


def _open_list(contents: Contents, release: ReviewedRelease) -> str:
    return ", ".join(
        criterion.key
        for criterion in contents.rubric.criteria
        if criterion.points
        and criterion.key not in release.scores
        and criterion.key not in release.not_applicable
    )


def _rank_formulas(sheet: SheetWriter, contents: Contents, place: int) -> None:
    """The place, beside the published one, and the verdict; shown apart it counts in nobody's place."""
    style, line, values = sheet.style, FIRST + place, contents.values
    standing = contents.releases[place].standing
    rank, grade, state, counts, published = (
        address(line, contents.column(name)) for name in ("rank", "grade", "state", "counts", "published")
    )
    sheet.tenths(
        line,
        contents.column("counts"),
        f'=IF({state}="apart","",{grade})',
        None if values.apart[place] else values.grades[place],
        _quiet(style),
    )
    sheet.formula(
        line,
        contents.column("rank"),
        f'=IF(ISNUMBER({counts}),RANK({counts},{_down(contents, "counts")},0),"")',
        values.ranks[place],
        style.number(RANK, bold=True, font_size=11),
    )
    shown = style.number(TIED if standing.tied else RANK, font_color=QUIET)
    sheet.number(line, contents.column("published"), standing.rank, shown)
    sheet.number(
        line,
        contents.column("published_grade"),
        None if standing.grade is None else standing.grade / 10,
        style.number(GRADE, font_color=QUIET),
    )
    sheet.formula(
        line,
        contents.column("moved"),
        f'=IF(ISNUMBER({rank}),IF(ISNUMBER({published}),{published}-{rank},""),"")',
        contents.moved(place),
        style.number(MOVED, font_color=HUE),
    )
    sheet.formula(
        line,
        contents.column("verdict"),
        f'=IF(ISNUMBER({rank}),INDEX(verdict_words,MATCH({grade},verdict_from,1)),"")',
        contents.verdict(place),
        style.words,
    )


def _class_formulas(sheet: SheetWriter, contents: Contents, place: int) -> None:
    line = FIRST + place
    rank, band = (address(line, contents.column(name)) for name in ("rank", "band"))
    sheet.number(line, contents.column("band"), contents.classes[place], _quiet(sheet.style))
    sheet.formula(
        line,
        contents.column("in_class"),
        f"=IF(ISNUMBER({rank}),IF({band}>0,"
        f'1+COUNTIFS({_down(contents, "band")},{band},{_down(contents, "rank")},"<"&{rank}),""),"")',
        contents.values.class_ranks[place],
        sheet.style.number(RANK),
    )


def _sort_formulas(sheet: SheetWriter, contents: Contents, place: int) -> None:
    """The place in the sheet Sorted, each once: ties by date and slug, those without a place at the end."""
    line, quiet = FIRST + place, _quiet(sheet.style)
    rank, order = (address(line, contents.column(name)) for name in ("rank", "order"))
    ranks, orders, unplaced = (_down(contents, name) for name in ("rank", "order", "unplaced"))
    sheet.number(line, contents.column("order"), contents.order[place], quiet)
    is_unplaced = int(contents.values.ranks[place] is None)
    sheet.formula(line, contents.column("unplaced"), f"=IF(ISNUMBER({rank}),0,1)", is_unplaced, quiet)
    sheet.formula(
        line,
        contents.column("key"),
        f'=IF(ISNUMBER({rank}),{rank}+COUNTIFS({ranks},{rank},{orders},"<"&{order}),'
        f'COUNT({ranks})+1+COUNTIFS({unplaced},1,{orders},"<"&{order}))',
        contents.values.keys[place],
        quiet,
    )


def _down(contents: Contents, name: str) -> str:
    """A column of releases on this sheet."""
    return down(contents.column(name), FIRST, contents.last)


def _row(line: int, first: int, contents: Contents) -> str:
    """The cells of all criteria in a release's line, from a column on."""
    return f"{address(line, first)}:{address(line, first + len(contents.keys) - 1)}"


def _quiet(style: Styles) -> Format:
    return style.of(num_format="0", font_color=QUIET)


def _review(contents: Contents, release: ReviewedRelease) -> str:
    """When the review was published, and whether by points that are no longer the season's."""
    standing = release.standing
    earlier = standing.rubric != contents.rubric.hash and standing.grade is not None
    by = f"; {tenths.show(standing.grade or 0)} by an earlier rubric" if earlier else ""
    return f"{standing.published_on}{by}"


def _dress(sheet: SheetWriter, contents: Contents) -> None:
    """The one-hue scale on scores, marks on ties and on what does not count, frozen heads, hidden helpers."""
    worksheet, last = sheet.sheet, contents.after - 1
    worksheet.set_column(contents.column(HELPERS[0]), contents.end, 9, None, {"hidden": True})
    cell, counts = address(FIRST, SCORES), address(FIRST, contents.counting)
    # a filled cell that counts as open; a rule that meets an error does not hold, so errors are asked first
    wrong = f'=IF(ISERROR({cell}),TRUE,IF(COUNTA({cell})=0,FALSE,{counts}="{UNKNOWN}"))'
    marked = sheet.style.bare(bold=True, font_color="#FFFFFF", bg_color=HUE)
    worksheet.conditional_format(
        FIRST,
        SCORES,
        contents.last,
        last,
        {"type": "formula", "criteria": wrong, "format": marked, "stop_if_true": True},
    )
    # by rules, since a sorted row leaves frames where they were
    for state, look in (
        (ABSENT, {"bg_color": AWAY, "font_color": QUIET}),
        (UNKNOWN, {"bg_color": OPEN, "border": 4, "border_color": HUE}),
    ):
        worksheet.conditional_format(
            FIRST,
            SCORES,
            contents.last,
            last,
            {"type": "formula", "criteria": f'={counts}="{state}"', "format": sheet.style.bare(**look)},
        )
    worksheet.conditional_format(FIRST, SCORES, contents.last, last, SCALE)
    # a range, since a list in one text breaks on decimal commas
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
            "error_message": "A score is a whole number from 0 to 100. Leave the cell empty where it is not "
            f"known; write {ABSENT} where it does not apply.",
        },
    )
    for first, end in ((0, SCORES - 1), (contents.after, contents.end)):
        worksheet.data_validation(
            FIRST,
            first,
            contents.last,
            end,
            {
                "validate": "custom",
                "value": "=FALSE",
                "error_title": "This follows",
                "error_message": "Change points or scores; this follows them or says what was published.",
            },
        )
    mark_ties(sheet, contents.column("rank"), FIRST, contents.last)
    worksheet.autofilter(at.HEADS, 0, contents.last, contents.end)
    worksheet.freeze_panes(FIRST, 1)
    worksheet.set_selection(at.WEIGHTS, SCORES, at.WEIGHTS, SCORES)


def mark_ties(sheet: SheetWriter, column: int, first: int, last: int) -> None:
    """Show '=' before the places of a column that are shared."""
    form = sheet.style.bare(num_format=TIED)
    shared = f"=COUNTIF({down(column, first, last)},{address(first, column)})>1"
    sheet.sheet.conditional_format(
        first, column, last, column, {"type": "formula", "criteria": shared, "format": form}
    )


def _foot(sheet: SheetWriter, contents: Contents) -> int:
    """How to read the table and the cautions, in the column that stays in view; gives the last row."""
    told = (
        (
            "Framed: not known yet. Grey: does not apply. The points of both are shared out over the rest. "
            "Sort and filter as you like. Moved is against the published place. "
            f"{SORTED} puts itself in order; {METHOD} says how to read all this."
        ),
        contents.cautions,
    )
    line = contents.last + 2
    for row, words in enumerate(told, start=line):
        sheet.words(row, 0, words, sheet.style.small_note)
        sheet.sheet.set_row(row, _small_height(words))
    return line + len(told) - 1
