"""`start`: a season folder that can be filled in."""

from __future__ import annotations

import tomllib

import pytest


def test_it_says_what_it_wrote_and_what_comes_next(run, tmp_path, monkeypatch):
    """Three files and an empty folder for releases."""
    monkeypatch.chdir(tmp_path)
    code, out, err = run("start", "mine")
    assert code == 0
    assert err.startswith("Next: boxwright add deep-harbour --season mine")
    assert out.splitlines()[:3] == [
        "wrote mine/season.toml", "wrote mine/rubric.toml", "wrote mine/help_lines.toml",
    ]  # fmt: skip
    assert sorted(path.name for path in (tmp_path / "mine").iterdir()) == [
        "help_lines.toml", "releases", "rubric.toml", "season.toml",
    ]  # fmt: skip
    assert tomllib.loads((tmp_path / "mine" / "season.toml").read_text(encoding="utf-8"))["name"] == "mine"


def test_the_json_answer(answer, tmp_path):
    """The folder and the files."""
    got = answer("start", tmp_path / "mine", "--name", "Harbour 2031")
    folder = str(tmp_path / "mine")
    files = ("season.toml", "rubric.toml", "help_lines.toml")
    assert got == {"format": 1, "season": folder, "written": [f"{folder}/{file}" for file in files]}


@pytest.mark.parametrize("name", ['Fog "31"', "a \\ b", "Øre – 2031", "@title@"])
def test_any_name_is_kept(answer, tmp_path, name):
    """Quotes, strokes and unusual letters do not break the file."""
    answer("start", tmp_path / "mine", "--name", name)
    assert tomllib.loads((tmp_path / "mine" / "season.toml").read_text(encoding="utf-8"))["name"] == name


def test_what_start_made_has_no_errors(run, tmp_path):
    """Not even before anything is filled in; one remark asks for help lines of the place."""
    run("start", tmp_path / "mine")
    code, out, _ = run("check", "--season", tmp_path / "mine")
    assert code == 0
    assert out.startswith("remark: help_lines.toml names no place yet that helps")
    assert out.endswith("0 errors, 1 remark: nothing stands in the way of a grade.\n")


def test_an_empty_folder_is_taken(run, tmp_path, monkeypatch):
    """Also the current one."""
    monkeypatch.chdir(tmp_path)
    assert run("start", ".", "--name", "Here")[0] == 0
    assert (tmp_path / "season.toml").is_file()


@pytest.mark.parametrize("place", ["full", "full/letter.txt"])
def test_a_place_that_holds_something_is_refused(refused, tmp_path, place):
    """And left as it was."""
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "letter.txt").write_text("mine", encoding="utf-8")
    assert "name a new or an empty folder" in refused("start", tmp_path / place, "--name", "Fog")
    assert [path.name for path in (tmp_path / "full").iterdir()] == ["letter.txt"]


@pytest.mark.parametrize("place", ["letter.txt/mine", "f" * 300])
def test_a_place_that_cannot_be_made_is_told(refused, tmp_path, place):
    """A folder inside a file, a name too long for the disk."""
    (tmp_path / "letter.txt").write_text("mine", encoding="utf-8")
    assert place[-20:] in refused("start", tmp_path / place, "--name", "Fog")


def test_a_name_with_hidden_marks_is_refused(refused, tmp_path):
    """A mark that turns the direction of writing is named, and nothing is made."""
    assert "U+202E" in refused("start", tmp_path / "mine", "--name", "Fog \u202e1302")
    assert not (tmp_path / "mine").exists()


def test_without_a_folder_it_is_a_wrong_call(run):
    """Exit code 2, with the way to call it."""
    code, out, err = run("start")
    assert (code, out) == (2, "")
    assert "DIR" in err
