"""Workbooks and text in any encoding become grids of text with the rows numbered as people see them."""

from __future__ import annotations

import datetime as dt
import io
import zipfile

import openpyxl
import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st

from rating.errors import RatingError
from rating.release.intake import grid

TABLE = "Card,Player\n1,Zeb Núñez-Holm\n2,Orla Łowicz\n"
LATIN = "Card,Player\n1,Zeb Núñez-Holm\n2,Jean Étoile\n"


def rows(found):
    return [(row.number, row.cells) for row in found.rows]


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"], ids=lambda name: name
)
@pytest.mark.parametrize("mark", [",", ";", "\t", "|"], ids=["comma", "semicolon", "tab", "stroke"])
@pytest.mark.parametrize("end", ["\n", "\r\n"], ids=["lf", "crlf"])
def test_text_is_read_in_every_usual_encoding_and_delimiter(encoding, mark, end):
    """With and without a mark at its start."""
    content = TABLE.replace(",", mark).replace("\n", end).encode(encoding)
    (found,) = grid.read_data(content, "list.csv")
    assert rows(found) == [(1, ("Card", "Player")), (2, ("1", "Zeb Núñez-Holm")), (3, ("2", "Orla Łowicz"))]


def test_text_in_cp1252_is_read():
    """What is no UTF-8 is taken for the old encoding."""
    (found,) = grid.read_data(LATIN.encode("cp1252"), "list.csv")
    assert rows(found)[2] == (3, ("2", "Jean Étoile"))


def test_letters_misread_before_are_mended_and_told():
    """UTF-8 that somebody read as cp1252 and saved again."""
    (found,) = grid.read_data(TABLE.encode().decode("cp1252", "replace").encode(), "list.csv")
    assert rows(found)[1] == (2, ("1", "Zeb Núñez-Holm"))
    assert found.rows[1].written == {1: "Zeb NÃºÃ±ez-Holm"}
    assert [one.code for one in found.problems] == ["misread-letters"]


def test_quoted_cells_keep_their_delimiters_and_breaks():
    """'Last, First' stays one cell."""
    (found,) = grid.read_data(b'Card,Player\n1,"Skelwith, Pell"\n2,"Una\nTarnhowes"\n', "list.csv")
    assert rows(found)[1:] == [(2, ("1", "Skelwith, Pell")), (3, ("2", "Una\nTarnhowes"))]


def test_blank_rows_count_and_trailing_blanks_do_not():
    """Rows are numbered as an editor shows them; the last is the last that holds something."""
    (found,) = grid.read_data(b"\n\nCard,Player\n\n1,Pell\n,,\n\n", "list.csv")
    assert [row.number for row in found.rows] == [3, 5]
    assert found.last == 5


def test_invisible_marks_and_odd_blanks_are_taken_out():
    """A name compares as it looks."""
    (found,) = grid.read_data("Card,Player\n1,Pell\u00a0\u200bSkel\u202ewith \n".encode(), "list.csv")
    assert rows(found)[1] == (2, ("1", "Pell Skelwith"))


def test_a_damaged_utf16_file_is_refused():
    """Half a letter at the end."""
    with pytest.raises(RatingError, match="utf-16"):
        grid.read_data(b"\xff\xfeC\x00a\x00\x00\xd8", "list.csv")


def test_cells_of_a_workbook_are_told_as_a_person_sees_them(workbook):
    """Whole numbers without a point, padded ones with their noughts, dates as dates, yes for true."""
    values = ["Card", 7, 7.5, True, dt.date(2031, 3, 12), dt.datetime(2031, 3, 12, 14, 5)]
    (found,) = grid.read_data(workbook({"A": [values]}, formats={"A": {"B1": "000"}}), "x.xlsx")
    assert found.rows[0].cells == ("Card", "007", "7.5", "yes", "2031-03-12", "2031-03-12")
    assert found.rows[0].dates == {4, 5}


def test_merged_cells_and_hidden_sheets_are_known(workbook):
    """As (first row, first column, last row, last column)."""
    data = workbook({"A": [["x", None]], "B": [["y"]]}, merged={"A": ["A1:B3"]}, hidden=("B",))
    first, second = grid.read_data(data, "x.xlsx")
    assert first.spans == ((1, 0, 3, 1),)
    assert (first.is_hidden, second.is_hidden) == (False, True)


def test_shared_and_rich_texts_are_read():
    """Texts of the workbook's table, with runs of different letters joined."""
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out)
    sheet = book.add_worksheet("Base")
    sheet.write_row(0, 0, ["Card", "Player"])
    sheet.write_rich_string(1, 1, "Pell ", book.add_format({"bold": True}), "Skel", "with")
    sheet.write_number(1, 0, 12)
    book.close()
    (found,) = grid.read_data(out.getvalue(), "x.xlsx")
    assert rows(found) == [(1, ("Card", "Player")), (2, ("12", "Pell Skelwith"))]


CELL = st.one_of(
    st.none(),
    st.integers(-(10**9), 10**9),
    st.floats(-1e9, 1e9, allow_nan=False).map(lambda number: round(number, 4)),
    st.booleans(),
    st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Co", "Cn", "Cf")), max_size=12),
    st.dates(dt.date(1950, 1, 1), dt.date(2090, 1, 1)),
)


@given(st.lists(st.lists(CELL, max_size=6), min_size=1, max_size=8))
def test_the_cells_are_those_that_openpyxl_reads(values):
    """The pass over the XML gives what the library gives, cell by cell and row by row."""
    book = openpyxl.Workbook()
    for row in values:
        book.active.append(
            [f"'{cell}" if isinstance(cell, str) and cell[:1] == "=" else cell for cell in row]
        )
    out = io.BytesIO()
    book.save(out)
    (found,) = grid.read_data(out.getvalue(), "x.xlsx")
    sheet = openpyxl.load_workbook(io.BytesIO(out.getvalue()), read_only=True, data_only=True).active
    theirs = []
    for number, row in enumerate(sheet.iter_rows(values_only=True), start=1):
        cells = [shown(cell) for cell in row]
        while cells and not cells[-1]:
            cells.pop()
        if cells:
            theirs.append((number, tuple(cells)))
    assert rows(found) == theirs


def shown(cell):
    """A value of openpyxl's in the words of a grid."""
    from rating import text

    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float) and cell == int(cell):
        return str(int(cell))
    if isinstance(cell, float):
        return f"{cell:.12g}"
    if isinstance(cell, dt.datetime):
        return cell.date().isoformat()
    return grid.mended(text.tidy(str(cell)))


def test_what_was_damaged_is_told_with_what_it_was_read_as():
    """A quote that never closes swallows no row, and letters misread by an encoding are mended."""
    found = grid.read_data('Number,Name\n1,"Ada Quill\n2,NÃºÃ±ez\n3,"A, B"\n'.encode(), "a.csv")[0]
    assert [row.cells for row in found.rows][1:] == [("1", "Ada Quill"), ("2", "Núñez"), ("3", "A, B")]
    assert [(one.row, one.was, one.now) for one in found.repaired] == [
        (2, '1,"Ada Quill', "1,Ada Quill"),
        (3, "NÃºÃ±ez", "Núñez"),
    ]


LIST = "".join(
    f"{n},{name},{team},Base\n"
    for n, (name, team) in enumerate(
        [(f"{first} {last}", team) for first in ("Ada", "Bo", "Cy") for last, team in
         (("Quill", "Fen Rooks"), ("Wray", "Moor Hares"), ("Marsh", "Fen Rooks"))], start=1)
)  # fmt: skip


@pytest.mark.parametrize(
    ("line", "cells"),
    [
        ("10,Quill, Dora,Fen Rooks,Base", ("10", "Quill, Dora", "Fen Rooks", "Base")),
        ("10,Dora Quill,,Fen Rooks,Base", ("10", "Dora Quill", "Fen Rooks", "Base")),
        ("10,Dora Quill,Dora Quill,Fen Rooks,Base", ("10", "Dora Quill", "Fen Rooks", "Base")),
        ("10,Dora Quill,Base", ("10", "Dora Quill", "", "Base")),
    ],
    ids=["comma in a name", "blank cell", "cell twice", "cell missing"],
)
def test_a_row_out_of_step_is_brought_back_and_listed(line, cells):
    """The columns of the other rows tell which cells belong together."""
    (found,) = grid.read_data(f"{LIST}{line}\n11,Ida Quill,Fen Rooks,Base\n".encode(), "list.csv")
    assert found.rows[9].cells == cells
    assert found.rows[10].cells == ("11", "Ida Quill", "Fen Rooks", "Base")
    assert [(one.row, one.was) for one in found.repaired] == [(10, line.replace(", ", ","))]


@pytest.mark.parametrize(
    "line",
    [
        "10,Dora Quill,Fen Rooks,Base11,Ida Quill,Fen Rooks,Base",
        "Dora Quill,Fen Rooks,Base",
        "10,Fen Rooks,Base",
    ],
    ids=["two rows", "no number", "no name"],
)
def test_a_row_that_nobody_can_read_is_named(line):
    """It is none of the rows, and a problem with its number."""
    (found,) = grid.read_data(f"{LIST}{line}\n12,Eve Quill,Fen Rooks,Base\n".encode(), "list.csv")
    assert [row.number for row in found.rows] == [*range(1, 10), 11]
    assert [(one.code, one.row) for one in found.damaged] == [("ragged-row", 10)]


@pytest.mark.parametrize("line", ["10,Dora Qui", "10,Dora Quill,Fen Rooks,Ba"])
def test_the_end_of_a_file_that_was_cut_is_named(line):
    """A last line that no line end closes and that is shorter than the others."""
    (found,) = grid.read_data(f"{LIST}{line}".encode(), "list.csv")
    assert [(one.row, "ends in the middle" in one.what) for one in found.damaged] == [(10, True)]


@pytest.mark.parametrize("line", ["Night Tide,12 cards", "Total,9", "10,Dora Quill,Fen Rooks", "x,y,z,w,v"])
def test_headings_totals_and_blank_ends_are_left_as_they_are(line):
    """They are no rows of the table, or lack nothing."""
    (found,) = grid.read_data(f"{LIST}{line}\n11,Ida Quill,Fen Rooks,Base\n".encode(), "list.csv")
    assert found.rows[9].cells == tuple(line.split(","))
    assert not found.damaged
    assert not found.repaired


def test_a_quote_at_the_end_of_a_line_of_text_is_taken_out_and_listed():
    """Nothing else is swallowed."""
    (found,) = grid.read_data(b'"12 Ada Quill of the Rooks\n13 Bo Wray of the Hares\n', "list.txt")
    assert rows(found) == [(1, ("12 Ada Quill of the Rooks",)), (2, ("13 Bo Wray of the Hares",))]
    assert [one.was for one in found.repaired] == ['"12 Ada Quill of the Rooks']


def test_utf_8_with_a_damaged_byte_stays_utf_8():
    """The letter is lost, the others are not."""
    data = "1,Émile Åsgard\n2,Íris Åsgard\n".encode().replace("Íris".encode(), b"\xc3ris")
    (found,) = grid.read_data(data, "list.csv")
    assert rows(found)[1] == (2, ("2", "\ufffdris Åsgard"))


def test_a_sheet_whose_part_is_missing_is_named():
    """The others are read."""
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out)
    for title in ("Base", "Night Tide"):
        book.add_worksheet(title).write_row(0, 0, ["1", title])
    book.close()
    kept = io.BytesIO()
    with zipfile.ZipFile(out) as whole, zipfile.ZipFile(kept, "w") as part:
        for name in whole.namelist():
            if name != "xl/worksheets/sheet2.xml":
                part.writestr(name, whole.read(name))
    (found,) = grid.read_data(kept.getvalue(), "list.xlsx")
    assert [(one.code, one.sheet) for one in found.problems] == [("missing-sheet", "Night Tide")]


def test_a_blank_cell_over_labels_among_sentences_stays():
    """The headings of a small table keep their places; a stray mark before a sentence does not."""
    content = (
        "TARN 2031 CORDAGE\n;Box Office;Matinee\nCards per pack;12;4\nPacks per box;6;10\n"
        ";Every box holds two hits.\nLook for a rope; it is long.\nThe boxes are wrapped in paper.\n"
        "It ships in May.\nThe base set has 60 cards.\nCollectors asked for it.\nHere it is.\n"
    )
    (found,) = grid.read_data(content.encode(), "sheet.csv")
    assert rows(found)[1] == (2, (";Box Office;Matinee",))
    assert rows(found)[4] == (5, ("Every box holds two hits.",))
    assert [one.row for one in found.repaired] == [5]


QUOTED = [("Base - Ivory", "1:3"), ("Base - Amber", "1:12"), ("Base - Wire", "1:24"), ("Base - Mist", "1:2")]


def test_quoted_cells_are_parted_at_commas_without_a_blank():
    """Lines of quoted cells are a table and no sentences."""
    found = grid.text_grid("".join(f'"{card}","{odds}"\n' for card, odds in QUOTED), "odds.txt")
    assert [row.cells for row in found.rows] == QUOTED


@pytest.mark.parametrize("place", [0, 1, 3])
@pytest.mark.parametrize("line", ['"{0}","{1}', '"{0},{1}'], ids=["last cell", "first cell"])
def test_quoted_cells_are_parted_where_a_quote_never_closes(place, line):
    """The rows before and after it too, and commas in other cells stay."""
    lines = [f'"{card}","{odds}"' for card, odds in QUOTED]
    lines[place] = line.format(*QUOTED[place])
    found = grid.text_grid("\n".join([*lines, '"Base, Fog","1:9"', '"Fog, Amber","1:90"']) + "\n", "odds.txt")
    assert [row.cells for row in found.rows] == [*QUOTED, ("Base, Fog", "1:9"), ("Fog, Amber", "1:90")]


def test_odds_in_thousands_stay_whole_where_commas_part_cells():
    """Such a row has more cells than the others, and it is told that it was mended."""
    content = (
        "Card,Hobby,Retail\n"
        "Base - Ivory,1:3,1:6\n"
        "Base - Amber,1:1,407,1:2,016\n"
        "Base - Wire,1:48,1:1,200\n"
        "Base - Mist,1:4,-\n"
    )
    found = grid.text_grid(content, "odds.csv")
    assert [row.cells for row in found.rows] == [
        ("Card", "Hobby", "Retail"),
        ("Base - Ivory", "1:3", "1:6"),
        ("Base - Amber", "1:1,407", "1:2,016"),
        ("Base - Wire", "1:48", "1:1,200"),
        ("Base - Mist", "1:4", "-"),
    ]
    assert [one.row for one in found.repaired] == [3, 4]
