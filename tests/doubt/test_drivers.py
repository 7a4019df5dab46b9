"""What a grade and a place hang on; the indices themselves are tested beside their kernel."""

from __future__ import annotations

import dataclasses

import pytest

from rating.doubt.drivers import drivers


def only_design(row):
    """Doubt about one score alone."""
    return dataclasses.replace(row, spreads=(0, 6))


def test_with_one_score_in_doubt_that_one_brings_it_all(row, table):
    """All scores are 50, so that no points move the grade; by points of the rubric it is the only part."""
    made = table(only_design(row("anchor", 50, 50)), row("beacon", 50, 49))
    roster, design = drivers(made, "anchor")
    assert (roster.score_alone, design.score_alone) == (0, 1)
    assert roster.grade_score == 0
    assert design.grade_score == pytest.approx(1, abs=0.02)
    # other points of roster change the share of design by a relative standard deviation of 0.05
    assert roster.grade_points == pytest.approx(0.0025, abs=0.002)


def test_a_place_that_nothing_moves_hangs_on_nothing(row, table):
    """Better by far in all."""
    made = table(row("anchor", 90, 90), row("beacon", 20, 20))
    assert all((one.place_points, one.place_score) == (0, 0) for one in drivers(made, "anchor"))


def test_equal_parts_bring_equal_shares(row, table):
    """Two scores of the same doubt and the same points."""
    made = table(row("anchor", 60, 60), row("beacon", 60, 60))
    roster, design = drivers(made, "anchor")
    assert (roster.score_alone, design.score_alone) == (0.5, 0.5)
    assert roster.grade_score == pytest.approx(design.grade_score, abs=0.02)
    assert roster.place_score == pytest.approx(design.place_score, abs=0.05)


def test_what_does_not_apply_brings_nothing_and_what_is_unknown_much(row, table):
    """An unknown score has a variance of 100^2 / 12, one with a spread of 5 has 5^2 / 6."""
    made = table(row("anchor", 60, "?"), row("beacon", 60, None), points=(800, 200))
    roster, design = drivers(made, "anchor")
    part = 200**2 * 100**2 / 12 / (200**2 * 100**2 / 12 + 800**2 * 5**2 / 6)
    assert (roster.score_alone, design.score_alone) == (pytest.approx(1 - part), pytest.approx(part))
    assert design.grade_score > 0.8
    other = drivers(made, "beacon")[1]
    assert (other.score_alone, other.grade_score, other.place_score) == (0, 0, 0)


def test_a_release_without_a_place_is_refused(row, table):
    """Half of it is unknown."""
    with pytest.raises(ValueError, match="has no place"):
        drivers(table(row("anchor", 60, "?")), "anchor")
