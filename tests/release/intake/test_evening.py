"""An invented maker's messy files come out exactly as they should, and no row is lost."""

from __future__ import annotations

import csv
import json
import shutil
import tomllib
from datetime import date
from pathlib import Path

import openpyxl
import pytest

from rating.errors import RatingError
from rating.release.intake import SeasonWords, take_in
from rating.season import folder

DATA = Path(__file__).parent / "data" / "halyard"
TODAY = date(2031, 5, 30)
FILES = [DATA / name for name in ("checklist.xlsx", "odds.xlsx", "sold.csv", "sell_sheet.txt")]


def started(place):
    """The folder of a release in a season that was just laid out."""
    season = place / "season"
    folder.start(season, name="Lantern Coast")
    folder.add(season, "halyard", title="Wickfield 2031 Halyard Roller Hockey")
    return season / "releases" / "halyard"


@pytest.fixture
def release(tmp_path):
    return started(tmp_path)


@pytest.fixture(scope="module")
def first(tmp_path_factory):
    """What the first intake of all files answers, and the release that it filled."""
    release = started(tmp_path_factory.mktemp("first"))
    return take(release), release


@pytest.fixture
def taken(first, release):
    """A release that all files were taken into, for a test to change."""
    shutil.copytree(first[1], release, dirs_exist_ok=True)
    return release


def take(release, files=FILES, **options):
    return take_in(release, files, season=SeasonWords(), today=TODAY, **options)


def test_the_tables_come_out_exactly(first):
    """423 cards in nine subsets, parallels and odds as written by hand in tidy/."""
    result, release = first
    for name in ("checklist.csv", "parallels.csv", "odds.csv"):
        assert (release / name).read_text(encoding="utf-8") == (DATA / "tidy" / name).read_text(
            encoding="utf-8"
        )
    assert result.tables["checklist.csv"] == 423
    assert {(one.sheet, one.row) for one in result.set_aside if one.file == "checklist.xlsx"} == {
        ("Master CL", 480),
        ("Master CL", 481),
    }


def test_slabs_are_told_from_raw_cards(first):
    """As many as the answers have, each of them the right one."""
    _, release = first
    answers = json.loads((DATA / "answers.json").read_text(encoding="utf-8"))["sold"]
    slabs = {(one["title"], one["date"]) for one in answers if one["slab"]}
    with (release / "sales.csv").open(encoding="utf-8", newline="") as file:
        found = {(row["title"], row["date"]) for row in csv.DictReader(file) if row["condition"] == "slabbed"}
    assert found == slabs


def test_every_row_is_accounted_for(first):
    """Taken, set aside, or a problem: for each sheet the numbers add up to its rows."""
    result, _ = first
    assert len(result.tallies) == 4
    for one in result.tallies:
        assert sum(one.taken.values()) + one.set_aside + one.problems == one.rows
    rows = openpyxl.load_workbook(DATA / "checklist.xlsx")["Master CL"].max_row
    assert next(one.rows for one in result.tallies if one.file == "checklist.xlsx") == rows


def test_the_sell_sheet_is_proposed_and_taken_when_told(taken):
    """Nothing is written unasked; with yes the sure ones are, and the comments stay."""
    before = (taken / "release.toml").read_text(encoding="utf-8")
    assert "[formats.hobby]\nname" not in before.replace("# ", "#")
    take(taken, [DATA / "sell_sheet.txt"], yes=True)
    text = (taken / "release.toml").read_text(encoding="utf-8")
    hobby = tomllib.loads(text)["formats"]["hobby"]
    assert (hobby["cards_per_pack"], hobby["packs_per_box"], hobby["boxes_per_case"]) == (8, 14, 10)
    promised = {
        (one["what"], float(one["count"]), one["per"], one["certainty"]) for one in hobby["guarantees"]
    }
    assert {
        ("autograph", 3, "box", "average"),
        ("relic", 1, "box", "average"),
        ("autograph relic", 0.5, "box", "average"),
        ("parallel", 1, "pack", "hard"),
    } <= promised
    assert "# How you came by it." in text


def test_a_second_run_changes_nothing(taken):
    """The same files again: no row added, removed or altered, and every byte as it was."""
    before = {path.name: path.read_bytes() for path in taken.iterdir()}
    result = take(taken)
    assert result.changed == {"added": 0, "removed": 0, "altered": 0}
    for name in ("checklist.csv", "parallels.csv", "odds.csv", "sales.csv"):
        assert (taken / name).read_bytes() == before[name]


def test_hand_edits_are_kept_and_named_unless_replaced(taken):
    """What a person wrote in a table since stays; `replace` lets the files go first."""
    path = taken / "checklist.csv"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("Orla Łowicz", "Orla Lowicz", 1), encoding="utf-8")
    result = take(taken)
    assert "Orla Lowicz" in path.read_text(encoding="utf-8")
    assert result.kept
    take(taken, replace=True)
    assert path.read_text(encoding="utf-8") == text


def test_a_new_version_tells_what_changed(taken, tmp_path):
    """One card renamed in the maker's next list; three sales of hers by her old name are matched anew."""
    book = openpyxl.load_workbook(DATA / "checklist.xlsx")
    sheet = book["Master CL"]
    cells = [cell for row in sheet.iter_rows() for cell in row if cell.value == "Maddoc Núñez-Holm"]
    cells[0].value = "Maddoc Nunwick"
    book.save(tmp_path / "checklist.xlsx")
    result = take(taken, [tmp_path / "checklist.xlsx"])
    assert [one.key for one in result.changes if one.table == "checklist.csv"] == [("Base", "001")]
    anew = [one for one in result.changes if one.table == "sales.csv"]
    assert len(anew) == 3
    assert all("Maddoc Núñez-Holm" in one.key[1] and "001" in one.before for one in anew)
    assert not any("001" in one.after[:4] for one in anew)
    assert json.loads((taken / "intake.json").read_text(encoding="utf-8"))["format"] == 1


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("cut.xlsx", b"PK\x03\x04 and then nothing"),
        ("empty.csv", b""),
        ("picture.png", b"\x89PNG\r\n\x1a\n" + bytes(200)),
    ],
)
def test_what_is_no_table_is_refused_and_nothing_changes(taken, tmp_path, name, content):
    """One clear message; the tables stay as they were."""
    before = {path.name: path.read_bytes() for path in taken.iterdir()}
    (tmp_path / name).write_bytes(content)
    with pytest.raises(RatingError) as caught:
        take(taken, [tmp_path / name])
    assert name in str(caught.value)
    assert caught.value.fix
    assert {path.name: path.read_bytes() for path in taken.iterdir()} == before


def test_a_workbook_with_an_entity_bomb_or_a_macro_is_refused_by_the_part(release, tmp_path):
    """The part is named (XML entity expansion; vbaProject)."""
    import zipfile

    for part, content in (
        ("xl/vbaProject.bin", b"macro"),
        ("xl/styles.xml", b'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>'),
    ):
        bad = tmp_path / "bad.xlsx"
        with zipfile.ZipFile(DATA / "odds.xlsx") as old, zipfile.ZipFile(bad, "w") as new:
            for one in old.namelist():
                if one != part:
                    new.writestr(one, old.read(one))
            new.writestr(part, content)
        with pytest.raises(RatingError) as caught:
            take(release, [bad])
        assert part.rsplit("/", 1)[-1].split(".")[0].lower() in str(caught.value).lower()


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_a_plain_list_is_read_in_any_usual_form(tmp_path, encoding, mark):
    """Last, First; team codes, one of them NA; a rookie column; numbers as they stand."""
    season = tmp_path / "s"
    folder.start(season, name="Any")
    folder.add(season, "any", title="Any 2031")
    quoted = '"Zennor, Corin"'
    lines = [
        ["Set", "Card #", "Player", "Team", "RC"],
        ["Base Set", "001", quoted, "BQO", "RC"],
        ["Base Set", "002", '"Hollis, Ada"', "NA", ""],
        ["Base Set", "003", '"Łowicz, Orla"' if encoding != "cp1252" else '"Søgaard, Fenna"', "NA", ""],
    ]
    path = tmp_path / "list.csv"
    path.write_bytes(("\r\n".join(mark.join(line) for line in lines) + "\r\n").encode(encoding))
    from rating.release.intake import TeamWords

    words = SeasonWords(
        teams=(
            TeamWords(name="Brindle Quay Otters", code="BQO"),
            TeamWords(name="Nacre Bay Divers", code="NA"),
        )
    )
    take_in(season / "releases" / "any", [path], season=words, today=TODAY)
    with (season / "releases" / "any" / "checklist.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(row["number"], row["teams"], row["rookie"], row["kind"]) for row in rows] == [
        ("001", "Brindle Quay Otters", "yes", "base"),
        ("002", "Nacre Bay Divers", "", "base"),
        ("003", "Nacre Bay Divers", "", "base"),
    ]
    assert [row["subjects"] for row in rows][:2] == ["Corin Zennor", "Ada Hollis"]


def test_the_files_of_the_test_are_left_alone(release):
    """An intake reads; it never writes where the maker's files lie."""
    copy = release.parent.parent / "maker"
    shutil.copytree(DATA, copy)
    before = {path.name: path.read_bytes() for path in copy.iterdir() if path.is_file()}
    take(release, [copy / path.name for path in FILES])
    assert {path.name: path.read_bytes() for path in copy.iterdir() if path.is_file()} == before
