"""The smallest change of weights that swaps a pair: against linear programmes."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import linprog

from rating.sensitivity.swaps import nearest_weights, smallest_change


def random_pairs(trial):
    """Two releases at random weights, the second ahead; now and then a criterion weighs nothing."""
    rng, count = np.random.default_rng(trial.seed), trial.count
    while count:
        n = int(rng.integers(2, 8))
        scores = rng.integers(0, 101, (2, n)).astype(float)
        weights = rng.dirichlet(np.ones(n)) * (rng.random(n) > 0.2)
        difference = scores[0] - scores[1]
        if weights.any() and difference.max() > 0 and difference @ weights < 0:
            yield scores, weights / weights.sum(), difference
            count -= 1


def least_in_all(difference, weights):
    """scipy's HiGHS: shares given and taken, each from 0, so that the pair ties."""
    n = len(weights)
    found = linprog(
        np.ones(2 * n),
        A_ub=[np.concatenate([-difference, difference])],
        b_ub=[difference @ weights],
        A_eq=[np.concatenate([np.ones(n), -np.ones(n)])],
        b_eq=[0],
        bounds=[(0, None)] * n + [(0, one) for one in weights],
    )
    return found.fun


def is_level(weights, difference):
    assert weights.sum() == pytest.approx(1, abs=1e-12)
    assert (weights >= 0).all()
    assert weights @ difference == pytest.approx(0, abs=1e-10)


@pytest.mark.trial(seed=11, few=200, full=1000)
def test_the_least_in_all_is_that_of_a_linear_programme(trial):
    """Within 1e-9, and the weights are weights at which the pair ties."""
    for scores, weights, difference in random_pairs(trial):
        found = smallest_change(scores, weights, 0, 1)
        is_level(found.weights, difference)
        assert found.distance == pytest.approx(np.abs(found.weights - weights).sum(), abs=1e-12)
        assert found.distance == pytest.approx(least_in_all(difference, weights), abs=1e-9)


def test_one_that_is_level_or_ahead_needs_no_change():
    """The weights stay as they are."""
    found = smallest_change([[60, 40], [50, 50]], [1, 1], 0, 1)
    assert found.distance == 0
    assert found.weights.tolist() == [0.5, 0.5]


def test_a_pair_that_can_never_swap_says_why():
    """Better on no criterion, though equal on one; or identical."""
    scores = [[40, 50], [60, 50], [40, 50]]
    worse = smallest_change(scores, [1, 1], 0, 1)
    assert (worse.weights, worse.distance) == (None, None)
    assert worse.reason == "no weights put row 0 above row 1: it is better on no criterion"
    assert "identical" in smallest_change(scores, [1, 1], 0, 2).reason


def test_many_pairs_at_once_are_the_same_as_one_by_one():
    """Those that will not do have no weights and an infinite distance."""
    weights, sizes = nearest_weights([[1, -2, 0], [-1, -1, 0], [3, 0, -1]], [1, 1, 1])
    assert np.isinf(sizes).tolist() == [False, True, False]
    assert np.isnan(weights[1]).all()
    assert sizes[2] == 0
    # a third short of 1 in thirds: from -2 to 1 each share brings 3, so a ninth moves, counted twice
    assert_allclose(sizes[0], 2 / 9)


@pytest.mark.parametrize(
    ("up", "down", "told"),
    [
        (0, 0, "up and down"),
        (0, 2, "up and down"),
        (-1, 0, "rows"),
    ],
)
def test_what_makes_no_sense_is_refused(up, down, told):
    """The same row twice, a row that is not there."""
    with pytest.raises(ValueError, match=told):
        smallest_change([[1, 2], [2, 1]], [1, 2], up, down)


@pytest.mark.parametrize("weights", [[1, -1], [0, 0], [1, math.nan], [1]])
def test_weights_that_are_none_are_refused(weights):
    """As everywhere."""
    with pytest.raises(ValueError, match="weights"):
        smallest_change([[1, 2], [2, 1]], weights, 0, 1)
