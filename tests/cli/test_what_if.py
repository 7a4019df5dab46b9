"""`what-if`: several changes at once, before and after, nothing recorded."""

from __future__ import annotations

import hashlib

import pytest


def digest(season):
    return hashlib.sha256((season / "ledger.db").read_bytes()).hexdigest()


def test_the_json_answer_holds_before_and_after(answer, sample_season):
    """Before is the standings; every release has a row after."""
    before = answer("standings", "--season", sample_season)["standings"]
    got = answer("what-if", "--weight", "design=12", "--drop", "relics", "--season", sample_season)
    assert got["before"] == [{key: row[key] for key in got["before"][0]} for row in before]
    assert {one["release"] for one in got["after"]} == {one["release"] for one in before}
    assert got["tried"]["weights"] == {"design": 12, "relics": 0}


def test_a_grade_after_follows_from_the_scores(answer, sample_season):
    """With one criterion left, the grade is its score."""
    graded = answer("grade", "halyard", "--season", sample_season)
    keys = {one["criterion"] for one in graded["scores"]}
    words = [part for key in keys - {"design"} for part in ("--drop", key)]
    got = answer("what-if", *words, "--season", sample_season)
    after = next(one for one in got["after"] if one["release"] == "halyard")
    assert after["grade"] == next(one["score"] for one in graded["scores"] if one["criterion"] == "design")


def test_a_group_can_be_dropped(answer, sample_season):
    """Hits are signatures and relics."""
    got = answer("what-if", "--drop", "hits", "--season", sample_season)
    assert got["tried"]["weights"] == {"signatures": 0, "relics": 0}


def test_nothing_is_recorded(run, sample_season):
    """The ledger is the same to the last byte."""
    before = digest(sample_season)
    code, out, _ = run("what-if", "--score", "halyard.finish=5", "--season", sample_season)
    assert code == 0
    assert "none of this is recorded" in out
    assert digest(sample_season) == before


def test_every_wrong_option_is_told_at_once(refused, sample_season):
    """With the nearest names."""
    words = ("--weight", "desgn=12", "--weight", "design=x", "--score", "halyard.finish=101")
    err = refused("what-if", *words, "--without", "halyrd", "--season", sample_season)
    for part in ("'desgn'", "'design=x'", "'halyard.finish=101'", "'halyrd'", "halyard"):
        assert part in err
    assert err.count("error:") == 4


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "nothing is tried"),
        (("--rule", "guess"), "no rule named 'guess'"),
        (("--drop", "weather"), "no criterion or group named 'weather'"),
    ],
)
def test_what_makes_no_sense_is_refused(refused, sample_season, words, told):
    """In a sentence."""
    assert told in refused("what-if", *words, "--season", sample_season)


def test_no_points_left_is_refused(refused, sample_season):
    """Every group dropped."""
    groups = ("money", "set", "object", "rarity", "people", "hits", "maker")
    words = [part for group in groups for part in ("--drop", group)]
    assert "no criterion has points left" in refused("what-if", *words, "--season", sample_season)


def test_a_group_and_its_criterion_can_each_be_dropped(answer, sample_season):
    """No group is named as a criterion is, so leaving out the rarity leaves out chase and scarcity."""

    def after(*words):
        dropped = [part for word in words for part in ("--drop", word)]
        return answer("what-if", *dropped, "--season", sample_season)["after"]

    assert after("rarity") == after("chase", "scarcity") != after("chase")
    assert after("set") == after("building")


def test_without_a_ledger_there_is_nothing_to_try(refused, small_season):
    """Say what to do first."""
    assert "there is no ledger yet" in refused("what-if", "--drop", "relics", "--season", small_season)


def test_restating_weighs_all_by_todays_rubric(answer, run, own_season):
    """The rubric changes after the reviews were recorded: published grades stay, restated ones follow it."""
    path = own_season / "rubric.toml"
    text = path.read_text(encoding="utf-8")
    start = text.index("[criteria.roster]")
    path.write_text(text[:start] + text[start:].replace("points = 10", "points = 0", 1), encoding="utf-8")
    standings = answer("standings", "--season", own_season)["standings"]
    got = answer("what-if", "--restate", "--season", own_season)
    tried = answer("what-if", "--weight", "roster=0", "--season", own_season)
    assert got["before"] == [{key: row[key] for key in got["before"][0]} for row in standings]
    assert got["after"] == tried["after"]
    assert [one["grade"] for one in got["after"]] != [one["grade"] for one in standings]
    assert "roster: 0 points instead of 10" in run("what-if", "--restate", "--season", own_season)[1]
