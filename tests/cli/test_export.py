"""`export`: where files go, what is said of them, and what is held back."""

from __future__ import annotations

import csv
import json

import pytest


@pytest.fixture
def recorded(run, small_season):
    for slug in ("deep-harbour", "high-water", "low-water"):
        assert run("grade", slug, "--record", "--season", small_season)[0] == 0
    return small_season


def embargo(season, slug, day):
    path = season / "releases" / slug / "release.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("[disclosure]", f"embargo = {day}\n[disclosure]", 1), encoding="utf-8")


@pytest.mark.parametrize("form", ["csv", "json", "md"])
def test_tables_go_into_a_folder_named_after_today(answer, recorded, form):
    """Three files; the answer names them, and nothing is held back."""
    got = answer("export", "tables", "--format", form, "--season", recorded)
    folder = recorded / "exports" / "2031-05-01"
    names = [f"{name}.{form}" for name in ("standings", "scores", "reasons")]
    assert got == {"format": 1, "written": [str(folder / name) for name in names], "held_back": {}}
    assert sorted(path.name for path in folder.iterdir()) == sorted(names)


def test_the_standings_table_says_what_the_standings_say(answer, recorded):
    """The same ranks, movement, grades and disclosure, under the same names as in JSON, blank for null."""
    answer("export", "tables", "--format", "csv", "--season", recorded)
    path = recorded / "exports" / "2031-05-01" / "standings.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    told = answer("standings", "--season", recorded)["standings"]
    for name in ("release", "title", "rank", "movement", "class_rank", "class", "stage", "verdict"):
        assert [row[name] for row in rows] == ["" if one[name] is None else str(one[name]) for one in told]
    assert [row["tied"] for row in rows] == ["yes" if one["tied"] else "" for one in told]
    assert [row["grade"] for row in rows] == [f"{one['grade']:.1f}" for one in told]
    assert all("I bought a box." in row["disclosure"] for row in rows)


def test_tables_as_json_are_json(answer, recorded):
    """Each file by itself."""
    answer("export", "tables", "--format", "json", "--season", recorded)
    for path in (recorded / "exports" / "2031-05-01").iterdir():
        assert json.loads(path.read_text(encoding="utf-8"))["format"] == 1


def test_the_workbook_is_one_file(run, recorded, monkeypatch):
    """Told relative to where one stands."""
    monkeypatch.chdir(recorded)
    code, out, err = run("export", "workbook")
    assert (code, out, err) == (0, "wrote exports/2031-05-01/season.xlsx\n", "")
    assert (recorded / "exports" / "2031-05-01" / "season.xlsx").read_bytes().startswith(b"PK")


def test_another_folder_can_be_named(run, recorded, tmp_path):
    """And what is there is replaced whole."""
    for _ in range(2):
        assert run("export", "tables", "--into", tmp_path / "out", "--season", recorded)[0] == 0
    assert len(list((tmp_path / "out").iterdir())) == 3
    assert [path.name for path in (recorded / "exports").iterdir()] == ["log.csv"]


@pytest.mark.parametrize("words", [("workbook",), ("tables", "--format", "md")])
def test_what_is_under_embargo_is_held_back_and_said(run, answer, recorded, words):
    """Until the day itself."""
    embargo(recorded, "high-water", "2031-05-02")
    code, _, err = run("export", *words, "--season", recorded)
    assert code == 0
    assert err == "remark: high-water is left out: it is under embargo until 2031-05-02\n"
    got = answer("export", *words, "--season", recorded)
    assert got["held_back"] == {"high-water": "2031-05-02"}
    for path in (recorded / "exports" / "2031-05-01").glob("*.md"):
        assert "High Water" not in path.read_text(encoding="utf-8")
    assert answer("export", *words, "--today", "2031-05-02", "--season", recorded)["held_back"] == {}


def test_a_wrong_format_is_told(refused, recorded):
    """And nothing is written."""
    words = ("export", "tables", "--format", "docx", "--season", recorded)
    assert "name one of csv, json, md" in refused(*words)
    assert not (recorded / "exports").exists()


@pytest.mark.parametrize("words", [("workbook",), ("tables",)])
def test_a_place_that_cannot_be_written_is_told(refused, recorded, tmp_path, words):
    """A file where the folder should be."""
    (tmp_path / "letter").write_text("mine", encoding="utf-8")
    refused("export", *words, "--into", tmp_path / "letter", "--season", recorded)
    assert (tmp_path / "letter").read_text(encoding="utf-8") == "mine"


def test_without_reviews_there_is_no_workbook(refused, small_season):
    """It says how to record one, and leaves no empty folder."""
    assert "grade RELEASE --record" in refused("export", "workbook", "--season", small_season)
    assert not (small_season / "exports").exists()
