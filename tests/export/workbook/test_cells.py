"""What a cell may hold: limits of the format, and text that would damage the file."""

from __future__ import annotations

import io
import zipfile

import openpyxl
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from xlsxwriter.workbook import Workbook

from rating.errors import RatingError
from rating.export.workbook.cells import CUT_REMARK, cell_text, hold_to_limits, sheet_names
from rating.export.workbook.sheet_writer import SheetWriter
from rating.export.workbook.styles import Styles

# Microsoft, "Excel specifications and limits"
ROWS, COLUMNS, CHARACTERS, NAME = 1_048_576, 16_384, 32_767, 31

anything = st.text(st.characters(exclude_categories=()), max_size=40)


def units(words):
    return len(words.encode("utf-16-le")) // 2


def reread(words):
    """A cell after it was written and read again."""
    out = io.BytesIO()
    book = Workbook(out, {"in_memory": True})
    SheetWriter(book, "x", Styles(book), (10,)).words(0, 0, words)
    book.close()
    return openpyxl.load_workbook(out).active["A1"]


@pytest.mark.parametrize("mark", ["x", "é", "\N{ICE HOCKEY STICK AND PUCK}"])
@pytest.mark.parametrize("number", [16_383, 16_384, 32_766, 32_767, 32_768, 70_000])
def test_text_is_cut_where_a_cell_ends_and_says_so(mark, number):
    """At most 32,767 UTF-16 units; what fits is left alone, what is cut ends in a remark."""
    whole = mark * number
    shown = cell_text(whole)
    if units(whole) <= CHARACTERS:
        assert shown == whole
    else:
        assert CHARACTERS - 1 <= units(shown) <= CHARACTERS
        assert shown.endswith(CUT_REMARK)
        assert set(shown.removesuffix(CUT_REMARK)) == {mark}


@given(anything)
@example("\ud800 lone")
@example("a\r\nb\rc")
@example("\ufffe\uffff\x00\x1f")
@example("_x0041_")
@example("=1+1")
@example("<r>bold & broken</r>")
@example("<r><t>x</t></r>")
@example("#N/A")
def test_any_text_comes_back_as_text(words):
    """Lone surrogates, control marks and what looks like a formula or an escape: a typed string each time."""
    cell = reread(words)
    shown = cell_text(words)
    assert "\r" not in shown
    if not shown:
        assert cell.value is None
    else:
        assert cell.data_type == "s"
        # openpyxl leaves the escaped underscore of text such as _x0041_ as it is
        assert cell.value.replace("_x005F_", "_") == shown.replace("_x005F_", "_")


@pytest.mark.parametrize("words", ["#N/A", "#REF!", "#DIV/0!", "<r>x</r>", "=1+1", "12"])
def test_text_stored_beside_a_formula_is_text(words):
    """A title that reads like an error is none: the stored value has the type of text (ECMA-376, t="str")."""
    out = io.BytesIO()
    book = Workbook(out, {"in_memory": True})
    style = Styles(book)
    SheetWriter(book, "x", style, (10,)).formula(0, 0, '=B1&""', cell_text(words), style.words)
    book.close()
    sheet = zipfile.ZipFile(out).read("xl/worksheets/sheet1.xml")
    assert b't="str"' in sheet
    assert openpyxl.load_workbook(out, data_only=True).active["A1"].value == cell_text(words)


@given(st.lists(anything, max_size=12), st.lists(anything, max_size=3))
@example(["a" * 40, "A" * 40, "a" * 31], ["Standings"])
@example(["standings", "History", "'quoted'", "  ", "[]:*?/\\"], ["Standings"])
def test_sheet_names_keep_to_the_format(wanted, taken):
    """1 to 31 characters, none of []:*?/\\, no apostrophe at an end, none reserved, none twice."""
    names = sheet_names(wanted, taken=taken)
    assert len(names) == len(wanted)
    assert len({name.casefold() for name in [*names]}) == len(names)
    assert not {name.casefold() for name in names} & {name.casefold() for name in taken}
    out = io.BytesIO()
    book = Workbook(out, {"in_memory": True})
    for name in names:
        assert 1 <= units(name) <= NAME
        assert not set(name) & set("[]:*?/\\")
        assert name.strip("'") == name
        assert name.casefold() != "history"
        book.add_worksheet(name)
    if names:
        book.close()
        with zipfile.ZipFile(out) as parts:
            assert len([part for part in parts.namelist() if "worksheets/sheet" in part]) == len(names)


def test_a_table_that_no_sheet_holds_is_refused_with_its_size():
    """The last row and column are allowed, one more is not."""
    hold_to_limits(ROWS, COLUMNS, "Reasons")
    with pytest.raises(RatingError, match="1,048,577 rows"):
        hold_to_limits(ROWS + 1, 5, "Reasons")
    with pytest.raises(RatingError, match="16,385 columns"):
        hold_to_limits(5, COLUMNS + 1, "Standings")
