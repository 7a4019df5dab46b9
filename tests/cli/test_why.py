"""`why`: two releases of the sample, and what is refused."""

from __future__ import annotations

import pytest


def test_the_parts_sum_to_the_difference_of_the_standings(answer, sample_season):
    """Of the first two; each with its reasons, and what is to be moved turns it in `what-if`."""
    ranked = answer("standings", "--season", sample_season)["standings"]
    first, second = ranked[0], ranked[1]
    got = answer("why", first["release"], second["release"], "--season", sample_season)
    assert got["grades"] == [first["grade"], second["grade"]]
    assert got["difference"] == pytest.approx(first["grade"] - second["grade"])
    assert sum(part["brings"] for part in got["parts"]) == pytest.approx(got["difference"])
    assert all(part["reasons"][0] and part["reasons"][1] for part in got["parts"])
    points = {part["criterion"]: part["points"] for part in got["parts"]}
    words = [
        word
        for key, change in got["turn"]["moves"].items()
        for word in ("--weight", f"{key}={points[key] + change:.1f}")
    ]
    after = answer("what-if", *words, "--season", sample_season)["after"]
    grades = {one["release"]: one["grade"] for one in after}
    assert grades[second["release"]] > grades[first["release"]]


def test_it_says_what_lies_between_them(run, sample_season):
    """In words, the largest difference first."""
    code, out, _ = run("why", "halyard", "vellum-night", "--season", sample_season)
    assert code == 0
    lines = out.splitlines()
    assert " below " in lines[0]
    assert any(line.startswith("brings: how far each criterion puts ") for line in lines)
    assert "What would turn the order around" in lines


@pytest.mark.parametrize(
    ("words", "message"),
    [(("halyard", "nowhere"), "nowhere"), (("halyard", "halyard"), "halyard is named twice")],
)
def test_what_cannot_be_compared_is_refused(refused, sample_season, words, message):
    """One message, exit 1."""
    assert message in refused("why", *words, "--season", sample_season)
