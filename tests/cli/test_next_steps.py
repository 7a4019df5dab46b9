"""The next step, suggested in one line beside the data; and emphasis, for those who want it."""

from __future__ import annotations

import json
import shlex

import pytest

from rating.cli.commands import COMMANDS, called


@pytest.mark.parametrize(
    ("call", "step"),
    [
        ("add fog-bank", "check fog-bank"),
        ("check deep-harbour", "grade deep-harbour"),
        ("check", ""),
        ("check deep-harbour --repair", ""),
        ("facts deep-harbour", "grade deep-harbour"),
        ("facts deep-harbour --of kind=autograph", ""),
        ("grade deep-harbour", "grade deep-harbour --record"),
        ("grade deep-harbour --record", "standings"),
        ("criteria list", "criteria show CRITERION"),
        ("criteria show outlay", ""),
        ("doctor", "check"),
        ("explain odds", ""),
    ],
)
def test_a_step_is_suggested_where_it_helps(run, small_season, monkeypatch, call, step):
    """One line on standard error that can be run as it is; none where there is no obvious one."""
    monkeypatch.setenv("COLUMNS", "200")
    monkeypatch.chdir(small_season)
    code, _, err = run(*call.split())
    assert code == 0
    lines = [line for line in err.splitlines() if line.startswith("Next: ")]
    assert [line.partition("   (")[0] for line in lines] == ([f"Next: boxwright {step}"] if step else [])
    assert not step or called(step.split()) in COMMANDS


def test_a_recorded_release_is_not_to_be_recorded_again(run, small_season, monkeypatch):
    """Its place is what comes after, and how sure it is after that."""
    monkeypatch.chdir(small_season)
    assert "Next: boxwright standings " in run("grade", "deep-harbour", "--record")[2]
    assert "Next: " not in run("grade", "deep-harbour")[2]
    assert "Next: boxwright standings --ranges " in run("standings")[2]
    assert "Next: " not in run("standings", "--audit")[2]


def test_errors_lead_to_what_their_codes_mean(run, small_season, monkeypatch):
    """CODE stands for the words in brackets."""
    monkeypatch.chdir(small_season)
    (small_season / "releases" / "deep-harbour" / "odds.csv").write_text("subset\nx\n", encoding="utf-8")
    code, _, err = run("check", "deep-harbour")
    assert code == 1
    assert err.startswith("Next: boxwright explain CODE ")


def test_a_step_names_the_season_that_was_named(run, small_season, tmp_path, monkeypatch):
    """Quoted, so that it can be run as it stands."""
    monkeypatch.setenv("COLUMNS", "400")
    (place := tmp_path / "two words").mkdir()
    small_season.rename(place / "mine")
    words = run("check", "deep-harbour", "--season", place / "mine")[2].partition("   (")[0]
    assert shlex.split(words)[-2:] == ["--season", str(place / "mine")]


@pytest.mark.parametrize("is_wide", [True, False])
def test_a_step_is_one_line_whatever_the_screen(run, small_season, monkeypatch, is_wide):
    """Where one column is missing for what it is good for, the call stands alone."""
    monkeypatch.chdir(small_season)
    call, why = "Next: boxwright grade deep-harbour", "   (a grade with a reason for every score)"
    monkeypatch.setenv("COLUMNS", str(len(call + why) - (not is_wide)))
    assert run("check", "deep-harbour")[2] == f"{call}{why if is_wide else ''}\n"


@pytest.mark.parametrize("call", ["facts deep-harbour", "grade deep-harbour", "check", "criteria list"])
def test_json_stands_alone(run, small_season, monkeypatch, call):
    """A script is told no next step."""
    monkeypatch.chdir(small_season)
    _, out, err = run(*call.split(), "--json")
    assert json.loads(out)["format"] == 1
    assert "Next: " not in err


@pytest.mark.parametrize(
    ("variable", "value", "is_bold"),
    [("NO_COLOR", "", True), ("NO_COLOR", "1", False), ("TERM", "dumb", False), ("TERM", "xterm", True)],
)
def test_emphasis_is_off_where_somebody_asks_for_none(
    terminal, small_season, monkeypatch, variable, value, is_bold
):
    """At a terminal what was refused begins in bold; elsewhere nothing ever does."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv(variable, value)
    person = terminal(["facts", "fog", "--season", small_season])
    assert person.ended() == 1
    assert ("\033[1merror:\033[0m no release named 'fog'" in person.seen) is is_bold
    assert "error:" in person.seen


def test_what_is_no_terminal_gets_no_emphasis(run, small_season):
    """No escape stands in a file or a pipe."""
    assert "\033" not in run("facts", "fog", "--season", small_season)[2]
