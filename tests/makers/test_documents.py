"""Documents hold what they should: read again by csv and openpyxl alone, damaged or not."""

from __future__ import annotations

import csv
import io
import re
from datetime import date
from decimal import Decimal

import openpyxl
import pytest

from makers.dice import Dice
from makers.documents.containers import to_bytes
from makers.documents.damage import damage, insert
from makers.documents.grid import File, Line, Notes, Sheet
from makers.documents.layout import draw_layout
from makers.documents.phrases import amount, day_text, ordinal, run_text
from makers.documents.words import FOREIGN, ODD, USUAL, headings
from makers.maker import make

PLAIN = {
    "typed teams": "full", "one workbook": "no", "cover sheet": "no", "titles above": "no",
    "headings": "usual",
    "shuffled": "no", "constants": "0", "row index": "no", "empty column": "no", "two subset columns": "no",
    "subset cells": "every", "footnotes": "no", "page breaks": "no", "person": "plain",
    "initials for hits": "no",
    "split names": "no", "team": "full", "team mark": "", "team place": "column", "teams listed anyway": "no",
    "pairs": "stroke", "teams of pairs": "in order", "number sign": "", "number glued": "no",
    "rookies": "column",
    "rookies in base only": "no", "redemptions": "column", "runs": "column", "short prints": "column",
    "run form": "stroke", "kinds": "column", "ladders": "table", "sections": "no", "counts": "no",
    "banner": "plain", "numbers as such": "no", "damage: widths": "no", "damage: quote": "no",
    "damage: encodings": "no", "damage: duplicates": "no", "damage: line ends": "no", "damage: blanks": "no",
    "damage: spaces": "no", "damage: NUL": "no",
}  # fmt: skip
SEEDS = (601, 602, 603, 604)


def _rows_of_workbook(content):
    book = openpyxl.load_workbook(io.BytesIO(content))
    return [
        ["" if cell is None else str(cell) for cell in row]
        for row in book.worksheets[0].iter_rows(values_only=True)
    ]


def _is(heading, name):
    return heading in USUAL[name]


@pytest.mark.parametrize("seed", SEEDS)
def test_a_plain_workbook_read_again_gives_the_truth(seed):
    """One table under usual headings: every column of every card, by openpyxl and a reading of our own."""
    maker = make(seed, PLAIN | {"arrangement": "one", "checklist in": "xlsx"})
    case = maker.case()
    name = next(file.name for file in maker.documents if file.purpose == "checklist")
    head, *rows = _rows_of_workbook(case.files[name])
    column = {
        ours: next((at for at, text in enumerate(head) if _is(text, ours)), None)
        for ours in ("subset", "number", "person", "team", "run", "rookie", "redemption")
    }
    truth = maker.truth.tables["checklist"]
    assert len(rows) == len(truth)
    for row, card in zip(rows, truth, strict=True):
        told = {ours: row[at] if at is not None else "" for ours, at in column.items()}
        assert (told["subset"], told["number"]) == (card["subset"], card["number"])
        assert told["person"] == card["subjects"]
        assert told["team"] in {card["teams"], card["teams"].split(" / ")[0]}
        assert told["run"].removeprefix("/") == card["print_run"] or (told["run"], card["print_run"]) == (
            "1/1",
            "1",
        )
        assert bool(told["redemption"]) == bool(card["redemption"])
        assert not told["rookie"] or card["rookie"]
    flagged = {row[column["person"]] for row in rows if row[column["rookie"]]}
    assert flagged == {card["subjects"] for card in truth if card["rookie"]}


@pytest.mark.parametrize("seed", SEEDS)
def test_a_plain_csv_of_blocks_read_again_gives_the_truth(seed):
    """Blocks under banners: a row of one cell is a subset's name, by csv and a reading of our own."""
    fixed = {"arrangement": "stacked", "checklist in": "csv", "encoding": "utf-16", "headings again": "no"}
    maker = make(seed, PLAIN | fixed)
    file = next(file for file in maker.documents if file.purpose == "checklist")
    text = to_bytes(file).decode("utf-16" if file.encoding == "utf-16" else "utf-8")
    head, *rows = csv.reader(io.StringIO(text, newline=""), delimiter=file.delimiter)
    number, person = (
        next(at for at, told in enumerate(head) if _is(told, name)) for name in ("number", "person")
    )
    subset, found = "", []
    for row in rows:
        if len(row) == 1:
            subset = row[0]
        elif len(row) > 1:
            found.append((subset, row[number], row[person]))
    truth = [(card["subset"], card["number"], card["subjects"]) for card in maker.truth.tables["checklist"]]
    assert found == truth


@pytest.mark.parametrize("seed", SEEDS)
def test_plain_odds_and_sales_read_again_give_the_truth(seed):
    """A long table of odds and a sold list under usual headings, by openpyxl and csv."""
    fixed = {
        "odds": "long", "odds in": "xlsx", "odds labels": "apart", "odds names": "same", "odds per box": "no",
        "odds form": "colon", "decimal comma": "no", "odds footnote": "no", "base version": "blank",
        "sold": "table",
        "sold in": "csv", "sold dates": "same", "sold preamble": "no", "sums below": "no",
        "encoding": "utf-8",
    }  # fmt: skip
    maker = make(seed, PLAIN | fixed)
    case = maker.case()
    files = {file.purpose: file for file in maker.documents}
    _, *rows = _rows_of_workbook(case.files[files["odds"].name])
    told = sorted(
        (row[0], row[1], row[2].casefold(), row[3].removeprefix("1:").replace(",", "")) for row in rows
    )
    truth = maker.truth.tables["odds"]
    assert told == sorted(
        (row["subset"], row["parallel"], row["format"].casefold(), row["packs_per_copy"]) for row in truth
    )
    text = case.files[files["sold"].name].decode(files["sold"].encoding)
    head, *rows = csv.reader(io.StringIO(text, newline=""), delimiter=files["sold"].delimiter)
    title, price = (
        next(at for at, told in enumerate(head) if _is(told, name)) for name in ("title", "price")
    )
    amounts = [float(re.sub(r"[^\d.]", "", row[price])) for row in rows]
    assert [row[title] for row in rows] == [row["title"] for row in maker.truth.tables["sales"]]
    assert amounts == [float(row["price"]) for row in maker.truth.tables["sales"]]


def test_every_undamaged_file_reads_back_cell_by_cell(makers):
    """Workbooks by openpyxl, tables by csv, texts line by line, in the encodings they were written in."""
    read = set()
    for maker in makers[:14]:
        for file in maker.documents:
            damaged = any(
                line.raw is not None or line.ending or line.encoding
                for sheet in file.sheets
                for line in sheet.lines
            )
            content = to_bytes(file)
            if file.container == "xlsx":
                book = openpyxl.load_workbook(io.BytesIO(content))
                assert book.sheetnames == [sheet.title for sheet in file.sheets]
                assert not any(sheet.merges for sheet in file.sheets) or any(
                    page.merged_cells.ranges for page in book
                )
                for sheet, page in zip(file.sheets, book, strict=True):
                    _same_cells(sheet, page)
            elif not damaged:
                text = content.decode(
                    {"utf-16": "utf-16", "utf-8-sig": "utf-8-sig"}.get(file.encoding, file.encoding)
                )
                lines = file.sheets[0].lines
                if file.sheets[0].is_table:
                    told = list(csv.reader(io.StringIO(text, newline=""), delimiter=file.delimiter))
                    assert told == [
                        ["" if cell is None else str(cell) for cell in line.cells] for line in lines
                    ]
                else:
                    assert text == "".join(line.text + file.newline for line in lines)
            read.add((file.container, file.encoding))
    assert {("xlsx", "utf-8"), ("csv", "utf-16"), ("txt", "utf-8")} <= read


def _same_cells(sheet, page):
    inside = {(row, column) for column, first, last in sheet.merges for row in range(first + 1, last + 1)}
    for row, line in enumerate(sheet.lines):
        for column, cell in enumerate(line.cells):
            if cell not in {None, ""} and (row, column) not in inside:
                told = page.cell(row + 1, column + 1).value
                assert (told.date() if isinstance(cell, date) else told) == cell


FLAWS = {
    "damage: quote": "a quote that never closes",
    "damage: encodings": "mixed encodings",
    "damage: line ends": "odd line ends",
    "damage: NUL": "NUL",
    "damage: widths": "rows of another width",
    "damage: blanks": "blank rows",
    "damage: duplicates": "duplicated rows",
    "damage: spaces": "stray spaces",
    "page breaks": "page breaks",
}


@pytest.mark.parametrize("choice", FLAWS)
def test_damage_leaves_what_was_said_readable(choice):
    """The flaw is noted and shows in the file; every name and number can still be read in its bytes."""
    names = [f"Zoë Quill{number}" for number in range(40)]
    lines = [Line(["No.", "Who", "Price"], role="heading")]
    lines += [Line([str(n), name, "1,50"], role="card") for n, name in enumerate(names, start=1)]
    file = File("list.csv", "checklist", "csv", [Sheet("List", lines)], delimiter=";")
    before = to_bytes(file)
    layout = draw_layout(1, {name: "yes" if name == choice else "no" for name in FLAWS})
    notes = Notes()
    damage(5, [file], layout, notes)
    after = to_bytes(file)
    assert notes.features == {FLAWS[choice]}
    assert after != before
    text = after.decode("utf-8", errors="surrogateescape").encode("utf-8", "surrogateescape")
    told = re.sub(rb"\xeb(?= |$)", "ë".encode(), text).decode("utf-8").replace("\u200b", "")
    for number, name in enumerate(names, start=1):
        assert name in told
        assert re.search(rf"(?<!\d){number}(?!\d)", told)


def test_a_line_put_into_a_merge_stretches_it():
    """One above moves it, one below leaves it."""
    lines = [Line([str(n)]) for n in range(6)]
    for at, merge in ((0, (0, 3, 5)), (3, (0, 2, 5)), (5, (0, 2, 4))):
        sheet = Sheet("S", list(lines), merges=[(0, 2, 4)])
        insert(sheet, at, Line(["new"]))
        assert sheet.merges == [merge]


def test_runs_days_and_amounts_in_words():
    """By hand."""
    layout = draw_layout(1, {"decimal comma": "yes", "date order": "month first"})
    assert amount(Decimal("1559.88"), layout) == "1.559,88"
    assert day_text(date(2031, 3, 9), layout, "numeric") == "03/09/2031"
    assert day_text(date(2031, 3, 9), layout, "long") == "9 March 2031"
    assert [run_text(1, form) for form in ("stroke", "to")] == ["1/1", "one of one"]
    assert run_text(75, "hash") == "#'d 75"
    assert [ordinal(number) for number in (6, 21, 22, 112)] == ["sixth", "21st", "22nd", "112th"]


def test_headings_in_every_style():
    """From their own list, the same word twice, missing, or a code; never so many as to lose a column."""
    columns = ["number", "person", "team", "subset", "person 2"]
    for style, known in (("odd", ODD), ("foreign", FOREIGN), ("usual", USUAL)):
        told = headings(Dice(1), style, columns, Notes())
        assert all(text in known[name] for text, name in zip(told, columns[:4], strict=False))
        assert told[4] == f"{told[1]} 2"
    repeated = headings(Dice(2), "repeated", columns, Notes())
    assert len(set(repeated)) < len(repeated)
    codes = headings(Dice(3), "codes", columns, Notes())
    assert len(set(codes)) == len(columns)
    assert any("" in headings(Dice(seed), "gaps", columns, Notes()) for seed in range(5))
