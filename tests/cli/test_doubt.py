"""`standings --ranges`, `--landing` and `--between`: how sure the places are and what moved."""

from __future__ import annotations

import pytest


def test_ranges_hold_every_ranked_release(answer, sample_season):
    """Shares sum to one, the range holds nine tenths, and its place lies among the possible ones."""
    ranked = [
        one for one in answer("standings", "--season", sample_season)["standings"] if not one["ranked_apart"]
    ]
    got = answer("standings", "--ranges", "--season", sample_season)
    assert [one["release"] for one in got["ranges"]] == [one["release"] for one in ranked]
    for one in got["ranges"]:
        assert sum(one["shares"]) == pytest.approx(1)
        assert sum(one["shares"][one["low"] - 1 : one["high"]]) >= 0.9
        assert one["expected"] == pytest.approx(sum(i * p for i, p in enumerate(one["shares"], start=1)))
    assert (got["around"], got["draws"], got["seed"]) == ("rubric", 20_000, 1)


def test_the_sentence_under_the_ranges_says_what_they_rest_on(run, sample_season):
    """Weights, scores, draws, seed and error."""
    code, out, err = run("standings", "--ranges", "--around", "uniform", "--no-spreads", "--draws", "500",
                         "--season", sample_season)  # fmt: skip
    assert (code, err) == (0, "")
    told = " ".join(out.split())
    assert (
        "500 simulations, with any points at all, and the scores as they are (seed 1; the standard error"
        in told
    )
    assert max(map(len, out.splitlines())) <= 100


def test_a_landing_compares_the_season_just_before_and_after(answer, sample_season):
    """It is new to the ranking, nobody else's grade changes, and those behind it lose at most a place."""
    got = answer("standings", "--landing", "gatehouse", "--season", sample_season)
    rows = {one["release"]: one for one in got["moves"]}
    own = rows.pop("gatehouse")
    assert (own["rank_before"], own["rank"]) == (None, got["rank"])
    assert all(one["grade"] == one["grade_before"] for one in rows.values())
    assert {one["movement"] for one in rows.values()} <= {0, -1, None}
    assert {one["release"] for one in got["moves"] if one["passed"]} == {
        release for release, one in rows.items() if one["movement"] == -1
    }
    assert got["told"].startswith("Corvane Gatehouse entered ")


def test_a_landing_in_the_terminal_fits_and_ends_with_the_story(run, sample_season):
    """The table, then the paragraph."""
    code, out, err = run("standings", "--landing", "halyard", "--season", sample_season)
    assert (code, err) == (0, "")
    assert max(map(len, out.splitlines())) <= 100
    assert "Wickfield Halyard entered 2nd of 8" in out
    told = " ".join(out.split())
    assert "came out on 2031-03-12. It entered the standings" in told
    assert "2031-02-14" in told


def test_between_two_days(answer, sample_season):
    """The grades of both days are those of the standings then."""
    got = answer("standings", "--between", "2031-04-01", "2031-05-01", "--season", sample_season)
    for side, day in (("grade_before", "2031-04-01"), ("grade", "2031-05-01")):
        then = answer("standings", "--as-of", day, "--season", sample_season)["standings"]
        told = {one["release"]: one[side] for one in got["moves"] if one[side] is not None}
        assert told == {one["release"]: one["grade"] for one in then}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--ranges", "--draws", "0"), "0 draws cannot be made"),
        (("--ranges", "--seed", "-1"), "-1 is not a seed"),
        (("--ranges", "--around", "mood"), "no way to draw weights named 'mood'"),
        (("--landing", "nowhere"), "nowhere was not recorded yet"),
        (("--landing", "oakum-reserve"), "oakum-reserve has no place yet"),
        (("--between", "2031-05-01", "2031-05-01"), "2031-05-01 is not before 2031-05-01"),
        (("--between", "2031-05-01", "May"), "'May' is not a date"),
    ],
)
def test_what_cannot_be_answered_is_refused(refused, sample_season, words, told):
    """In a sentence with a way out."""
    assert told in refused("standings", *words, "--season", sample_season)
