"""The command as a whole: help, wrong calls, interruption, faults, closed pipes."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest

from rating.cli import main
from rating.ledger import merging
from rating.season.season import Season


def test_help_names_the_everyday_commands_first(run):
    """In the order of an evening's work."""
    code, out, err = run("--help")
    assert (code, err) == (0, "")
    listed = [line.split()[0] for line in out.split("Commands:")[1].splitlines() if line.startswith("  ")]
    wanted = ["demo", "start", "add", "check", "facts", "grade", "standings", "export", "ledger", "criteria"]
    assert [name for name in listed if name in wanted] == wanted
    assert "Start with: boxwright demo." in " ".join(out.split())


@pytest.mark.parametrize(
    "words", [("dance",), ("grade",), ("grade", "a", "b"), ("standings", "--sideways"), ("ledger", "burn"),
              ("check", "--season"), ("--sideways",)],
)  # fmt: skip
def test_a_wrong_call_is_2(run, words):
    """The message is on standard error, nothing on standard output."""
    code, out, err = run(*words)
    assert (code, out) == (2, "")
    assert "Error: " in err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("standigs",), "Did you mean 'standings'?"),
        (("ledger", "verfy"), "Did you mean 'verify'?"),
        (("standings", "--sinse", "2031-05-01"), "Did you mean --since"),
        (("standings", "--stage", "setled"), "did you mean settled?"),
        (("facts", "deep-harbor"), "did you mean deep-harbour?"),
        (("facts", "deep-harbour", "--section", "retruns"), "did you mean returns?"),
        (("criteria", "show", "outley"), "did you mean outlay?"),
    ],
)
def test_what_was_likely_meant_is_told(run, small_season, words, told):
    """Of commands, options and their values, releases, sections and criteria."""
    (small_season / "ledger.db").touch()
    season = () if words[0] in {"standigs", "ledger", "criteria"} else ("--season", small_season)
    code, out, err = run(*words, *season)
    assert (code in {1, 2}, out) == (True, "")
    assert told in err


@pytest.mark.parametrize("words", [("-h",), ("facts", "-h"), ("ledger", "verify", "-h")])
def test_h_is_help(run, words):
    """As short as one wants it."""
    code, out, err = run(*words)
    assert (code, err) == (0, "")
    assert "Usage: boxwright" in out


def test_the_version_is_told_without_the_program(run):
    """The one that is installed."""
    assert run("--version") == (0, f"boxwright {version('boxwright')}\n", "")


@pytest.mark.parametrize("group", ["", "ledger", "criteria", "export"])
def test_no_command_shows_the_help(run, group):
    """Of the whole or of the group."""
    _, out, err = run(*([group] if group else []))
    assert "Commands:" in out + err


def test_an_interrupted_command_is_130(run, small_season, monkeypatch):
    """One line, no traceback."""

    def stop(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr(Season, "facts", stop)
    code, out, err = run("facts", "deep-harbour", "--season", small_season)
    assert (code, out) == (130, "")
    assert err.strip() == "interrupted; nothing half-written was left"


def test_ctrl_c_that_a_module_made_an_import_error_of_is_130(run, small_season, monkeypatch):
    """Compiled modules do so while they load (pybind11), and fail to load a second time."""

    def loads(*_, **__):
        with contextlib.suppress(KeyboardInterrupt):
            os.kill(os.getpid(), signal.SIGINT)
        raise ImportError('generic_type: type "ObjSense" is already registered!')

    monkeypatch.setattr(Season, "facts", loads)
    code, out, err = run("facts", "deep-harbour", "--season", small_season)
    assert (code, out) == (130, "")
    assert err.strip() == "interrupted; nothing half-written was left"


def test_a_fault_of_ours_is_70_with_a_log(run, small_season, monkeypatch):
    """One line that names the log; the log holds the traceback."""
    monkeypatch.setattr(Season, "facts", lambda *_, **__: {}["weather"])
    code, out, err = run("facts", "deep-harbour", "--season", small_season)
    assert (code, out) == (70, "")
    assert len(err.splitlines()) == 1
    assert "KeyError" in err
    log = Path(err.strip().rsplit(" ", 1)[-1])
    assert "Traceback" in log.read_text(encoding="utf-8")
    log.unlink()


def test_what_the_disk_refuses_is_no_fault_of_ours(run, small_season):
    """A name too long for the disk, wherever it comes from: exit code 1 with the place."""
    code, out, err = run("standings", "--season", small_season / ("f" * 300))
    assert (code, out) == (1, "")
    assert "fff" in err


@pytest.mark.parametrize("place", ["before", "after"])
def test_debug_shows_the_traceback(capsys, small_season, place):
    """Anywhere on the line; the exit code stays."""
    words = ["grade", "fog-bank", "--season", str(small_season)]
    assert main(["--debug", *words] if place == "before" else [*words, "--debug"]) == 1
    assert "Traceback" in capsys.readouterr().err
    assert main(words) == 1
    assert "Traceback" not in capsys.readouterr().err


def test_marks_in_peoples_text_are_written_out(run, small_season):
    """A title that would turn the line around is not shown as such, in messages neither."""
    path = small_season / "releases" / "deep-harbour" / "release.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("Deep Harbour", "Deep \\u202eHarbour", 1), encoding="utf-8")
    for words in (("check",), ("grade", "deep-harbour"), ("facts", "deep-harbour"), ("grade", "fog\u202e")):
        _, out, err = run(*words, "--season", small_season)
        assert "\u202e" not in out + err


@pytest.mark.parametrize("words", [("--help",), ("grade", "deep-harbour"), ("check", "--json")])
def test_a_pipe_closed_at_once_is_quiet(small_season, words):
    """As `| head -0` closes it: before the first line was written."""
    ours, theirs = os.pipe()
    os.close(ours)
    more = () if words == ("--help",) else ("--season", str(small_season))
    done = subprocess.run(
        [sys.executable, "-m", "rating", *words, *more],
        stdout=theirs,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
    )
    os.close(theirs)
    assert (done.returncode, done.stderr) == (0, "")


def test_ctrl_c_in_the_middle_of_a_recording_records_nothing(run, answer, small_season, monkeypatch):
    """Stopped inside the transaction: 130, the ledger is as it was, and the next call records."""
    words = ("--record", "--season", small_season)
    assert run("grade", "deep-harbour", *words)[0] == 0
    before = (small_season / "ledger.db").read_bytes()

    def stop(*_):
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(merging, "copies", stop)
        code, out, _ = run("grade", "high-water", *words)
    assert (code, out) == (130, "")
    assert (small_season / "ledger.db").read_bytes() == before
    assert sorted(path.name for path in small_season.glob("ledger*")) == ["ledger.db", "ledger.head"]
    assert run("grade", "high-water", *words)[0] == 0
    assert len(answer("standings", "--season", small_season)["standings"]) == 2


def test_ctrl_c_in_a_first_recording_leaves_no_ledger(run, small_season, monkeypatch):
    """An empty file would look like a ledger."""

    def stop(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(merging, "copies", stop)
    assert run("grade", "deep-harbour", "--record", "--season", small_season)[0] == 130
    assert not (small_season / "ledger.db").exists()
