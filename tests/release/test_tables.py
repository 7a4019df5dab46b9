"""A tidy table is declared once; everything that has to do with its columns follows from that."""

from __future__ import annotations

import ast
import csv
import io
import types
import typing
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Annotated, NamedTuple

import pandas as pd
import pytest

from rating.release import CHECKLIST, DEMAND, ODDS, OPENED, PARALLELS, PRICES, ROOKIES, SALES, SLOTS, TABLES
from rating.release.checklist import Card, plain_number
from rating.release.columns import Column, whole, words
from rating.release.release import TABLES_BY_FIELD, Release
from rating.release.tables import Table

ROOT = Path(__file__).resolve().parents[2]
SAMPLE = ROOT / "sample_ratings"
every_table = pytest.mark.parametrize("table", TABLES, ids=lambda table: table.file)
# a cell that each type of column can hold
CELLS = {"text": "abc", "whole": "7", "decimal": "2.5", "day": "2031-03-12", "yes": "yes"}


def cells_for(table):
    """Cells for a row of a table that says something in each column."""
    return [
        "usd" if column.name == "currency" else CELLS.get(column.cell.type) or column.cell.choices[0]
        for column in table.columns
    ]


# declared once -----------------------------------------------------------------------------------------


def test_the_tables_are_those_of_the_formats():
    """Columns as the season's formats fix them, in their order."""
    assert {table.file: ",".join(table.names) for table in TABLES} == {
        "checklist.csv": (
            "subset,kind,number,subjects,teams,rookie,print_run,signed,relic,variation,redemption,note"
        ),
        "parallels.csv": "subset,parallel,print_run,formats",
        "odds.csv": "subset,parallel,format,packs_per_copy,note",
        "prices.csv": "date,format,unit,kind,price,currency,source",
        "sales.csv": "date,subset,parallel,number,price,postage,currency,how,condition,title,source,match",
        "slots.csv": "date,format,slot,price,how,cases,currency,source",
        "opened.csv": "date,format,boxes,subset,parallel,number,count",
        "rookies.csv": "subject,team,since",
        "demand.csv": "subject,demand,why",
    }


def lists_of_words(path):
    """Every list of words in a module: in brackets, as keys, and in one text, parted by commas."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        held = node.keys if isinstance(node, ast.Dict) else getattr(node, "elts", [])
        yield {one.value for one in held if isinstance(one, ast.Constant)}
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield set(node.value.strip().split(","))


def test_no_list_of_columns_stands_anywhere_else():
    """Not in reading, writing, intake, checks, frames or templates: the fields of a row are the only one.

    What makers write over columns of their own is another matter.
    """
    found = [
        f"{path.relative_to(ROOT)} lists the columns of {table.file}"
        for path in sorted((ROOT / "rating").rglob("*.py"))
        if path not in {ROOT / "rating/release/intake" / name for name in ("words.py", "columns.py")}
        for listed in lists_of_words(path)
        for table in TABLES
        if listed.issuperset(table.names)
    ]
    assert found == []


def test_a_list_of_columns_is_found(tmp_path):
    """Otherwise the test above could not fail."""
    path = tmp_path / "x.py"
    for planted in (SALES.names, list(SALES.names), dict.fromkeys(SALES.names, ""), ",".join(SALES.names)):
        path.write_text(f"x = {planted!r}\n", encoding="utf-8")
        assert any(listed.issuperset(SALES.names) for listed in lists_of_words(path))


def types_in(hint):
    """The plain types that a type is made of, without None."""
    if isinstance(hint, types.UnionType):
        return set().union(*map(types_in, hint.__args__)) - {type(None)}
    return {typing.get_origin(hint) or hint}


@every_table
def test_a_column_is_of_the_type_of_its_field(table):
    """A field and its column cannot say two things: text, whole numbers, decimals, days and marks."""
    of = {"text": str, "choice": str, "whole": int, "decimal": Decimal, "day": date, "yes": bool}
    hints = list(typing.get_type_hints(table.row).values())[:-1]
    for column, hint in zip(table.columns, hints, strict=True):
        assert types_in(hint) == {tuple if column.cell.is_list else of[column.cell.type]}, column.name
        assert (column.cell.type == "choice") == bool(column.cell.choices)


@every_table
def test_each_column_is_described(table):
    """Help, a schema and the columns in the README can be made of that."""
    assert all(len(column.about.split()) > 1 for column in table.columns)
    assert table.about
    assert len(set(table.nouns)) == 2


@every_table
def test_the_key_names_columns(table):
    """At least one, and none twice."""
    assert set(table.key) <= set(table.names)
    assert len(set(table.key)) == len(table.key) > 0


class Shelf(NamedTuple):
    """A row of a table that there is not."""

    board: Annotated[str, Column("what stands on it", words(), required=True)]
    weight: Annotated[int | None, Column("what it carries", whole(low=1, fix="write a number"), name="load")]
    row: int


def test_adding_a_column_is_adding_a_field(tmp_path):
    """Reading, writing, problems, what names a row and the frame know it."""
    table = Table(
        file="shelf.csv", about="one board", nouns=("board", "boards"), row=Shelf, key=("board", "load")
    )
    path = tmp_path / "shelf.csv"
    path.write_text("load,board\n5,Oak\nx,Oak\n5,OAK\n", encoding="utf-8")
    rows, problems = table.read(path)
    assert rows == (Shelf("Oak", 5, 2), Shelf("Oak", None, 3), Shelf("OAK", 5, 4))
    assert [(one.row, one.what, one.fix) for one in problems] == [(3, "load is 'x'", "write a number")]
    assert list(table.repeated(rows)) == [(rows[0], rows[2])]
    assert table.to_text(rows) == "board,load\nOak,5\nOak,\nOAK,5\n"
    assert table.read_cells(path) == [("Oak", "5"), ("Oak", "x"), ("OAK", "5")]
    assert [str(one) for one in table.frame(rows)["load"]] == ["5", "<NA>", "5"]


def test_a_row_ends_with_its_number():
    """Without it nothing says where a problem stands."""

    class Board(NamedTuple):
        board: Annotated[str, Column("what it is", words())]

    with pytest.raises(ValueError, match="ends with board"):
        Table(file="x.csv", about="", nouns=("x", "y"), row=Board, key=("board",))


def test_a_release_holds_each_of_its_tables():
    """The field of each is one of the release's; the two of the season are not among them."""
    assert set(TABLES_BY_FIELD) == set(Release.__dataclass_fields__) - {"sheet"}
    assert set(TABLES_BY_FIELD.values()) == set(TABLES) - {ROOKIES, DEMAND}


# reading and writing -----------------------------------------------------------------------------------


@every_table
def test_a_full_row_is_written_as_it_was_read(table):
    """A value in every column, there and back; the csv module reads the same cells."""
    cells = cells_for(table)
    content = ",".join(table.names) + "\n" + ",".join(cells) + "\n"
    rows, problems = table.parse(content)
    assert problems == []
    assert len(rows) == 1
    assert rows[0].row == 2
    written = table.to_text(rows)
    assert written.upper() == content.upper()  # a currency is written in capital letters
    assert [*csv.reader(io.StringIO(written))][1] == list(table.cells_of(rows[0]))


@every_table
def test_a_column_that_must_be_there_is_missed(table):
    """And only such a one."""
    cells = dict(zip(table.names, cells_for(table), strict=True))
    for column in table.columns:
        rest = {name: cell for name, cell in cells.items() if name != column.name}
        content = ",".join(rest) + "\n" + ",".join(rest.values()) + "\n"
        if column.required or column.is_always_there:
            with pytest.raises(Exception, match=f"the column '{column.name}' is missing"):
                table.parse(content)
        else:
            assert table.parse(content)[1] == []


@every_table
def test_a_blank_is_a_problem_where_a_column_is_required(table):
    """And nowhere else, but for a slot, which is blank only where the team is drawn."""
    for place, column in enumerate(table.columns):
        cells = cells_for(table)
        cells[place] = ""
        _, problems = table.parse(",".join(table.names) + "\n" + ",".join(cells) + "\n")
        is_told = column.required or (table is SLOTS and column.name == "slot")
        assert [one.what for one in problems] == [f"{column.name} is blank"] * is_told


def test_a_column_that_says_nothing_may_be_left_out():
    """The note of odds and the cases of slots; in a file that says something of them they stand."""
    assert [
        (table.file, column.name) for table in TABLES for column in table.columns if column.is_left_out
    ] == [("odds.csv", "note"), ("slots.csv", "cases")]
    content = "subset,parallel,format,packs_per_copy\nInk,,hobby,12\n"
    rows, _ = ODDS.parse(content)
    assert ODDS.to_text(rows) == content
    noted = (*rows, rows[0]._replace(note="on average"))
    assert ODDS.to_text(noted).splitlines() == [
        "subset,parallel,format,packs_per_copy,note",
        "Ink,,hobby,12,",
        "Ink,,hobby,12,on average",
    ]


TABLE_OF = {table.file: table for table in TABLES}
FILES = sorted(path for path in SAMPLE.rglob("*.csv") if path.name in TABLE_OF)


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(SAMPLE)))
def test_the_tables_of_the_sample_are_written_as_they_stand(path):
    """Cell for cell, as the csv module reads both; a column that says nothing may be gone."""
    table = TABLE_OF[path.name]
    rows, problems = table.read(path)
    assert problems == []
    theirs = list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"))))
    ours = list(csv.DictReader(io.StringIO(table.to_text(rows))))
    assert len(ours) == len(rows)
    assert [said(row) for row in ours] == [said(row) for row in theirs]


def said(row):
    """The cells of a row that are not blank, by their columns."""
    return {name: cell for name, cell in row.items() if cell}


# what names a row --------------------------------------------------------------------------------------


def test_a_row_is_named_by_texts_as_they_are_compared():
    """Capitals and blanks make no difference, noughts do: 7 and 07 are two cards of a checklist."""
    ada = Card("Base  Set", "base", "07", ("Ada",), (), False, None, "", "", False, False, "", 2)
    assert CHECKLIST.name_of(ada) == CHECKLIST.name_of(ada._replace(subset="BASE set", kind="insert"))
    assert CHECKLIST.name_of(ada) != CHECKLIST.name_of(ada._replace(number="7"))


def test_cells_are_the_same_card_whatever_a_spreadsheet_made_of_its_number():
    """07 became 7: what was taken in before is found again."""
    cells = ("Base", "base", "07", "Ada", "", "", "", "", "", "", "", "")
    for number in ("7", "007", "07"):
        other = (*cells[:2], number, *cells[3:])
        assert CHECKLIST.key_of(other) == CHECKLIST.key_of(cells) == ("base", "7")
        assert CHECKLIST.compared(other) == CHECKLIST.compared(cells)


@pytest.mark.parametrize(("number", "plain"), [("MV-05", "MV5"), ("041", "41"), ("1E5", "1E5"), ("0", "0")])
def test_a_number_is_plain_without_its_noughts_and_marks(number, plain):
    """A nought alone, and within a number, is one."""
    assert plain_number(number) == plain


# for notebooks -----------------------------------------------------------------------------------------


@every_table
def test_a_frame_has_the_tables_columns_filled_or_empty(table):
    """Of one type whatever stands in them."""
    rows, _ = table.parse(",".join(table.names) + "\n" + ",".join(cells_for(table)) + "\n")
    full, empty = table.frame(rows), table.frame(())
    assert list(full.columns) == list(empty.columns) == list(table.names)
    assert (len(full), len(empty)) == (1, 0)
    assert list(full.dtypes) == list(empty.dtypes)


def test_a_frame_keeps_what_the_table_says():
    """Whole numbers may be missing, marks are so or not, days and amounts stay exact."""
    header = "subset,kind,number,subjects,rookie,print_run\n"
    cards, _ = CHECKLIST.parse(f"{header}S,base,001,A / B,yes,5\nS,base,2,C,,\n")
    frame = CHECKLIST.frame(cards)
    assert list(frame["number"]) == ["001", "2"]
    assert list(frame["subjects"]) == ["A / B", "C"]
    assert list(frame["rookie"]) == [True, False]
    assert frame["print_run"].dtype == "Int64"
    assert frame["print_run"][0] == 5
    assert frame["print_run"][1] is pd.NA
    sales, _ = SALES.parse("date,price,title,postage\n2031-03-12,4.50,t,\n2031-03-13,0.10,t,1\n")
    frame = SALES.frame(sales)
    assert list(frame["date"]) == [date(2031, 3, 12), date(2031, 3, 13)]
    assert list(map(str, frame["price"])) == ["4.50", "0.10"]
    assert sum(frame["price"]) == Decimal("4.60")
    assert list(frame["postage"]) == [None, Decimal(1)]


def test_formats_stand_in_a_frame_as_in_the_file():
    """One text a cell, so that frames can be grouped and written."""
    rows, _ = PARALLELS.parse('subset,parallel,formats\nBase,Red,"hobby, retail"\nBase,Blue,\n')
    assert list(PARALLELS.frame(rows)["formats"]) == ["hobby retail", ""]


def test_prices_and_opened_boxes_have_frames_too():
    """Under the names of the file's columns, whatever the fields are called."""
    prices, _ = PRICES.parse("date,format,unit,kind,price\n2031-03-12,hobby,box,list,160\n")
    assert PRICES.frame(prices).loc[0, "date"] == date(2031, 3, 12)
    opened, _ = OPENED.parse("date,format,boxes,subset,count\n2031-03-20,hobby,6,Ink,4\n")
    assert OPENED.frame(opened).loc[0, "count"] == 4
