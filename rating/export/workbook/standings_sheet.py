"""The sheets Standings, with the points on top of their columns, and Sorted, which follows them."""

from __future__ import annotations

from collections import Counter

from xlsxwriter.workbook import Workbook

from rating import tenths
from rating.export import notices
from rating.export.workbook import cells
from rating.export.workbook import contents as at
from rating.export.workbook import styles as look
from rating.export.workbook.contents import (
    FIRST,
    METHOD,
    SCORES,
    SORTED,
    STANDINGS,
    Book,
    Page,
    Row,
    absolute,
    address,
)
from rating.facts import cautions

POINTS_LIMIT = 1000
_HELPERS = ("order", "class", "apart", "sum", "weight", "counts", "key")
_WIDTHS = {
    at.RANK: 6,
    at.MOVED: 7,
    at.PUBLISHED: 9,
    at.TITLE: 30,
    at.GRADE: 8,
    at.VERDICT: 24,
    at.CLASS: 10,
    at.IN_CLASS: 6,
    at.STAGE: 10,
}
_SCORE_WIDTH = 5.5
_RIGHT = {"obtained": 20, "known": 32, "slug": 20}


def write_standings(book: Workbook, made: Book, style: look.Look) -> None:
    """The sheet where points are changed: places, grades and scores follow at once."""
    page = Page(book.add_worksheet(STANDINGS), style)
    cells.hold_to_limits(made.last + 1, made.column("key") + 1, STANDINGS)
    _names(book, made)
    _top(page, made)
    _weights(page, made)
    for place, row in enumerate(made.rows):
        _release(page, made, place, row)
    _dress(page, made)
    _foot(page, made)
    at.lay_out(page, repeat=(at.GROUPS, at.WEIGHTS))
    page.sheet.print_area(0, 0, made.last + 5, made.column("slug"))


def _names(book: Workbook, made: Book) -> None:
    weights = f"{absolute(at.WEIGHTS, SCORES)}:{absolute(at.WEIGHTS, made.after - 1)}"
    scores = f"{absolute(FIRST, SCORES)}:{absolute(made.last, made.after - 1)}"
    for name, place in (
        ("weights", f"{STANDINGS}!{weights}"),
        ("scores", f"{STANDINGS}!{scores}"),
        ("grades", made.down(at.GRADE)),
        ("ranks", made.down(at.RANK)),
        ("releases", made.down(made.column("slug"))),
    ):
        book.define_name(name, f"={place}")


def disclosed(made: Book) -> str:
    """How the reviewer came by the releases, counted, in a sentence for the top of a sheet."""
    counted = Counter(how for row in made.rows for how in row.review.disclosure.how_obtained)
    told = ", ".join(f"{how} {number}" for how, number in sorted(counted.items(), key=lambda one: -one[1]))
    return (
        f"How the reviewer came by these {len(made.rows)} releases (one may be several): {told}. "
        "The words for each stand at the top of its own sheet."
    )


def _top(page: Page, made: Book) -> None:
    style, last = page.look, made.column("slug")
    season = made.season
    page.words(0, 0, season.config.name, style.title)
    page.words(
        1,
        0,
        f"Standings as of {season.today.isoformat()}, {made.rubric.name}. "
        "Change the points in the framed cells: grades, places and the sheet Sorted follow.",
        style.of(font_size=11),
    )
    page.across(2, 0, last, disclosed(made), style.loud)
    said = notices.with_help(cautions.CAUTIONS, season.files.help_lines)
    page.across(3, 0, last, said, style.note)
    page.sheet.set_row(3, at.height((said, _wide(made))))
    page.sheet.set_row(0, 30)
    page.sheet.set_row(1, 18)
    page.sheet.set_row(2, 20)
    page.sheet.set_row(4, 6)
    page.sheet.set_row(5, 6)


def _wide(made: Book) -> float:
    """The columns that are seen, together."""
    return sum(_WIDTHS.values()) + sum(_RIGHT.values()) + _SCORE_WIDTH * len(made.keys)


def _weights(page: Page, made: Book) -> None:
    """Groups, names and points above the scores; the hidden row below snaps the points to whole tenths."""
    style, sheet = page.look, page.sheet
    start = SCORES
    group = style.of(bold=True, font_color=look.HUE, bottom=1, bottom_color=look.HUE, align="center")
    for key, size in _runs([one.group for one in made.rubric.criteria]):
        words = made.rubric.groups[key]
        if size > 1:
            page.across(at.GROUPS, start, start + size - 1, words, group)
        else:
            page.words(at.GROUPS, start, words, group)
        start += size
    heads = {
        at.RANK: "place",
        at.MOVED: "moved",
        at.PUBLISHED: "published place",
        at.TITLE: "release",
        at.GRADE: "grade",
        at.VERDICT: "verdict",
        at.CLASS: "class",
        at.IN_CLASS: "place in class",
        at.STAGE: "stage",
        made.column("obtained"): "how we came by it",
        made.column("known"): "what is open",
        made.column("slug"): "its sheet",
    }
    texts = {
        at.TITLE,
        at.VERDICT,
        at.CLASS,
        at.STAGE,
        *(made.column(n) for n in ("obtained", "known", "slug")),
    }
    for column, words in heads.items():
        page.words(at.NAMES, column, words, style.head if column in texts else style.head_number)
        page.blank(at.WEIGHTS, column, style.of(bg_color=look.TINT))
    page.words(
        at.WEIGHTS,
        at.STAGE,
        "points ▸",
        style.of(bold=True, bg_color=look.TINT, align="right", font_color=look.HUE),
    )
    upright = style.of(
        bold=True,
        bg_color=look.TINT,
        rotation=90,
        align="center",
        valign="vcenter",
        bottom=1,
        bottom_color=look.HUE,
    )
    framed = style.of(
        bold=True,
        font_size=11,
        font_color=look.HUE,
        align="center",
        border=2,
        border_color=look.HUE,
        num_format=look.POINTS,
        locked=False,
    )
    for place, one in enumerate(made.rubric.criteria):
        column = SCORES + place
        page.words(at.NAMES, column, one.key, upright)
        page.number(at.WEIGHTS, column, one.points / 10, framed)
        cell = address(at.WEIGHTS, column)
        page.formula(
            at.SNAPPED,
            column,
            f"=IF(ISNUMBER({cell}),MAX(0,ROUND({cell}*10,0)),0)",
            one.points,
            style.of(num_format="0"),
        )
    for name in _HELPERS:
        page.words(at.NAMES, made.column(name), name, style.note)
    sheet.data_validation(
        at.WEIGHTS,
        SCORES,
        at.WEIGHTS,
        made.after - 1,
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
    sheet.set_row(at.GROUPS, 18)
    sheet.set_row(at.NAMES, 66)
    sheet.set_row(at.WEIGHTS, 21)
    sheet.set_row(at.SNAPPED, None, None, {"hidden": True})


def _release(page: Page, made: Book, place: int, row: Row) -> None:
    style, line, live = page.look, FIRST + place, made.live
    one = row.standing

    def here(column: int) -> str:
        return address(line, column)

    def down(column: int) -> str:
        return f"{absolute(FIRST, column)}:{absolute(made.last, column)}"

    def helper(name: str) -> int:
        return made.column(name)

    scores = f"{here(SCORES)}:{here(made.after - 1)}"
    snapped = f"{absolute(at.SNAPPED, SCORES)}:{absolute(at.SNAPPED, made.after - 1)}"
    rank, grade = here(at.RANK), here(at.GRADE)
    quiet = style.of(num_format="0", font_color=look.QUIET)

    # N and D, then the grade in tenths by whole numbers, half up: (20 N + D) // (2 D)
    N, D = here(helper("sum")), here(helper("weight"))
    page.formula(line, helper("sum"), f"=SUMPRODUCT({snapped},{scores})", live.sums[place], quiet)
    page.formula(line, helper("weight"), f'=SUMIF({scores},">=0",{snapped})', live.weights[place], quiet)
    value = live.grades[place]
    page.tenths(
        line,
        at.GRADE,
        f'=IF({D}=0,"",INT((20*{N}+{D})/(2*{D}))/10)',
        value,
        style.number(look.GRADE, bold=True, font_size=11),
    )
    # a release shown apart keeps its grade and counts in nobody's rank
    page.number(line, helper("apart"), int(one.ranked_apart), quiet)
    counts = here(helper("counts"))
    page.tenths(
        line,
        helper("counts"),
        f'=IF({here(helper("apart"))}=1,"",{grade})',
        None if one.ranked_apart else value,
        quiet,
    )
    place_now = live.ranks[place]
    page.formula(
        line,
        at.RANK,
        f'=IF(ISNUMBER({counts}),RANK({counts},{down(helper("counts"))},0),"")',
        place_now,
        style.number(look.RANK, bold=True, font_size=11),
    )
    _placed(page, line, one.rank, tied=one.tied)
    published = here(at.PUBLISHED)
    moved = None if place_now is None or one.rank is None else one.rank - place_now
    page.formula(
        line,
        at.MOVED,
        f'=IF(ISNUMBER({rank}),IF(ISNUMBER({published}),{published}-{rank},""),"")',
        moved,
        style.number(look.MOVED, font_color=look.HUE),
    )
    page.formula(
        line,
        at.VERDICT,
        f'=IF(ISNUMBER({rank}),INDEX(verdict_words,MATCH({grade},verdict_from,1)),"")',
        None
        if value is None or made.live.ranks[place] is None
        else cells.cell_text(made.rubric.verdict(value)),
        style.words,
    )
    page.number(line, helper("class"), made.classes[place], quiet)
    band = here(helper("class"))
    page.formula(
        line,
        at.IN_CLASS,
        f"=IF(ISNUMBER({rank}),IF({band}>0,"
        f'1+COUNTIFS({down(helper("class"))},{band},{down(at.RANK)},"<"&{rank}),""),"")',
        live.class_ranks[place],
        style.number(look.RANK),
    )
    # the place in the sheet Sorted, each once: ties by date and name, those without a rank at the end
    page.number(line, helper("order"), made.order[place], quiet)
    order = here(helper("order"))
    so_far = f"{absolute(FIRST, at.RANK)}:{rank}"
    page.formula(
        line,
        helper("key"),
        f"=IF(ISNUMBER({rank}),"
        f'{rank}+COUNTIFS({down(at.RANK)},{rank},{down(helper("order"))},"<"&{order}),'
        f"COUNT({down(at.RANK)})+{place + 1}-COUNT({so_far}))",
        live.keys[place],
        quiet,
    )
    page.words(line, at.TITLE, row.name, style.name)
    page.words(line, at.CLASS, one.price_class)
    page.words(line, at.STAGE, one.stage)
    page.words(line, helper("obtained"), ", ".join(row.review.disclosure.how_obtained))
    page.words(line, helper("known"), _open(made, row))
    page.sheet.write_url(
        line,
        helper("slug"),
        f"internal:'{row.sheet}'!A1",
        style.of(font_color=look.HUE, underline=1, bottom=1, bottom_color=look.LINE, indent=1),
        one.release,
        "to its own sheet",
    )
    _scores(page, made, line, row)
    texts = (
        (row.name, _WIDTHS[at.TITLE]),
        (_longest(made), _WIDTHS[at.VERDICT]),
        (", ".join(row.review.disclosure.how_obtained), _RIGHT["obtained"]),
        (_open(made, row), _RIGHT["known"]),
    )
    page.sheet.set_row(line, max(22.0, at.height(*texts)))


def _longest(made: Book) -> str:
    """The longest verdict: any of them may stand in a row once points are moved."""
    return max((band.words for band in made.rubric.bands), key=len)


def _placed(page: Page, line: int, rank: int | None, *, tied: bool) -> None:
    form = page.look.number(look.TIED if tied else look.RANK, font_color=look.QUIET)
    if rank is None:
        page.blank(line, at.PUBLISHED, form)
    else:
        page.number(line, at.PUBLISHED, rank, form)


def _scores(page: Page, made: Book, line: int, row: Row) -> None:
    """Scores as numbers; what is not known or does not apply is an empty cell with a mark of its own."""
    style = page.look
    number = style.of(num_format="0", align="center", border=1, border_color="#FFFFFF")
    for place, key in enumerate(made.keys):
        column = SCORES + place
        if key in row.scores:
            page.number(line, column, row.scores[key].score, number)
        else:
            page.blank(line, column, _absent(style) if key in row.not_applicable else _unknown(style))


def _absent(style: look.Look) -> object:
    return style.of(diag_type=1, diag_border=1, diag_color=look.QUIET, border=1, border_color=look.LINE)


def _unknown(style: look.Look) -> object:
    return style.of(bg_color=look.OPEN, border=4, border_color=look.LINE)


def _open(made: Book, row: Row) -> str:
    one = row.standing
    told = []
    if one.ranked_apart:
        told.append("shown apart, too little is known")
    elif one.partial:
        told.append("partial")
    if one.partial and one.lowest is not None and one.highest is not None:
        told.append(f"published grade could become {tenths.show(one.lowest)} to {tenths.show(one.highest)}")
    if one.rubric != made.rubric.hash:
        told.append(f"published with {tenths.show(one.grade or 0)} by an earlier rubric")
    return "; ".join(told)


def _dress(page: Page, made: Book) -> None:
    """Widths, the one-hue scale on scores, '=' before a shared place, frozen heads."""
    sheet = page.sheet
    for column, width in _WIDTHS.items():
        sheet.set_column(column, column, width)
    sheet.set_column(SCORES, made.after - 1, _SCORE_WIDTH)
    for name, width in _RIGHT.items():
        sheet.set_column(made.column(name), made.column(name), width)
    sheet.set_column(made.column(_HELPERS[0]), made.column(_HELPERS[-1]), 9, None, {"hidden": True})
    sheet.conditional_format(
        FIRST,
        SCORES,
        made.last,
        made.after - 1,
        look.SCALE,
    )
    # for who takes the protection off to try another score: a range, since a list breaks on decimal commas
    sheet.data_validation(
        FIRST,
        SCORES,
        made.last,
        made.after - 1,
        {
            "validate": "list",
            "source": "=allowed_scores",
            "dropdown": False,
            "error_title": "No score",
            "error_message": "A score is a whole number from 0 to 100, or nothing where it is not known.",
        },
    )
    ranks = f"{absolute(FIRST, at.RANK)}:{absolute(made.last, at.RANK)}"
    shared = f"=COUNTIF({ranks},{address(FIRST, at.RANK)})>1"
    _mark_ties(page, FIRST, made.last, at.RANK, shared)
    sheet.freeze_panes(FIRST, at.GRADE + 1)
    sheet.set_selection(at.WEIGHTS, SCORES, at.WEIGHTS, SCORES)


def _mark_ties(page: Page, first: int, last: int, column: int, shared: str) -> None:
    form = page.look.bare(num_format=look.TIED)
    page.sheet.conditional_format(
        first, column, last, column, {"type": "formula", "criteria": shared, "format": form}
    )


def _foot(page: Page, made: Book) -> None:
    style, line = page.look, made.last + 2
    page.blank(line, SCORES, _absent(style))
    page.words(
        line,
        SCORES + 1,
        "does not apply: its points are shared out over the rest",
        style.of(font_color=look.QUIET),
    )
    page.blank(line + 1, SCORES, _unknown(style))
    page.words(
        line + 1,
        SCORES + 1,
        "not known yet: the same, and the grade is partial",
        style.of(font_color=look.QUIET),
    )
    page.words(
        line,
        at.TITLE,
        f"Moved is against the published place. Reasons for every score stand on the sheet Reasons; "
        f"see {METHOD} for how to read this.",
        style.of(font_color=look.QUIET),
    )


def _runs(keys: list[str]) -> list[tuple[str, int]]:
    """Neighbours that are the same, with their number."""
    found: list[tuple[str, int]] = []
    for key in keys:
        if found and found[-1][0] == key:
            found[-1] = (key, found[-1][1] + 1)
        else:
            found.append((key, 1))
    return found


# the sheet Sorted ------------------------------------------------------------------------------------------

_TOP = 5
_HEADS = (
    ("place", at.RANK, 7),
    ("moved", at.MOVED, 8),
    ("release", at.TITLE, 34),
    ("grade", at.GRADE, 8),
    ("verdict", at.VERDICT, 34),
    ("class", at.CLASS, 11),
    ("stage", at.STAGE, 11),
)
_CHART_WIDTH = 620
_BAR = 26


def write_sorted(book: Workbook, made: Book, style: look.Look) -> None:
    """The ranking in order, whatever the points, with a chart that follows it."""
    page = Page(book.add_worksheet(SORTED), style)
    page.words(0, 0, "In order", style.title)
    page.words(1, 0, "This sheet sorts itself by the points on the sheet Standings.", style.of(font_size=11))
    for line, words, form in (
        (2, disclosed(made), style.loud),
        (3, notices.with_help(cautions.CAUTIONS, made.season.files.help_lines), style.note),
    ):
        page.across(line, 0, len(_HEADS) - 1, words, form)
        page.sheet.set_row(line, at.height((words, sum(width for _, _, width in _HEADS))))
    for column, (words, _, width) in enumerate(_HEADS):
        text_like = words in {"release", "verdict", "class", "stage"}
        page.words(_TOP - 1, column, words, style.head if text_like else style.head_number)
        page.sheet.set_column(column, column, width)
    helper, label = len(_HEADS), len(_HEADS) + 1
    page.sheet.set_column(helper, label, 10, None, {"hidden": True})
    placed = {key: place for place, key in enumerate(made.live.keys)}
    shared = Counter(rank for rank in made.live.ranks if rank is not None)
    for number in range(1, len(made.rows) + 1):
        _sorted_line(page, made, number, placed[number], shared)
    last = _TOP + len(made.rows) - 1
    ranks = f"{absolute(_TOP, 0)}:{absolute(last, 0)}"
    _mark_ties(page, _TOP, last, 0, f"=COUNTIF({ranks},{address(_TOP, 0)})>1")
    page.sheet.set_row(0, 30)
    page.sheet.freeze_panes(_TOP, 0)
    _chart(book, page, made, label)
    at.lay_out(page, repeat=(_TOP - 1, _TOP - 1))


def _sorted_line(page: Page, made: Book, number: int, place: int, shared: Counter[int]) -> None:
    style, line, live, row = page.look, _TOP + number - 1, made.live, made.rows[place]
    helper, label = len(_HEADS), len(_HEADS) + 1
    found = absolute(line, helper)
    page.formula(
        line,
        helper,
        f"=MATCH({number},{made.down(made.column('key'))},0)",
        place + 1,
        style.of(num_format="0"),
    )
    rank, grade = live.ranks[place], live.grades[place]
    moved = None if rank is None or row.standing.rank is None else row.standing.rank - rank
    values: dict[int, float | str | None] = {
        at.RANK: rank,
        at.MOVED: moved,
        at.TITLE: cells.cell_text(row.name),
        at.GRADE: None if grade is None else grade / 10,
        at.VERDICT: None if grade is None or rank is None else cells.cell_text(made.rubric.verdict(grade)),
        at.CLASS: cells.cell_text(row.standing.price_class),
        at.STAGE: row.standing.stage,
    }
    forms = {
        at.RANK: style.number(look.RANK, bold=True),
        at.MOVED: style.number(look.MOVED, font_color=look.HUE),
        at.TITLE: style.name,
        at.GRADE: style.number(look.GRADE, bold=True),
    }
    for column, (_, source, _) in enumerate(_HEADS):
        # text joined to "" keeps an empty cell empty, where INDEX alone would give 0
        end = "" if source in {at.RANK, at.MOVED, at.GRADE} else '&""'
        formula = f"=INDEX({made.down(source)},{found}){end}"
        page.formula(line, column, formula, values[source], forms.get(source, style.words))
    ranks = f"{absolute(_TOP, 0)}:{absolute(_TOP + len(made.rows) - 1, 0)}"
    cell = address(line, 0)
    sign = "=" if rank is not None and shared[rank] > 1 else ""
    head = "apart" if rank is None else f"{sign}{rank}"
    page.formula(
        line,
        label,
        f'=IF(ISNUMBER({cell}),IF(COUNTIF({ranks},{cell})>1,"=","")&{cell},"apart")&"  "&{address(line, 2)}',
        f"{head}  {cells.cell_text(row.name)}",
        style.of(),
    )
    page.sheet.set_row(line, _BAR * 0.75)


def _chart(book: Workbook, page: Page, made: Book, label: int) -> None:
    last = _TOP + len(made.rows) - 1
    grade = [words for words, _, _ in _HEADS].index("grade")
    chart = book.add_chart({"type": "bar"})
    chart.add_series(
        {
            "name": "grade",
            "categories": [SORTED, _TOP, label, last, label],
            "values": [SORTED, _TOP, grade, last, grade],
            "fill": {"color": look.HUE},
            "gap": 45,
            "data_labels": {
                "value": True,
                "num_format": look.GRADE,
                "font": {"color": look.INK, "size": 9},
            },
        }
    )
    chart.show_hidden_data()
    chart.set_title(
        {"name": "Grades, best first", "name_font": {"size": 12, "color": look.HUE}, "overlay": False}
    )
    chart.set_legend({"none": True})
    chart.set_y_axis(
        {
            "reverse": True,
            "num_font": {"size": 9, "color": look.INK},
            "line": {"color": look.LINE},
            "major_tick_mark": "none",
        }
    )
    chart.set_x_axis(
        {
            "min": 0,
            "max": 100,
            "major_unit": 25,
            "num_format": "0",
            "num_font": {"size": 9, "color": look.QUIET},
            "major_gridlines": {"visible": True, "line": {"color": look.LINE, "width": 0.5}},
            "line": {"none": True},
        }
    )
    chart.set_chartarea({"border": {"none": True}})
    chart.set_size({"width": _CHART_WIDTH, "height": _BAR * len(made.rows) + 90})
    page.sheet.insert_chart(
        _TOP - 1, label + 1, chart, {"x_offset": 12, "description": "Bar chart of the grades, best first"}
    )
