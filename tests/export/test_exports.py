"""What is handed out: the workbook and the plain tables of the sample season."""

from __future__ import annotations

import csv
import json
from datetime import UTC, date, datetime
from decimal import Decimal

import openpyxl
import pytest

from rating import tenths
from rating.doubt.ranges import percent_text, ranges
from rating.errors import RatingError
from rating.export.tables import write_tables
from rating.export.workbook import workbook_bytes, write_workbook
from rating.export.workbook.cells import sheet_names
from rating.season.season import Season

EVIL = ("=1+1", "+1", "-1+2", "@SUM(A1)", "\t=1", '=HYPERLINK("x")')


@pytest.fixture(scope="module")
def season(module_season):
    return Season.open(module_season)


@pytest.fixture(scope="module")
def book(season):
    path = season.path / "season.xlsx"
    write_workbook(season, path)
    return openpyxl.load_workbook(path, data_only=True)


def named(book, name):
    sheet, area = next(iter(book.defined_names[name].destinations))
    cells = book[sheet][area.replace("$", "")]
    return [[cell.value for cell in row] for row in cells]


def test_the_named_ranges_hold_the_season(season, book):
    """Weights, scores, grades, ranks and slugs stand where scripts look for them."""
    rows = season.rank()
    assert [row[0] for row in named(book, "releases")] == [one.release for one in rows]
    assert [Decimal(str(row[0])) * 10 for row in named(book, "grades")] == [one.grade for one in rows]
    assert [row[0] or None for row in named(book, "ranks")] == [one.rank for one in rows]
    assert [round(one * 10) for one in named(book, "weights")[0]] == [
        one.points for one in season.rubric.criteria
    ]
    kept = season.recorded.ledger.scores([one.seq for one in rows])
    for one, row in zip(rows, named(book, "scores"), strict=True):
        given = {scored.criterion: scored.score for scored in kept[one.seq]}
        assert row == [given.get(weighted.key) for weighted in season.rubric.criteria]


def test_only_points_and_the_rows_of_the_standings_are_unlocked(season, book):
    """Points and scores can be changed; the rows, hidden parts too, since sorting needs them unlocked."""
    unlocked = {
        (sheet.title, cell.coordinate)
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if not cell.protection.locked
    }
    sheet, area = next(iter(book.defined_names["weights"].destinations))
    cells = {(sheet, cell.coordinate) for row in book[sheet][area.replace("$", "")] for cell in row}
    scores, area = next(iter(book.defined_names["scores"].destinations))
    lines = book[scores][area.replace("$", "")]
    last = book[scores].max_column
    cells |= {
        (scores, book[scores].cell(line[0].row, column).coordinate)
        for line in lines
        for column in range(1, last + 1)
    }
    assert unlocked == cells
    assert book["Standings"].auto_filter.ref == f"A8:{book[scores].cell(lines[-1][0].row, last).coordinate}"
    assert not book["Standings"].protection.sort
    assert not book["Standings"].protection.autoFilter
    assert all(sheet.protection.sheet for sheet in book if sheet.sheet_state == "visible")


def test_the_same_season_gives_the_same_bytes(season):
    """Nothing in the file comes from the clock."""
    assert workbook_bytes(season) == workbook_bytes(season)


def test_every_reason_and_disclosure_is_in_the_workbook(season, book):
    """What was said of a release stands on its sheet and among the reasons."""
    texts = {cell.value for row in book["Reasons"].iter_rows() for cell in row}
    for one in season.rank():
        review = season.recorded.ledger.review(one.review)
        assert {score.reason for score in review.scores} <= texts
        own = " ".join(str(cell.value) for row in book[one.release].iter_rows() for cell in row if cell.value)
        assert review.disclosure.sentence in own
        assert "not investment advice" in own


def edited(season, tmp_path, words):
    """A season of one release whose texts all begin like a formula."""
    from rating.season import folder
    from rating.season.season import Season

    path = tmp_path / "evil"
    folder.start(path, name=f"{words.strip()} season")
    folder.add(path, "evil", title=f"{words.strip()} title")
    release = path / "releases" / "evil"
    (release / "release.toml").write_text(
        f"""format = 1
title = {json.dumps(words + " title")}
maker = {json.dumps(words + " maker")}
line = {json.dumps(words + " line")}
date = 2031-03-12
[disclosure]
how_obtained = ["bought"]
sentence = {json.dumps(words + " sentence.")}
""",
        encoding="utf-8",
    )
    (release / "scores.toml").write_text(
        "format = 1\n"
        + "".join(
            f"[me.{key}]\nscore = 60\nreason = {json.dumps(words + ' ' + key)}\n"
            for key in ("chase", "scarcity", "returns", "building", "opening", "design", "finish")
        ),
        encoding="utf-8",
    )
    made = Season.open(path, today=season.today)
    made.record(made.grade("evil"), now=datetime.now(UTC))
    return made


@pytest.mark.parametrize("words", EVIL)
def test_text_from_people_is_never_a_formula(season, tmp_path, words):
    """In the workbook it is a typed string; in CSV an apostrophe stands before it (OWASP, CSV Injection)."""
    made = edited(season, tmp_path, words)
    write_workbook(made, tmp_path / "evil.xlsx")
    book = openpyxl.load_workbook(tmp_path / "evil.xlsx")
    shown = words.strip()
    found = [
        cell
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if isinstance(cell.value, str) and cell.value.startswith(shown + " ")
    ]
    assert found
    assert {cell.data_type for cell in found} == {"s"}
    paths = write_tables(made, tmp_path / "out", "csv")
    for path in paths:
        with path.open(encoding="utf-8", newline="") as file:
            cells = [cell for row in list(csv.reader(file))[1:] for cell in row]
        hits = [cell for cell in cells if shown + " " in cell]
        assert all(cell.startswith(("'", "How")) for cell in hits)


@pytest.mark.parametrize("form", ["csv", "json", "md"])
def test_tables_say_the_same_digits_as_the_ledger(season, tmp_path, form):
    """Place and grade of every release stand in each form to the last digit."""
    paths = {path.stem: path.read_text(encoding="utf-8") for path in write_tables(season, tmp_path, form)}
    assert set(paths) == {"standings", "scores", "reasons"}
    for one in season.rank():
        assert one.title in paths["standings"]
        assert tenths.show(one.grade) in paths["standings"]
    if form == "json":
        rows = json.loads(paths["standings"])["standings"]
        assert [row["grade"] for row in rows] == [one.grade / 10 for one in season.rank()]
        assert [row["rank"] for row in rows] == [one.rank for one in season.rank()]
        assert [row["movement"] for row in rows] == [one.movement for one in season.rank()]
    if form == "md":
        assert "not investment advice" in paths["reasons"]


@pytest.mark.parametrize("form", ["csv", "json", "md"])
def test_every_table_says_how_each_release_was_come_by(season, tmp_path, form):
    """A file may travel alone: standings, scores and reasons each carry every disclosure in full."""
    for path in write_tables(season, tmp_path, form):
        content = path.read_text(encoding="utf-8").replace("\\", "").replace('""', '"')
        for one in season.rank():
            assert season.recorded.ledger.review(one.review).disclosure.sentence in content


def test_what_is_to_come_under_embargo_is_not_announced(season, tmp_path):
    """The list of releases to come leaves out what may not be spoken of yet."""
    slug = next(one for one, _ in season.to_come() if one not in season.held_back())
    path = season.path / "releases" / slug / "release.toml"
    before = path.read_text(encoding="utf-8")
    try:
        path.write_text(before.replace("\ntitle =", "\nembargo = 2031-12-01\ntitle =", 1), encoding="utf-8")
        held = Season.open(season.path)
        assert slug in held.held_back()
        table = next(one for one in write_tables(held, tmp_path, "json") if one.stem == "standings")
        come = [row["release"] for row in json.loads(table.read_text(encoding="utf-8"))["to_come"]]
        assert come == [one for one, _ in season.to_come() if one not in held.held_back()]
    finally:
        path.write_text(before, encoding="utf-8")


def test_what_is_under_embargo_is_in_no_export(season, tmp_path):
    """Before its day nothing of it is handed out; from that day on it is."""
    path = season.path / "releases" / "halyard" / "release.toml"
    before = path.read_text(encoding="utf-8")
    try:
        path.write_text(before.replace("headline =", "embargo = 2031-08-01\nheadline =", 1), encoding="utf-8")
        held = Season.open(season.path)
        assert "halyard" in held.held_back()
        for form in ("csv", "json", "md"):
            for table in write_tables(held, tmp_path / form, form):
                content = table.read_text(encoding="utf-8")
                assert "Wickfield 2031 Halyard Roller" not in content
                assert not [
                    line for line in content.splitlines() if line.startswith(("halyard,", "| halyard"))
                ]
                assert '"release": "halyard"' not in content
        write_workbook(held, tmp_path / "held.xlsx")
        book = openpyxl.load_workbook(tmp_path / "held.xlsx", data_only=True)
        texts = [str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row if cell.value]
        assert not [one for one in texts if "Wickfield 2031 Halyard Roller" in one]
        later = Season.open(season.path, today=date(2031, 8, 1))
        assert "halyard" not in later.held_back()
    finally:
        path.write_text(before, encoding="utf-8")


def test_a_season_without_reviews_is_refused(tmp_path):
    """There is nothing to show, and the message says what to do."""
    from rating.season import folder

    folder.start(tmp_path / "new", name="New")
    with pytest.raises(RatingError, match="no review to show"):
        write_workbook(Season.open(tmp_path / "new"), tmp_path / "x.xlsx")
    assert not (tmp_path / "x.xlsx").exists()


def test_sheet_names_are_short_allowed_and_different():
    """31 characters, none of []:*?/\\, none twice without regard to capitals (the format's limits)."""
    names = list(sheet_names(["a" * 40, "A" * 40, "x/y", "history"], taken=["Standings"]))
    assert len({name.casefold() for name in names}) == 4
    assert all(len(name) <= 31 and not set(name) & set("[]:*?/\\") for name in names)
    assert names[3].casefold() != "history"


def test_the_sheet_how_sure_says_what_the_ranges_say(season, book):
    """The same numbers as `Season.ranges`, as values with their day, and none of what is under embargo."""
    held = season.held_back()
    shown = [one for one in season.recorded.entries if one.release not in held]
    found = ranges(season.table(entries=shown))
    cells = [[cell.value for cell in row] for row in book["How sure"].iter_rows(min_row=6)]
    rows = cells[: len(found.rows)]
    assert [row[2:6] for row in rows] == [
        [one.low, one.high, one.low_at_once, one.high_at_once] for one in found.rows
    ]
    assert [row[0] for row in rows] == [int(one.place.removeprefix("=")) for one in found.rows]
    assert [row[6] for row in rows] == [percent_text(one.kept) for one in found.rows]
    assert rows[0][8] == percent_text(found.rows[0].shares[0])
    assert f"Values as of {season.today.isoformat()}" in book["How sure"]["A3"].value
    assert not any(cell.data_type == "f" for row in book["How sure"].iter_rows() for cell in row)
