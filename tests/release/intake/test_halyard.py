"""One maker's files come out exactly as the tables and answers that came with them."""

from __future__ import annotations

import json
import shutil
from datetime import date

import pytest

from rating.release.intake import SeasonWords, take_in

FILES = ("checklist.xlsx", "odds.xlsx", "sold.csv", "sell_sheet.txt")


@pytest.fixture
def answers(halyard):
    return json.loads((halyard / "answers.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def first(halyard, tmp_path_factory):
    """What an intake of all files answers, and the folder that it wrote."""
    folder = tmp_path_factory.mktemp("release")
    files = [halyard / name for name in FILES]
    return take_in(folder, files, season=SeasonWords(currency="USD"), today=date(2031, 7, 15)), folder


@pytest.fixture
def taken(first, release):
    """The answer, and the tables in a release folder that a test may change."""
    answer, folder = first
    shutil.copytree(folder, release, dirs_exist_ok=True)
    return answer


@pytest.mark.parametrize("name", ["checklist.csv", "parallels.csv", "odds.csv"])
def test_the_tables_are_the_tidy_ones(name, halyard, taken, table):
    """Byte for byte."""
    assert table(name) == (halyard / "tidy" / name).read_text(encoding="utf-8")


def test_the_two_rows_outside_any_subset_are_set_aside(taken, answers):
    """With sheet, row and the reason that the answers give."""
    found = [one for one in taken.set_aside if one.file == "checklist.xlsx"]
    assert [(one.sheet, one.row) for one in found] == [
        (one["sheet"], one["row"]) for one in answers["set_aside"]
    ]
    for one, answer in zip(found, answers["set_aside"], strict=True):
        assert answer["what"] in one.why


def test_every_sale_is_matched_as_the_answers_say(taken, answers, table):
    """At least 98 in 100 right and at most 3 in 1,000 wrong; slabs are told apart."""
    import csv
    import io
    from collections import Counter

    sales = list(csv.DictReader(io.StringIO(table("sales.csv"))))
    there = Counter(
        (
            one["title"],
            one["date"],
            one["price"],
            one["subset"],
            one["parallel"],
            one["number"],
            one["condition"],
        )
        for one in sales
    )
    wanted = Counter(
        (
            one["title"],
            one["date"],
            one["price"],
            one["subset"],
            one["parallel"],
            one["number"],
            "slabbed" if one["slab"] else "raw",
        )
        for one in answers["sold"]
    )
    right = sum((there & wanted).values())
    matched = sum(bool(one["subset"]) for one in sales)
    assert right >= 0.98 * len(answers["sold"])
    assert matched - right <= 0.003 * len(answers["sold"]) + 1  # the presale is in none of the answers


def test_what_is_no_sale_of_a_card_is_set_aside_with_its_reason(taken):
    """A lot, a sealed box, a complete set, an asking price, a removed listing."""
    found = {one.row: one.why for one in taken.set_aside if one.file == "sold.csv"}
    assert found == {
        219: "removed or cancelled listing",
        299: "a lot of several cards",
        641: "a sealed box, pack or case",
        646: "a complete set",
        938: "asking price, not a sale",
    }


def test_the_presale_is_kept_and_flagged(taken):
    """It is from before the release date that the sell sheet gives."""
    assert [(file, row) for file, row, _ in taken.presales] == [("sold.csv", 500)]


def test_a_second_run_changes_nothing(halyard, taken, intake, release):
    """No table, no record, not even its time stamp."""
    before = {path.name: (path.read_bytes(), path.stat().st_mtime_ns) for path in release.iterdir()}
    again = intake(*(halyard / name for name in FILES))
    assert again.changed == {"added": 0, "removed": 0, "altered": 0}
    assert again.written == ()
    after = {path.name: (path.read_bytes(), path.stat().st_mtime_ns) for path in release.iterdir()}
    assert after == before


def test_every_row_of_every_file_is_accounted_for(halyard, taken):
    """The counts add up to the rows that a spreadsheet program and a text editor show."""
    import csv

    with (halyard / "sold.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = {"sold.csv": len(list(csv.reader(file)))}
    rows["sell_sheet.txt"] = len((halyard / "sell_sheet.txt").read_text(encoding="utf-8").splitlines())
    import openpyxl

    for name in ("checklist.xlsx", "odds.xlsx"):
        rows[name] = openpyxl.load_workbook(halyard / name).active.max_row
    for one in taken.tallies:
        assert one.rows == rows[one.file], one.file
        assert sum(one.taken.values()) + one.set_aside + one.problems == one.rows
    assert sum(one.rows for one in taken.set_aside) == sum(one.set_aside for one in taken.tallies)


def test_the_report_names_what_was_done_and_what_was_not(taken):
    """Cards, sales, and each row set aside with its place."""
    from rating.release.intake import report

    told = "\n".join(report.lines(taken))
    for words in (
        "checklist.xlsx, sheet Master CL: 481 rows, read as a checklist: 423 cards",
        "checklist.csv: new, 423 cards.",
        "sheet Master CL, row 481: 999 | Marlow Unlisted | Harbour Town Kestrels",
        "1 sale from before the release is kept (presale)",
        "For release.toml and prices.csv; --yes writes it there:",
    ):
        assert words in told
