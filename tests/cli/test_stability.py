"""`stability`: what it says is tried out with `what-if`, which knows nothing of it."""

from __future__ import annotations

import itertools
import math
import re

import pytest


@pytest.fixture
def tried(answer, sample_season):
    """The standings with points moved: by release its place and its grade."""

    def call(moves, points):
        new = [f"{key}={points[key] + change:.1f}" for key, change in moves.items()]
        words = [part for one in new for part in ("--weight", one)]
        after = answer("what-if", *words, "--season", sample_season)["after"]
        return {one["release"]: (one["rank"], one["grade"]) for one in after if one["rank"] is not None}

    return call


def points_of(got):
    return {one["criterion"]: one["points"] for one in got["intervals"]}


def test_every_swap_really_swaps_the_published_order(answer, sample_season, tried):
    """In whole tenths, the points in all the same."""
    got = answer("stability", "causeway", "--over", "copperplate", "--season", sample_season)
    order = [one["release"] for one in answer("standings", "--season", sample_season)["standings"]]
    place = order.index("causeway")
    assert [(one["up"], one["down"]) for one in got["swaps"]] == [
        ("causeway", order[place - 1]),
        (order[place + 1], "causeway"),
    ]
    for swap in (*got["swaps"], *got["wanted"]):
        assert sum(swap["moves"].values()) == pytest.approx(0, abs=1e-9)
        assert sum(abs(change) for change in swap["moves"].values()) == pytest.approx(2 * swap["total"])
        after = tried(swap["moves"], points_of(got))
        assert after[swap["up"]][1] > after[swap["down"]][1]
        assert after[swap["up"]][0] < after[swap["down"]][0]


def test_a_release_comes_to_the_wanted_place(answer, sample_season, tried):
    """Or to a better one."""
    got = answer("stability", "slipway", "--lift", "7", "--season", sample_season)
    (wanted,) = got["wanted"]
    assert tried(wanted["moves"], points_of(got))["slipway"][0] <= 7


def test_the_order_holds_within_the_intervals(answer, sample_season):
    """At whole tenths just inside either end nobody who is behind comes before."""
    got = answer("stability", "--season", sample_season)
    ranked = answer("standings", "--season", sample_season)["standings"]
    ranked = [one for one in ranked if one["rank"]]
    # a tie is no order: which of the two stands first is a matter of days and names
    order = [(a, b) for a, b in itertools.pairwise(ranked) if a["grade"] > b["grade"]]
    for one in got["intervals"]:
        assert one["leader_low"] <= one["low"] <= one["points"]
        for inside in (math.ceil(10 * one["low"]), math.floor(10 * (one["high"] or 60))):
            words = ("--weight", f"{one['criterion']}={inside / 10}")
            after = answer("what-if", *words, "--season", sample_season)["after"]
            grades = {row["release"]: row["grade"] for row in after}
            kept = [grades[a["release"]] >= grades[b["release"]] for a, b in order]
            assert all(kept), one["criterion"]


def test_without_a_release_it_is_the_leader_and_the_order(answer, sample_season, tried):
    """Every pair of neighbours, easiest first, and what dethrones the leader."""
    got = answer("stability", "--season", sample_season)
    assert (got["release"], got["place"], got["of"]) == ("market-waltz", "1", 17)
    assert len(got["swaps"]) == 16
    totals = [one["total"] for one in got["swaps"] if one["total"] is not None]
    assert totals == sorted(totals)
    (fall,) = got["wanted"]
    assert fall["down"] == "market-waltz"
    assert tried(fall["moves"], points_of(got))["market-waltz"][0] > 1


def test_leaving_out_is_what_dropping_is(answer, sample_season):
    """A criterion and a group, as `what-if --drop` has them."""
    got = answer("stability", "causeway", "--season", sample_season)
    without = {one["what"]: one["rank"] for one in got["without"]}
    for what in ("building", "people"):
        after = answer("what-if", "--drop", what, "--season", sample_season)["after"]
        assert without[what] == next(one["rank"] for one in after if one["release"] == "causeway")


def test_other_rules_are_those_of_what_if(answer, sample_season):
    """The place by each, and agreement of the mean with itself."""
    got = answer("stability", "causeway", "--season", sample_season)
    for rule, rank in got["rules"].items():
        after = (
            answer("what-if", "--rule", rule, "--season", sample_season)["after"] if rule != "mean" else None
        )
        if after:
            assert rank == next(one["rank"] for one in after if one["release"] == "causeway")
    assert got["agreement"]["mean"] == 1


def test_the_ranges_are_those_of_the_standings(answer, sample_season):
    """Same draws, same seed, same numbers."""
    options = (
        "--around",
        "uniform",
        "--no-spreads",
        "--draws",
        "500",
        "--seed",
        "3",
        "--season",
        sample_season,
    )
    got = answer("stability", "halyard", "--ranks", *options)
    assert got["ranges"] == answer("standings", "--ranges", *options)["ranges"]


def test_what_a_place_hangs_on(answer, sample_season):
    """One row a criterion; the exact shares of the scores sum to one."""
    got = answer("stability", "halyard", "--drivers", "--draws", "256", "--season", sample_season)
    assert [one["criterion"] for one in got["drivers"]] == [one["criterion"] for one in got["intervals"]]
    assert sum(one["score_alone"] for one in got["drivers"]) == pytest.approx(1)


@pytest.mark.parametrize("words", [("halyard", "--lift", "2", "--ranks", "--drivers"), ("--ranks",)])
def test_in_the_terminal_what_was_asked_for_stands_alone_and_fits(run, sample_season, monkeypatch, words):
    """Nothing of the rest is said or worked out; a screen of 100 columns."""
    monkeypatch.setenv("COLUMNS", "100")
    code, out, err = run("stability", *words, "--draws", "500", "--season", sample_season)
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert len(lines) < (60 if words == ("--ranks",) else 30)
    assert not any("swap two neighbours" in line for line in lines)
    assert max(map(len, lines)) <= 100


def test_the_sentence_stands_under_a_grade_and_its_margin_under_the_standings(run, answer, sample_season):
    """The same words; the ranking draws nothing, so it says of the lead how far points can go."""
    told = answer("stability", "halyard", "--season", sample_season)["told"]
    assert told in " ".join(run("grade", "halyard", "--season", sample_season)[1].split())
    lead = answer("stability", "--season", sample_season)["told"]
    shown = " ".join(run("standings", "--season", sample_season)[1].split())
    margin = re.split(r"(?:simulations|nine of ten)\. ", lead)[1]
    assert f"The lead: {margin[0].lower()}{margin[1:]}" in shown


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("nowhere",), "nowhere has no place"),
        (("oakum-reserve",), "oakum-reserve has no place"),
        (("halyard", "--lift", "18"), "there is no place 18"),
        (("halyard", "--over", "halyard"), "no rival named 'halyard'"),
        (("--lift", "2"), "need a release to lift"),
        (("--draws", "0"), "0 draws cannot be made"),
        (("--around", "mood"), "no way to draw weights named 'mood'"),
    ],
)
def test_what_cannot_be_answered_is_refused(refused, sample_season, words, told):
    """In a sentence with a way out."""
    assert told in refused("stability", *words, "--season", sample_season)


def test_without_a_ledger_there_is_nothing_to_say(refused, small_season):
    """Say what to do first."""
    assert "there is no ledger yet" in refused("stability", "--season", small_season)


def test_without_a_question_the_sentence_comes_first_and_tables_wait(run, answer, sample_season):
    """Few enough lines for a screen; the margins are one question away."""
    code, out, err = run("stability", "halyard", "--season", sample_season)
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert lines[2].startswith("Wickfield Halyard: 3rd of 17, ")
    assert len(lines) <= 24
    margins = run("stability", "halyard", "--margins", "--season", sample_season)[1].splitlines()
    assert margins[0].split()[:2] == ["criterion", "points"]
    assert (
        len(
            [
                line
                for line in margins
                if line.split()[0] in points_of(answer("stability", "halyard", "--season", sample_season))
            ]
        )
        == 14
    )
