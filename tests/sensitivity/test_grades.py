"""Likely grades: by hand, and against a simulation that knows nothing of steps and convolutions."""

from __future__ import annotations

import numpy as np
import pytest

from rating.sensitivity.grades import likely_grade


def published(rng, scores, spreads, weights, draws):
    """Grades in tenths, halves up, of triangular scores that stay inside 0 to 100."""
    noise = rng.triangular(-1, 0, 1, (draws, len(scores)))
    drawn = np.clip(np.array(scores) + np.array(spreads) * noise, 0, 100)
    return np.floor(10 * (drawn @ np.array(weights)) / sum(weights) + 0.5)


def test_one_score_by_hand():
    """50 give or take 10: a grade published under 43.2 lies under 43.15, a chance of 3.15^2 / 200 = 4.96 %.

    Under 43.25 it is 5.28 %, so 43.2 is the first that leaves no more than a twentieth below it.
    """
    assert likely_grade([50], [10], [1000]) == (432, 568)


def test_a_score_at_the_end_of_its_scale_has_doubt_on_one_side():
    """100 give or take 10: half of all draws stay at 100, and 3.15^2 / 200 = 4.96 % are under 93.15."""
    assert likely_grade([100], [10], [1000]) == (932, 1000)
    assert likely_grade([0], [10], [1000]) == (0, 68)


def test_no_doubt_leaves_the_grade_and_no_weight_leaves_nothing():
    """62.5 and 62.55 are published as 62.5 and 62.6."""
    assert likely_grade([60, 65], [0, 0], [500, 500]) == (625, 625)
    assert likely_grade([62, 63], [0, 9], [450, 0]) == (620, 620)
    assert likely_grade([60], [5], [0]) is None
    assert likely_grade([], [], []) is None


@pytest.mark.trial(seed=11, few=12, full=150)
def test_nine_in_ten_is_what_a_simulation_finds(trial):
    """No more than a twentieth lies outside on a side, and one tenth less would leave out more."""
    rng = np.random.default_rng(trial.seed)
    draws = 40_000
    chance = 4 * np.sqrt(0.05 * 0.95 / draws)
    for _ in range(trial.count):
        n = int(rng.integers(1, 15))
        scores, spreads = rng.integers(0, 101, n).tolist(), rng.integers(1, 16, n).tolist()
        weights = rng.integers(1, 130, n).tolist()
        low, high = likely_grade(scores, spreads, weights)
        grades = published(rng, scores, spreads, weights, draws)
        (grade,) = published(rng, scores, [0] * n, weights, 1)
        assert low <= grade <= high
        assert (grades < low).mean() <= 0.05 + chance
        assert (grades > high).mean() <= 0.05 + chance
        # where the grade itself is an end, nothing further in is asked
        assert low == grade or (grades <= low).mean() > 0.05 - chance
        assert high == grade or (grades >= high).mean() > 0.05 - chance


def test_a_level_off_the_scale_is_refused():
    """A wrong call."""
    with pytest.raises(ValueError, match="a level must lie between 0 and 1, both excluded, got 1"):
        likely_grade([50], [5], [10], level=1)
