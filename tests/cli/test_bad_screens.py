"""Narrow screens, none at all, poor alphabets, and seasons in which there is nothing to show."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from rating.cli import main


@pytest.fixture
def recorded(small_season, capsys):
    """A season with two reviews, and two releases of which little or nothing is known."""
    for slug in ("deep-harbour", "high-water"):
        assert main(["grade", slug, "--record", "--season", str(small_season)]) == 0
    capsys.readouterr()
    return small_season


@pytest.fixture
def empty(tmp_path, capsys):
    """A season as `start` lays it out."""
    path = tmp_path / "empty"
    assert main(["start", str(path), "--name", "Nothing 2031"]) == 0
    capsys.readouterr()
    return path


READABLE = [
    ("grade", "deep-harbour"), ("grade", "deep-harbour", "--evidence"), ("grade", "spring-tide"),
    ("grade", "low-water"), ("standings",), ("standings", "--ranges"),
    ("standings", "--landing", "high-water"),
    ("standings", "--audit"), ("stability",), ("stability", "high-water", "--lift", "2"),
    ("stability", "deep-harbour", "--over", "high-water"), ("stability", "--ranks"),
    ("stability", "high-water", "--drivers", "--draws", "64"), ("stability", "--margins"),
    ("why", "high-water", "deep-harbour"), ("what-if", "--weight", "design=12"), ("weights",),
    ("ledger", "history", "high-water"), ("ledger", "verify"), ("criteria", "list"),
    ("criteria", "list", "--weights"), ("criteria", "show", "design"),
]  # fmt: skip


@pytest.mark.parametrize("width", [40, 80])
def test_nothing_is_wider_than_a_narrow_screen(run, recorded, monkeypatch, width):
    """Down to 40 columns; a word that is wider by itself is not broken."""
    monkeypatch.setenv("COLUMNS", str(width))
    monkeypatch.setenv("BOXWRIGHT_SEASON", str(recorded))
    for words in READABLE:
        code, out, err = run(*words)
        assert code == 0, words
        wide = [line for line in (out + err).splitlines() if len(line) > width]
        assert not [line for line in wide if " " in line.strip()], words


def test_a_pipe_shows_everything(run, recorded, monkeypatch):
    """Full width where nothing limits it: every column, every name whole."""
    monkeypatch.delenv("COLUMNS", raising=False)
    out = run("standings", "--season", recorded)[1]
    assert "class" in out.splitlines()[2].split()
    assert "Marlow 2031 High Water" in out
    assert "A wider window" not in out


@pytest.mark.parametrize("words", READABLE[1:8:2] + READABLE[9:21:3], ids=" ".join)
@pytest.mark.parametrize("encoding", ["ascii", ""])
def test_a_pipe_in_the_c_locale_is_readable(recorded, words, encoding):
    """No terminal and no letters but plain ones: whole, and no traceback."""
    plain = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "PYTHONIOENCODING": encoding}
    done = subprocess.run(
        [sys.executable, "-m", "rating", *words, "--season", recorded],
        env={name: value for name, value in os.environ.items() if name != "COLUMNS"} | plain,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
    )
    assert done.returncode == 0
    assert b"Traceback" not in done.stderr
    assert done.stdout.decode("utf-8").strip()


@pytest.mark.parametrize(
    "words",
    [
        ("standings",), ("standings", "--ranges"), ("standings", "--landing", "a"), ("stability",),
        ("stability", "a", "--lift", "1"), ("why", "a", "b"), ("what-if", "--weight", "design=12"),
        ("grade", "a"), ("ledger", "history", "a"),
    ],
    ids=" ".join,
)  # fmt: skip
def test_an_empty_season_says_what_to_do_first(refused, empty, words):
    """One message with its way out, whatever is asked."""
    assert "fix: " in refused(*words, "--season", empty)


@pytest.mark.parametrize(
    "words", [("weights",), ("criteria", "list"), ("criteria", "list", "--weights")], ids=" ".join
)
def test_an_empty_season_still_has_its_rubric(run, empty, words):
    """What needs no release is answered."""
    code, out, err = run(*words, "--season", empty)
    assert (code, "error" in err) == (0, False)
    assert out.strip()


def test_a_release_without_anything_is_graded_in_words(run, small_season):
    """One declared score, all else open: no place, no verdict, what is missing in a few lines."""
    out = run("grade", "spring-tide", "--season", small_season)[1]
    line = "Too early for a verdict. Neither the price of a box nor what it returns is known yet."
    assert line in " ".join(out.split())
    unknown = out.split("Not known yet\n-------------\n")[1].split("\n\n")[0]
    told = [line.split(": ")[0] for line in unknown.splitlines() if ": " in line]
    named = [key for one in told for key in one.replace(" and ", ", ").split(", ")]
    assert len(named) == len(set(named)) == 13
    assert len(told) < 8
