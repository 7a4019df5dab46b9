"""The sheet Standings as people see it: what stays in view, where words stand, how large it prints."""

from __future__ import annotations

import openpyxl
import pytest

from rating.export.workbook import write_workbook
from rating.season.season import Season

# a window of 1366 x 768 dots, less what a spreadsheet program puts around a sheet: its title, the ribbon, the
# formula bar, heads of columns and rows, tabs, status and task bar
WIDE, HIGH = 1366 - 60, 768 - 300
PAPER = {"A4": (297 / 25.4, 210 / 25.4), "Letter": (11, 8.5)}


@pytest.fixture(scope="module")
def sheet(module_season):
    path = module_season / "season.xlsx"
    write_workbook(Season.open(module_season), path)
    return openpyxl.load_workbook(path, data_only=True)["Standings"]


def widths(sheet):
    """The dots of each column at 96 to an inch, seven to a stored unit; equal columns are kept as one run."""
    found = {}
    for one in sheet.column_dimensions.values():
        for column in range(one.min, one.max + 1):
            found[column] = 0 if one.hidden else round(one.width * 7)
    return found


def test_half_of_a_small_screen_is_left_for_data(sheet):
    """Only the names and what stands over the scores stay in view."""
    assert sheet.freeze_panes == "B9"
    high = sum(
        sheet.row_dimensions[row].height * 96 / 72
        for row in range(1, 9)
        if not sheet.row_dimensions[row].hidden
    )
    assert high <= HIGH / 2
    assert widths(sheet)[1] <= WIDE / 2


def test_all_scores_are_seen_without_scrolling(sheet):
    """From the name to the last score on one screen."""
    last = next(cell.column for cell in sheet[8] if cell.value == "verdict") - 1
    assert sum(widths(sheet)[column] for column in range(1, last + 1)) <= WIDE


def test_words_over_and_under_the_table_stay_in_the_column_in_view(sheet):
    """Nothing that runs on past the frozen column can be cut by scrolling; long texts there are wrapped."""
    for cell in [*sheet["A"][:5], *sheet["A"][8:]]:
        if isinstance(cell.value, str) and len(cell.value) > 40:
            assert cell.alignment.wrap_text or cell.alignment.shrink_to_fit
    merged = [area for area in sheet.merged_cells.ranges if area.min_col == 1]
    assert merged == []
    first = next(cell.column for cell in sheet[8] if cell.value == "published grade") + 1
    for row in (*range(1, 8), *range(sheet.max_row - 1, sheet.max_row + 1)):
        long = [
            cell.value
            for cell in sheet[row][1:]
            if isinstance(cell.value, str) and len(cell.value) > 24 and cell.column < first
        ]
        assert long == []


@pytest.mark.parametrize("paper", PAPER)
def test_print_is_legible(sheet, paper):
    """Nine tenths of ten points, words over scores nine: at least eight; all scores on one page."""
    scale = sheet.page_setup.scale / 100
    texts = {
        cell.font.sz for row in sheet.iter_rows(max_col=27) for cell in row if cell.value and cell.row != 8
    }
    assert min(texts) * scale >= 8
    inches = PAPER[paper][0] - sheet.page_margins.left - sheet.page_margins.right
    last = next(cell.column for cell in sheet[8] if cell.value == "verdict") - 1
    dots = sum(widths(sheet)[column] for column in range(1, last + 1))
    assert dots / 96 * scale <= inches
    assert sheet.print_title_cols == "$A:$A"


def test_published_points_shares_and_grades_stand_beside_the_live_ones(module_season, sheet):
    """As the ledger has them, and shares that sum to one."""
    season = Season.open(module_season)
    points = [one.points / 10 for one in season.rubric.criteria]
    n, first = len(points), 7
    read = [[sheet.cell(row, column).value for column in range(first, first + n)] for row in (3, 4, 5)]
    assert read[0] == points
    assert read[2] == points
    assert sum(read[1]) == pytest.approx(1)
    assert read[1] == pytest.approx([one / sum(points) for one in points])
    assert sheet["A5"].value == "points as published"
    published = [sheet.cell(9 + place, 6).value for place in range(len(season.rank()))]
    assert published == [None if one.grade is None else one.grade / 10 for one in season.rank()]
