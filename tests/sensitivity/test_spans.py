"""Stability intervals: published and exact examples, and a scan of orders around every end."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose

from rating.sensitivity.spans import weight_spans

nan = float("nan")


def test_three_releases_and_three_criteria():
    """Grades 64, 62 and 63. A and C meet at 9/19, 1/3 and 1/4, A and B at 13/28 and 17/52 (own, exact).

    B and C differ by (-10, 30, -25); they meet at R / (R - d), R the mean difference over the other two.
    """
    found = weight_spans([[80, 40, 60], [50, 90, 50], [60, 60, 75]], [0.5, 0.3, 0.2])
    assert_allclose(found.leader_low, [9 / 19, 0, 0], rtol=0, atol=1e-12)
    assert_allclose(found.leader_high, [1, 17 / 52, 1 / 4], rtol=0, atol=1e-12)
    weights, gap = [Fraction(1, 2), Fraction(3, 10), Fraction(1, 5)], [10, -30, 25]
    meets = []
    for k in range(3):
        rest = sum(weights[j] * gap[j] for j in range(3) if j != k) / (1 - weights[k])
        meets.append(rest / (rest - gap[k]))
    low = [Fraction(9, 19), 0, meets[2]]  # on the first, A falls behind C before C falls behind B
    high = [1, min(Fraction(17, 52), meets[1]), Fraction(1, 4)]
    assert meets[0] < Fraction(9, 19)
    assert_allclose(found.low, [float(one) for one in low], rtol=0, atol=1e-12)
    assert_allclose(found.high, [float(one) for one in high], rtol=0, atol=1e-12)


def test_changes_of_one_weight_of_the_published_example():
    """Triantaphyllou & Sanchez, Decision Sciences 28 (1997) 151-194 (numbers from memory).

    They take a change off one weight and rescale: .0254 off C4 swaps the second and the third, and no change
    of a pair of neighbours on C4 is smaller; .0618 onto C1 does the same, .0903 onto C4 the first and second.
    """
    matrix = [
        [0.3088, 0.2897, 0.3867, 0.1922],
        [0.2163, 0.3458, 0.1755, 0.6288],
        [0.4509, 0.2473, 0.1194, 0.0575],
        [0.024, 0.1172, 0.3184, 0.1215],
    ]
    weights = np.array([0.3277, 0.3058, 0.2876, 0.079])
    found = weight_spans(matrix, weights)

    def change(k, share):
        """What is taken off weight k so that, rescaled, it is this share."""
        others = weights.sum() - weights[k]
        return weights[k] - others * share / (1 - share)

    assert change(3, found.low[3]) == pytest.approx(0.0254, abs=6e-5)
    assert change(0, found.high[0]) == pytest.approx(-0.0618, abs=6e-5)
    assert change(3, found.leader_high[3]) == pytest.approx(-0.0903, abs=6e-5)
    assert change(2, found.leader_low[2]) == pytest.approx(0.1866, abs=6e-5)


def moved(weights, k, share):
    rest = np.delete(weights, k)
    return np.insert(rest / rest.sum() * (1 - share), k, share)


@pytest.mark.trial(seed=7, few=200, full=1000)
def test_random_cases_hold_inside_and_change_just_outside(trial):
    """The order at the ends, by sorting at moved weights: nothing is taken from the formula."""
    rng = np.random.default_rng(trial.seed)
    for _ in range(trial.count):
        m, n = rng.integers(2, 7), rng.integers(2, 6)
        scores, weights = rng.uniform(0, 100, (m, n)), rng.dirichlet(np.ones(n))
        found = weight_spans(scores, weights)
        order = np.argsort(-scores @ weights)
        k = rng.integers(n)
        for low, high, upto in (
            (found.low[k], found.high[k], m),
            (found.leader_low[k], found.leader_high[k], 1),
        ):
            assert 0 <= low <= weights[k] <= high <= 1
            for end, inward in ((low, 1), (high, -1)):
                inside = moved(weights, k, np.clip(end + inward * 1e-9, 0, 1))
                assert (np.argsort(-scores @ inside)[:upto] == order[:upto]).all()
                if 1e-6 < end < 1 - 1e-6:
                    outside = moved(weights, k, end - inward * 1e-7)
                    assert (np.argsort(-scores @ outside)[:upto] != order[:upto]).any()


def test_a_release_that_is_better_in_all_leads_whatever_the_weights():
    """Dominance limits nothing."""
    found = weight_spans([[80, 70, 90], [60, 50, 40]], [5, 3, 2])
    assert (found.low == 0).all()
    assert (found.high == 1).all()


def test_a_tie_breaks_whichever_way_a_weight_moves():
    """Both have 50 at even weights; the third weighs nothing and they are equal in it."""
    found = weight_spans([[40, 60, 7], [60, 40, 7]], [1, 1, 0])
    assert_allclose(found.low, [0.5, 0.5, 0])
    assert_allclose(found.high, [0.5, 0.5, 1])
    assert_allclose(found.leader_low, found.low)


def test_a_tie_is_not_split_by_the_noise_of_floats():
    """0.1 x 3 + 0.2 x 3 + 0.7 x 1 and 0.1 x 1 + 0.2 x 4 + 0.7 x 1: 1.6 both, though floats differ."""
    found = weight_spans([[3, 3, 1], [1, 4, 1]], [0.1, 0.2, 0.7])
    assert_allclose(found.low[:2], [0.1, 0.2])
    assert_allclose(found.high[:2], [0.1, 0.2])


def test_identical_releases_limit_nothing():
    """They tie at every share."""
    found = weight_spans([[40, 60], [40, 60]], [1, 1])
    assert found.low.tolist() == [0, 0]
    assert found.high.tolist() == [1, 1]
    among = weight_spans([[40, 60], [40, 60], [50, 20]], [1, 1])
    assert_allclose(among.high, weight_spans([[40, 60], [50, 20]], [1, 1]).high)


@pytest.mark.parametrize("scores", [[[40, 60]], [[40], [60]]])
def test_one_release_or_one_criterion_has_no_limits(scores):
    """Nothing can change places."""
    found = weight_spans(scores, [1] * len(scores[0]))
    assert (found.low == 0).all()
    assert (found.high == 1).all()
    assert (found.leader_low == 0).all()
    assert (found.leader_high == 1).all()


def test_a_criterion_of_no_weight_says_how_much_would_change_the_order():
    """60 against 40, and 0 against 100 on what does not count: even at t = 20 / 120."""
    found = weight_spans([[60, 0], [40, 100]], [1, 0])
    assert found.low[1] == 0
    assert found.high[1] == pytest.approx(1 / 6)
    assert (found.low[0], found.high[0]) == (0, 1)


@pytest.mark.parametrize("weights", [[1, -1], [1, nan], [0, 0], [1, float("inf")], [1, 1, 1], []])
def test_weights_that_are_none_are_refused(weights):
    """Negative, no number, all zero, or not one a criterion."""
    with pytest.raises(ValueError, match="weights"):
        weight_spans([[1, 2], [3, 4]], weights)


@pytest.mark.parametrize("scores", [[[1, nan], [2, 3]], [[1, float("inf")], [2, 3]], [1, 2], [[], []]])
def test_scores_that_are_not_complete_are_refused(scores):
    """A partial release makes the grade a ratio in the weights, which this does not answer."""
    with pytest.raises(ValueError, match="scores"):
        weight_spans(scores, [1, 1])
