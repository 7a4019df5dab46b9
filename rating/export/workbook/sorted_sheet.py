"""The sheet Sorted, which follows the sheet Standings: the ranking in order, with a chart."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from xlsxwriter.workbook import Workbook

from rating.export.workbook import cells
from rating.export.workbook.contents import Contents
from rating.export.workbook.positions import SORTED, absolute, address, down
from rating.export.workbook.sheet_writer import SheetWriter
from rating.export.workbook.standings_sheet import mark_ties
from rating.export.workbook.styles import GRADE, HUE, INK, LINE, MOVED, QUIET, RANK, Styles

_TOP = 5
# the head of each column, the column of the sheet Standings that it follows, and its width
_COLUMNS = (
    ("place", "rank", 7),
    ("moved", "moved", 8),
    ("release", "title", 34),
    ("grade", "grade", 8),
    ("verdict", "verdict", 34),
    ("class", "class", 11),
    ("stage", "stage", 11),
)
_TEXTS = {"release", "verdict", "class", "stage"}
# hidden columns right of them: the release's row on the sheet Standings, and its name in the chart
_SOURCE, _LABEL = len(_COLUMNS), len(_COLUMNS) + 1
_CHART_WIDTH = 620
_BAR = 26


def write_sorted(book: Workbook, contents: Contents, style: Styles) -> None:
    """The ranking in order, whatever the points, with a chart that follows it."""
    sheet = SheetWriter(book, SORTED, style, tuple(width for _, _, width in _COLUMNS))
    sheet.title("In order")
    sheet.words(1, 0, "This sheet sorts itself by the points on the sheet Standings.", style.of(font_size=11))
    sheet.paragraph(2, contents.disclosed, style.loud)
    sheet.paragraph(3, contents.cautions, style.note)
    sheet.heads(_TOP - 1, [words for words, _, _ in _COLUMNS], texts=_TEXTS)
    sheet.sheet.set_column(_SOURCE, _LABEL, 10, None, {"hidden": True})
    placed = {key: place for place, key in enumerate(contents.values.keys)}
    shared = Counter(rank for rank in contents.values.ranks if rank is not None)
    for number in range(1, len(contents.releases) + 1):
        _line(sheet, contents, number, placed[number], shared)
    mark_ties(sheet, 0, _TOP, _last(contents))
    sheet.sheet.freeze_panes(_TOP, 0)
    _chart(book, sheet, contents)
    sheet.lay_out(repeat=(_TOP - 1, _TOP - 1))


def _last(contents: Contents) -> int:
    """The last row of releases, from 0."""
    return _TOP + len(contents.releases) - 1


def _line(sheet: SheetWriter, contents: Contents, number: int, place: int, shared: Mapping[int, int]) -> None:
    """A row: its release by the formula, and what stands in it now."""
    style, line = sheet.style, _TOP + number - 1
    row = absolute(line, _SOURCE)
    sheet.formula(
        line,
        _SOURCE,
        f"=MATCH({number},{contents.down(contents.column('key'))},0)",
        place + 1,
        style.of(num_format="0"),
    )
    forms = {
        "rank": style.number(RANK, bold=True),
        "moved": style.number(MOVED, font_color=HUE),
        "title": style.name,
        "grade": style.number(GRADE, bold=True),
    }
    values = _values(contents, place)
    for column, (_, source, _) in enumerate(_COLUMNS):
        # text joined to "" keeps an empty cell empty, where INDEX alone would give 0
        end = "" if source in {"rank", "moved", "grade"} else '&""'
        formula = f"=INDEX({contents.there(source)},{row}){end}"
        sheet.formula(line, column, formula, values[source], forms.get(source, style.words))
    _label(sheet, contents, line, place, shared)
    sheet.sheet.set_row(line, _BAR * 0.75)


def _values(contents: Contents, place: int) -> dict[str, float | str | None]:
    """What the formulas of a row give now, by the columns of the sheet Standings."""
    values, release = contents.values, contents.releases[place]
    grade = values.grades[place]
    return {
        "rank": values.ranks[place],
        "moved": contents.moved(place),
        "title": cells.cell_text(release.name),
        "grade": None if grade is None else grade / 10,
        "verdict": contents.verdict(place),
        "class": cells.cell_text(release.standing.price_class),
        "stage": release.standing.stage,
    }


def _label(sheet: SheetWriter, contents: Contents, line: int, place: int, shared: Mapping[int, int]) -> None:
    """The name of a bar in the chart: '=4  Halyard'."""
    ranks, cell = down(0, _TOP, _last(contents)), address(line, 0)
    rank = contents.values.ranks[place]
    sign = "=" if rank is not None and shared[rank] > 1 else ""
    head = "apart" if rank is None else f"{sign}{rank}"
    sheet.formula(
        line,
        _LABEL,
        f'=IF(ISNUMBER({cell}),IF(COUNTIF({ranks},{cell})>1,"=","")&{cell},"apart")&"  "&{address(line, 2)}',
        f"{head}  {cells.cell_text(contents.releases[place].name)}",
        sheet.style.of(),
    )


def _chart(book: Workbook, sheet: SheetWriter, contents: Contents) -> None:
    last = _last(contents)
    grade = [words for words, _, _ in _COLUMNS].index("grade")
    chart = book.add_chart({"type": "bar"})
    chart.add_series(
        {
            "name": "grade",
            "categories": [SORTED, _TOP, _LABEL, last, _LABEL],
            "values": [SORTED, _TOP, grade, last, grade],
            "fill": {"color": HUE},
            "gap": 45,
            "data_labels": {"value": True, "num_format": GRADE, "font": {"color": INK, "size": 9}},
        }
    )
    chart.show_hidden_data()
    chart.set_title({"name": "Grades, best first", "name_font": {"size": 12, "color": HUE}, "overlay": False})
    chart.set_legend({"none": True})
    chart.set_y_axis(
        {
            "reverse": True,
            "num_font": {"size": 9, "color": INK},
            "line": {"color": LINE},
            "major_tick_mark": "none",
        }
    )
    chart.set_x_axis(
        {
            "min": 0,
            "max": 100,
            "major_unit": 25,
            "num_format": "0",
            "num_font": {"size": 9, "color": QUIET},
            "major_gridlines": {"visible": True, "line": {"color": LINE, "width": 0.5}},
            "line": {"none": True},
        }
    )
    chart.set_chartarea({"border": {"none": True}})
    chart.set_size({"width": _CHART_WIDTH, "height": _BAR * len(contents.releases) + 90})
    sheet.sheet.insert_chart(
        _TOP - 1, _LABEL + 1, chart, {"x_offset": 12, "description": "Bar chart of the grades, best first"}
    )
