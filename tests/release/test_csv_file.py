"""A person's CSV file: text in, tidied columns out, every problem with its row; and the text of one."""

from __future__ import annotations

import csv
import gc
import io
import sys
import unicodedata
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating import money, text
from rating.errors import RatingError
from rating.release import csv_file
from rating.release.columns import read_yes, whole_between

COLUMNS = ("subset", "number", "note")
HEADER = "subset,number,note\n"
# letters that a checklist holds, blanks of every kind, and what CSV gives a meaning to
cell = st.text(st.sampled_from("aÉe\u0301 \u00a0\u2003\t\x1c;/'0.-=łŁ漢\u2028"), max_size=6)
rows = st.lists(st.tuples(cell, cell, cell), max_size=8)


def parsed(content: str, **changes) -> csv_file.CsvColumns:
    """The columns of a text."""
    wanted = {"columns": COLUMNS, "required": ("subset",)} | changes
    return csv_file.parse(content, wanted["columns"], required=wanted["required"], file="x.csv")


def read(path, file="x.csv") -> csv_file.CsvColumns:
    """The columns of a file."""
    return csv_file.parse(csv_file.read_text(path, file=file), COLUMNS, required=(), file=file)


def told(columns: csv_file.CsvColumns) -> list[tuple[str, int | None]]:
    """Code and row of each problem."""
    return [(one.code, one.row) for one in columns.problems]


def cells(columns: csv_file.CsvColumns) -> dict[str, list[str]]:
    """The columns as lists."""
    return {name: list(column) for name, column in columns.cells.items()}


@given(rows)
def test_both_ways_of_reading_give_the_same_columns(body):
    """A text without quotes is split, one full of them goes through the csv module: the same comes out."""
    plain = HEADER + "".join(",".join(row) + "\n" for row in body)
    quoted = HEADER + "".join(",".join(f'"{one}"' for one in row) + "\n" for row in body)
    first, second = parsed(plain), parsed(quoted)
    assert cells(first) == cells(second)
    assert list(first.row_numbers) == list(second.row_numbers)
    assert first.problems == second.problems == []


def test_the_two_ways_are_really_two():
    """The property above compares what it says."""
    for split in ("a,1,x\n", '"a",1,x\n', '"a\n,""b""",1,x\n', "a,1,x\r\n", "a,1,x"):
        assert csv_file._split(HEADER + split) is not None
    for other in ('"a","1","x"\n', "a,1\n", ",,\n", '"",,\n', '6" x,1,"y"\n', '"a"b,1,x\n', '"a,1,x\n'):
        assert csv_file._split(HEADER + other) is None


# a cell with what CSV gives a meaning to: whole, in quotes as it should be, and anyhow
mark = st.sampled_from('ab,"\n ')
quoted = st.text(mark, max_size=5).map(lambda cell: '"' + cell.replace('"', '""') + '"')
plain = st.text("ab", max_size=2)
within = st.tuples(plain, quoted, plain).map("".join)
raw = st.one_of(plain, plain, plain, quoted, within, st.text(st.sampled_from('ab,"\n\r '), max_size=5))


@given(st.lists(st.tuples(raw, raw, raw), max_size=6))
def test_what_is_split_is_what_the_csv_module_reads(body):
    """Quotes and line ends anywhere: the short way either gives the same cells, or gives way."""
    content = HEADER + "".join(",".join(row) + "\n" for row in body)
    found = csv_file._split(content)
    if found is not None:
        theirs = csv_file._read_csv(content, "x.csv")
        assert [text.tidy(one) for one in found.cells] == [text.tidy(one) for one in theirs.cells]
        assert list(found.row_numbers) == list(theirs.row_numbers)
        assert theirs.problems == []


@given(
    st.lists(st.tuples(st.text(mark, max_size=6), st.text(mark, max_size=3), st.just("x")), max_size=8),
    st.sampled_from(["\n", "\r\n"]),
)
def test_few_quotes_are_read_as_the_csv_module_writes_them(body, end):
    """Commas, quotes and line ends within cells, quoted where they must be."""
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator=end).writerows([COLUMNS, *body])
    found = parsed(out.getvalue())
    assert list(zip(*(found.cells[name] for name in COLUMNS), strict=True)) == [
        tuple(map(text.tidy, row)) for row in body
    ]
    assert list(found.row_numbers) == list(range(2, len(body) + 2))
    assert found.problems == []


def test_of_all_blanks_only_the_space_is_printable():
    """By which a text that is printable needs no look for others; all of Unicode."""
    blanks = filter(str.isspace, map(chr, range(sys.maxunicode + 1)))
    assert list(filter(str.isprintable, blanks)) == [" "]


@given(rows)
def test_reading_agrees_with_the_csv_module(body):
    """The standard library's reader, tidied, without rows that hold nothing."""
    content = HEADER + "".join(",".join(row) + "\n" for row in body)
    theirs = list(csv.reader(io.StringIO(content, newline="")))[1:]
    kept = [(number, row) for number, row in enumerate(theirs, start=2) if any(one.strip() for one in row)]
    ours = parsed(content)
    expected = [tuple(text.tidy(one) for one in row) for _, row in kept]
    assert list(zip(*ours.cells.values(), strict=True)) == expected
    assert list(ours.row_numbers) == [number for number, _ in kept]


@given(st.lists(st.tuples(st.text(max_size=8), st.text(max_size=8)), max_size=6))
def test_what_is_written_is_read_again(body):
    """Commas, quotes and line ends in a cell survive as far as tidy text can hold them."""
    body = [(a.replace("\0", "").encode("utf-8", "ignore").decode(), b) for a, b in body]
    body = [(f"x{a}", b.replace("\0", "").encode("utf-8", "ignore").decode()) for a, b in body]
    written = csv_file.to_text(("subset", "note"), body)
    found = parsed(written)
    assert list(zip(found.cells["subset"], found.cells["note"], strict=True)) == [
        (text.tidy(a), text.tidy(b)) for a, b in body
    ]
    assert found.problems == []


@pytest.mark.parametrize(
    "value",
    ["NA", "None", "null", "nan", "001", "1E5", "1e5", "TRUE", "-0", "1.50", "12/3", "=1+1", "#N/A", "１２"],
)
def test_a_cell_stays_what_was_written(value):
    """No reader turns it into a number, a missing value or a date."""
    assert cells(parsed(f"{HEADER}a,{value},\n"))["number"] == [value]
    assert cells(parsed(f'{HEADER}a,"{value}",\n'))["number"] == [value]


def test_text_is_composed_and_blanks_are_collapsed():
    """NFC; a non-breaking blank, a tab and a line end in a cell are a blank."""
    found = parsed(f'{HEADER}  Cafe\u0301\u00a0\u00a0Bar ,1,"two\r\nlines\t here"\n')
    assert cells(found) == {"subset": ["Caf\u00e9 Bar"], "number": ["1"], "note": ["two lines here"]}
    assert unicodedata.is_normalized("NFC", found.cells["subset"][0])


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r", ""])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_line_ends_and_a_byte_order_mark_make_no_difference(tmp_path, end, mark):
    """As saved on any machine, with or without an end of the last line."""
    lines = ["subset,number,note", "Base,1,x", "Base,2,"]
    path = tmp_path / "x.csv"
    path.write_bytes((mark + (end or "\n").join(lines) + end).encode())
    found = read(path)
    assert cells(found) == {"subset": ["Base"] * 2, "number": ["1", "2"], "note": ["x", ""]}
    assert list(found.row_numbers) == [2, 3]


def test_bytes_that_are_no_utf_8_are_told_with_their_row(tmp_path):
    """A file saved as Windows-1252 is refused rather than read wrongly."""
    path = tmp_path / "x.csv"
    for mark in (b"", b"\xef\xbb\xbf"):
        path.write_bytes(mark + "subset,number,note\nBase,1,x\nNúñez,2,y\n".encode("cp1252"))
        with pytest.raises(RatingError, match="not UTF-8") as caught:
            read(path)
        assert caught.value.where == "x.csv, line 3"
        assert caught.value.fix == "save it as CSV in UTF-8"


@pytest.mark.parametrize("content", [b"subset,number\0,note\n", "subset,number\n".encode("utf-16")])
def test_bytes_that_are_no_text_are_refused(tmp_path, content):
    """NUL, and UTF-16, which is full of it."""
    path = tmp_path / "x.csv"
    path.write_bytes(content)
    with pytest.raises(RatingError, match="not text"):
        read(path)


def test_a_missing_file_and_a_folder_are_refused(tmp_path):
    """With the name that the person knows it by."""
    for path, what in ((tmp_path / "none.csv", "cannot be read"), (tmp_path, "a folder, not a file")):
        with pytest.raises(RatingError, match=what) as caught:
            read(path, file="releases/a/x.csv")
        assert caught.value.where == "releases/a/x.csv"


@pytest.mark.parametrize("content", ["", "\n", "   \n", ",,\n", "\n\nsubset,number,note\n"])
def test_a_file_without_a_header_is_refused(content):
    """The header is shown in the mend."""
    with pytest.raises(RatingError, match="the file is empty") as caught:
        parsed(content)
    assert "subset,number,note" in caught.value.fix


@pytest.mark.parametrize(
    ("header", "what"),
    [
        ("subset,nubmer", "the column 'nubmer' is not known here"),
        ("number,note", "the column 'subset' is missing"),
        ("subset,subset", "the column 'subset' stands twice"),
        ("subset,Subset ", "the column 'subset' stands twice"),
        ("subset,note,", "the column '' is not known here"),
        ("nubmer,nubmer", "the column 'nubmer' stands twice; the column 'nubmer' is not known here"),
        ("subset;number;note", "its cells are separated by semicolons, a tidy table has commas between them"),
        ("subset,a\u202eb", "the column 'a<U+202E>b' is not known here"),
    ],
)
def test_a_header_that_is_none_of_a_tidy_table_is_refused(header, what):
    """Unknown, missing and doubled columns at once, in row 1."""
    with pytest.raises(RatingError) as caught:
        parsed(f"{header}\nBase,1\n")
    assert what in caught.value.what
    assert caught.value.where == "x.csv, line 1"


def test_columns_may_stand_in_any_order_and_be_left_out():
    """Names are compared without regard to capitals; what is left out reads as blank."""
    found = parsed("Number, SUBSET\n1,Base\n")
    assert cells(found) == {"number": ["1"], "subset": ["Base"], "note": [""]}


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("Base,1", "the row has 2 cells, the header 3"),
        ("Base,1,x,y", "the row has 4 cells, the header 3"),
        ("Base", "the row has 1 cells, the header 3"),
        ("Base,1,x,", "the row has 4 cells, the header 3"),
    ],
)
def test_a_ragged_row_is_told_and_the_others_are_read(line, what):
    """Its number is that of the spreadsheet program."""
    found = parsed(f"{HEADER}A,1,\n{line}\nB,2,\n")
    assert [(one.code, one.row, one.what) for one in found.problems] == [("ragged-row", 3, what)]
    assert cells(found)["subset"] == ["A", "B"]
    assert list(found.row_numbers) == [2, 4]


@pytest.mark.parametrize("blank", ["", ",,", " , ,\t", ",,,,", "   ", '"","",""'])
def test_blank_rows_are_passed_over_and_counted(blank):
    """A spreadsheet program writes them for rows that were emptied."""
    found = parsed(f"{HEADER}A,1,\n{blank}\nB,2,\n")
    assert cells(found)["subset"] == ["A", "B"]
    assert list(found.row_numbers) == [2, 4]
    assert found.problems == []


@pytest.mark.parametrize(
    ("line", "row"),
    [('"open,1,x\nB,2,', 3), ('B,"1"2,x', 3), (f'B,"{"x" * 40_000}",', 3), ('"a\n\nb",1,\n"c', 4)],
)
def test_broken_quotes_are_refused_with_their_row(line, row):
    """An open quote would swallow the rest of the file in silence."""
    with pytest.raises(RatingError, match="this is not CSV") as caught:
        parsed(f"{HEADER}A,1,\n{line}")
    assert caught.value.where == f"x.csv, line {row}"


def test_a_cell_without_end_is_refused_without_quotes_too():
    """32,767 characters is what a spreadsheet cell can hold."""
    with pytest.raises(RatingError, match="this is not CSV"):
        parsed(f"{HEADER}A,{'x' * 40_000},\n")


# reading columns ---------------------------------------------------------------------------------------


def test_each_wrong_cell_is_told_once_a_row():
    """Two rows with one wrong text are two problems; good cells are read."""
    found = parsed(f"{HEADER}A,7,\nB,x,\nC,x,\nD,,\n")
    parse = whole_between(0, 1000)
    assert found.read("number", parse, blank=None, fix="write a number") == [7, None, None, None]
    assert [(one.row, one.what) for one in found.problems] == [(3, "number is 'x'"), (4, "number is 'x'")]


def test_a_required_cell_that_is_blank_is_told():
    """Where it may be blank it is simply the blank value."""
    found = parsed(f"{HEADER}A,,\nB,2,\n")
    assert found.read("number", whole_between(0, 1000), blank=0, fix="write it", required=True) == [0, 2]
    assert [(one.row, one.what) for one in found.problems] == [(2, "number is blank")]
    assert found.read("note", read_yes, blank=False, fix="") == [False, False]


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("a\u202eb", "bad-mark"),
        ("a\x07b", "bad-mark"),
        ("a\u200bb", "bad-mark"),
        ("x" * 201, "bad-value"),
        ("", "missing-value"),
    ],
)
def test_names_are_held_to_marks_and_length(written, code):
    """Direction, control and invisible marks, more than two hundred characters, blank."""
    found = parsed(f"{HEADER}{written},1,\nB,2,\n{written},3,\n")
    found.words("subset", required=True)
    assert told(found) == [(code, 2), (code, 4)]


def test_an_amount_is_read_as_an_exact_decimal():
    """No float on the way."""
    found = parsed(f"{HEADER}A,164.95,\nB,0.1,\n")
    assert found.read("number", money.read, blank=None, fix="") == [Decimal("164.95"), Decimal("0.1")]


def test_the_collector_is_as_it_was_after_a_rest():
    """Also after a fault, and where it was off before."""
    assert gc.isenabled()
    with pytest.raises(RatingError):
        parsed("")
    assert gc.isenabled()
    gc.disable()
    try:
        parsed(HEADER)
        assert not gc.isenabled()
    finally:
        gc.enable()


# writing ------------------------------------------------------------------------------------------------


def test_values_are_written_as_the_tables_have_them():
    """None and False are blank, True is yes; what needs quotes has them; line ends are LF."""
    body = [("Base", None, True), ('a "b", c', 7, False)]
    assert csv_file.to_text(COLUMNS, body) == 'subset,number,note\nBase,,yes\n"a ""b"", c",7,\n'
