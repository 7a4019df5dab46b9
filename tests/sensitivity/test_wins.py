"""Win shares: against exact fractions and closed forms."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from rating.sensitivity.wins import win_shares

TWO = [[50, 60], [70, 40]]


def by_partial_fractions(gaps):
    """P(sum of gap times exponential > 0) for different gaps, the textbook sum, which cancels in floats."""
    return sum(
        (math.prod((d / (d - e) for e in gaps if e != d), start=Fraction(1)) for d in gaps if d > 0),
        start=Fraction(0),
    )


@pytest.mark.parametrize("n", [1, 2, 3, 5, 9, 14, 25])
def test_win_shares_equal_exact_fractions(n):
    """The partial fractions of the hypoexponential distribution, in exact arithmetic: error under 1e-12."""
    rng = np.random.default_rng(n)
    for _ in range(40):
        gaps = rng.choice(np.delete(np.arange(-100, 101), 100), n, replace=False)
        base = np.maximum(-gaps, 0)
        found = win_shares([base + gaps, base])
        exact = by_partial_fractions([Fraction(int(d)) for d in gaps])
        assert found[0, 1] == pytest.approx(float(exact), abs=1e-13)
        assert found[1, 0] == pytest.approx(float(1 - exact), abs=1e-13)


def test_win_shares_of_a_table_fit_together():
    """Both sides of a pair sum to 1, identical ones get a half, the better everywhere always wins."""
    scores = [[50, 60], [50, 60], [70, 60], [10, 90]]
    wins = win_shares(scores)
    assert_allclose(wins + wins.T, 1, rtol=1e-15)
    assert (wins[0, 1], wins[2, 0], wins[0, 2]) == (0.5, 1, 0)
    assert wins[3, 0] == pytest.approx(30 / 70)


def test_an_order_of_importance_halves_the_line():
    """Two criteria in order: the first share is uniform from a half to 1."""
    wins = win_shares([[60, 50], [50, 80]], order=True)
    # 10 w > 30 (1 - w) from w = 3/4 on
    assert wins[0, 1] == pytest.approx(0.5)
    given = win_shares([[50, 60], [80, 50]], weights=[10, 30], order=True)
    assert_allclose(given, wins, rtol=1e-15)


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: win_shares([[50, math.nan]]), "exact win shares need complete scores"),
        (lambda: win_shares(TWO, [1, 2]), "at constant weights nothing is left to chance"),
        (lambda: win_shares(TWO, [1, 2], 4), r"concentration times share must be whole, got \[1.33"),
        (lambda: win_shares(TWO, None, 4), "a concentration needs weights"),
    ],
)
def test_wrong_calls_are_refused_with_a_sentence(call, match):
    """Each wrong call raises ValueError and names what was seen."""
    with pytest.raises(ValueError, match=match):
        call()


def test_inputs_are_left_as_they_were():
    """Neither scores nor weights are changed."""
    scores, weights = np.array(TWO, dtype=float), np.array([1.0, 3.0])
    win_shares(scores, weights, 4)
    assert_array_equal(scores, TWO)
    assert_array_equal(weights, [1, 3])
