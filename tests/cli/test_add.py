"""`add`: a release with templates, under a name that stays inside the season."""

from __future__ import annotations

import tomllib

import pytest


def names(season):
    return sorted(path.name for path in (season / "releases").iterdir())


def test_it_lays_out_templates_and_says_what_comes_next(run, small_season, monkeypatch):
    """Three files; a title made from the name."""
    monkeypatch.chdir(small_season)
    code, out, err = run("add", "fog-bank")
    assert (code, err) == (0, "Next: boxwright check fog-bank   (once release.toml is filled in)\n")
    folder = small_season / "releases" / "fog-bank"
    assert out.splitlines()[:3] == [
        f"wrote releases/fog-bank/{name}" for name in ("release.toml", "scores.toml", "prices.csv")
    ]
    assert "Fill in release.toml" in out
    assert tomllib.loads((folder / "release.toml").read_text(encoding="utf-8"))["title"] == "Fog Bank"
    assert (folder / "prices.csv").read_text(encoding="utf-8") == (
        "date,format,unit,kind,price,currency,source\n"
    )


def test_the_json_answer(answer, small_season):
    """The release and its files."""
    got = answer("add", "fog-bank", "--title", 'The "Fog"', "--season", small_season)
    folder = small_season / "releases" / "fog-bank"
    files = [str(folder / name) for name in ("release.toml", "scores.toml", "prices.csv")]
    assert got == {"format": 1, "release": "fog-bank", "written": files}
    assert tomllib.loads((folder / "release.toml").read_text(encoding="utf-8"))["title"] == 'The "Fog"'


@pytest.mark.parametrize(
    "name",
    [
        "../fog", "/fog", "fog/bank", "..", ".", "Fog", "fog bank", "fog_bank", "-fog", "fog--bank",
        "fög", "con", "lpt1", "", " ", "fog\u202ebank", "fog\nbank", "f" * 300,
    ],
)  # fmt: skip
def test_a_name_that_could_leave_the_folder_is_refused(run, small_season, name):
    """Parents, absolute ones, reserved ones, 300 characters, marks: one message, nothing made."""
    before = names(small_season)
    code, out, err = run("add", "--season", small_season, "--", name)
    assert (code, out) == (1, "")
    assert "is not a name for a release" in err
    assert "\u202e" not in err
    assert names(small_season) == before
    assert not (small_season.parent / "fog").exists()


def test_a_link_out_of_the_season_is_refused(refused, small_season, tmp_path):
    """Whatever reads or writes the release."""
    (tmp_path / "elsewhere").mkdir()
    (small_season / "releases" / "fog-bank").symlink_to(tmp_path / "elsewhere")
    for command in ("add", "facts", "grade", "check"):
        assert "is a link that leaves the season" in refused(command, "fog-bank", "--season", small_season)
    assert list((tmp_path / "elsewhere").iterdir()) == []


def test_a_release_that_is_there_is_kept(refused, small_season):
    """Its files are not written over."""
    path = small_season / "releases" / "deep-harbour" / "scores.toml"
    before = path.read_bytes()
    assert "is there already" in refused("add", "deep-harbour", "--season", small_season)
    assert path.read_bytes() == before


def test_a_title_with_hidden_marks_is_refused(refused, small_season):
    """And no folder is left behind."""
    assert "U+200B" in refused("add", "fog-bank", "--title", "Fog\u200b Bank", "--season", small_season)
    assert "fog-bank" not in names(small_season)


def test_without_a_season_it_says_how_to_make_one(refused, tmp_path, monkeypatch):
    """Neither here nor above, nor where the variable or the option points."""
    monkeypatch.chdir(tmp_path)
    assert "boxwright start DIR" in refused("add", "fog-bank")
    assert "boxwright start DIR" in refused("add", "fog-bank", "--season", tmp_path)
