"""The published grade: by exact fractions and by decimal, and every refusal."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating.core import exact

NAN = math.nan
whole_scores = st.integers(0, 100)
tenths_of_points = st.integers(0, 300)
graded = st.lists(st.tuples(st.none() | whole_scores, tenths_of_points), min_size=1, max_size=14)
scored = st.lists(st.tuples(st.integers(0, 100), st.integers(0, 1000)), min_size=1, max_size=20)


def half_up(exact):
    with localcontext(prec=60):
        quotient = Decimal(exact.numerator) / Decimal(exact.denominator)
        return int(quotient.quantize(Decimal(1), rounding=ROUND_HALF_UP))


@given(graded)
def test_a_grade_is_the_exact_mean_in_tenths_rounded_half_up(case):
    """As decimal arithmetic of 60 digits has it: no float comes near the grade."""
    known = [(score, weight) for score, weight in case if score is not None]
    total = sum(weight for _, weight in known)
    mean = None if total == 0 else Fraction(10 * sum(s * w for s, w in known), total)
    expected = None if mean is None else half_up(mean)
    assert exact.grade_tenths([s for s, _ in case], [w for _, w in case]) == expected


@pytest.mark.parametrize(
    ("scores", "weights", "tenths"),
    [
        ([84, 85], [19, 1], 841),  # 84.05, where the nearest even tenth is 84.0
        ([84, 85], [17, 3], 842),  # 84.15
        ([0, 1], [19, 1], 1),  # 0.05
        ([100, 99], [19, 1], 1000),  # 99.95
        ([100] * 14, [130] * 14, 1000),
        ([0] * 14, [130] * 14, 0),
    ],
)
def test_an_exact_half_of_a_tenth_goes_up(scores, weights, tenths):
    """Half up, not half even, at both ends of the scale as well."""
    assert exact.grade_tenths(scores, weights) == tenths


@given(st.lists(whole_scores, min_size=12, max_size=12), st.integers(1, 200), st.randoms())
def test_permuting_equal_weight_scores_never_changes_a_grade(scores, weight, order):
    """Twelve whole scores of equal weight give one grade in whatever order."""
    shuffled = list(scores)
    order.shuffle(shuffled)
    weights = [weight] * 12
    assert exact.grade_tenths(shuffled, weights) == exact.grade_tenths(scores, weights)


@given(graded, st.integers(1, 50))
def test_only_the_ratio_of_weights_matters_for_a_grade(case, factor):
    """Ten times the weights give the same grade, exactly."""
    scores, weights = [s for s, _ in case], [w for _, w in case]
    multiplied = [w * factor for w in weights]
    assert exact.grade_tenths(scores, multiplied) == exact.grade_tenths(scores, weights)


@given(graded, st.integers(0, 13), st.integers(1, 100))
def test_a_better_score_never_lowers_a_grade(case, place, gain):
    """Raising a known score keeps or raises the grade, which stays from 0 to 1000."""
    scores, weights = [s for s, _ in case], [w for _, w in case]
    place %= len(scores)
    before = exact.grade_tenths(scores, weights)
    if scores[place] is not None:
        scores[place] = min(100, scores[place] + gain)
    after = exact.grade_tenths(scores, weights)
    if before is None:
        assert after is None
    else:
        assert 0 <= before <= after <= 1000


@given(graded, st.data())
def test_the_grade_of_any_answer_lies_within_its_bounds(case, data):
    """Whatever the unknown scores turn out to be, the grade is between lowest and highest."""
    scores, weights = [s for s, _ in case], [w for _, w in case]
    bounds = exact.grade_bounds(scores, weights, [True] * len(scores))
    filled = [data.draw(whole_scores) if score is None else score for score in scores]
    grade = exact.grade_tenths(filled, weights)
    if bounds is None:
        assert grade is None
    else:
        assert bounds[0] <= grade <= bounds[1]
        assert exact.grade_tenths([0 if s is None else s for s in scores], weights) == bounds[0]
        assert exact.grade_tenths([100 if s is None else s for s in scores], weights) == bounds[1]


def test_a_criterion_that_does_not_apply_is_left_out_of_both_bounds():
    """(40*80 + 30*60 + 20*0) / 90 and (... + 20*100) / 90: the last criterion's weight is not in D."""
    bounds = exact.grade_bounds([80, 60, None, None], [40, 30, 20, 10], [True, True, True, False])
    assert bounds == (556, 778)
    assert exact.grade_bounds([None, None], [5, 0], [False, True]) is None


def test_whole_numbers_of_other_kinds_are_taken():
    """numpy integers are whole numbers too; the answer is a plain int."""
    grade = exact.grade_tenths(list(np.array([80, 70])), list(np.array([10, 10])))
    assert (grade, type(grade)) == (750, int)


@pytest.mark.parametrize(
    ("scores", "weights", "message"),
    [
        ([101], [1], "from 0 to 100, got 101"),
        ([-1], [1], "from 0 to 100, got -1"),
        ([50.0], [1], "a score must be a whole number, got 50.0"),
        ([NAN], [1], "a score must be a whole number, got nan"),
        ([50], [-1], r"must not be negative, got \[-1\]"),
        ([50], [1.5], "a weight in tenths must be a whole number, got 1.5"),
        ([50], [1, 2], "1 scores need as many weights, got 2"),
    ],
)
def test_a_grade_is_made_from_whole_numbers_only(scores, weights, message):
    """Fractions, NaN, wrong ranges and wrong lengths are refused with the number seen."""
    with pytest.raises(ValueError, match=message):
        exact.grade_tenths(scores, weights)
    with pytest.raises(ValueError, match=message):
        exact.grade_bounds(scores, weights, [True] * len(scores))


def test_bounds_refuse_a_score_where_nothing_applies():
    """A criterion cannot both have a score and not apply; each needs an answer."""
    with pytest.raises(ValueError, match="criterion 1 does not apply and still has the score 60"):
        exact.grade_bounds([80, 60], [1, 1], [True, False])
    with pytest.raises(ValueError, match="2 scores need as many answers whether they apply, got 1"):
        exact.grade_bounds([80, 60], [1, 1], [True])


@given(scored)
def test_a_grade_is_the_exact_mean_rounded_half_up(pairs):
    """(20 N + D) // (2 D) against the mean as a fraction, rounded by the decimal module."""
    scores, weights = zip(*pairs, strict=True)
    total = sum(weights)
    if total == 0:
        assert exact.grade_tenths(scores, weights) is None
        return
    mean = Fraction(sum(w * s for s, w in pairs), total)
    assert exact.grade_tenths(scores, weights) == half_up(mean * 10)
    weighted = sum(w * s for s, w in pairs)
    assert exact.grade_tenths(scores, weights) == (20 * weighted + total) // (2 * total)


def test_a_grade_on_an_exact_half_goes_up_where_round_would_not():
    """62 and 63 weighed 11 to 9 give 62.45, hence 62.5; 0 and 1 weighed 95 to 5 give 0.05, hence 0.1."""
    assert exact.grade_tenths([62, 63], [11, 9]) == 625
    assert exact.grade_tenths([0, 1], [95, 5]) == 1
    assert Decimal("0.05").quantize(Decimal("0.1"), rounding=ROUND_HALF_EVEN) == 0


@given(scored, st.integers(1, 50))
def test_only_the_ratio_of_weights_matters_where_all_is_known(pairs, factor):
    """Multiplying all weights by a whole number changes no grade."""
    scores, weights = zip(*pairs, strict=True)
    assert exact.grade_tenths(scores, [w * factor for w in weights]) == exact.grade_tenths(scores, weights)


@given(scored, st.data())
def test_a_better_score_of_one_criterion_never_lowers_a_grade(pairs, data):
    """Raising one score, whichever it is, leaves the grade or lifts it."""
    scores, weights = map(list, zip(*pairs, strict=True))
    place = data.draw(st.integers(0, len(scores) - 1))
    before = exact.grade_tenths(scores, weights)
    scores[place] = data.draw(st.integers(scores[place], 100))
    after = exact.grade_tenths(scores, weights)
    assert (before is None and after is None) or after >= before


@given(scored, st.randoms())
def test_the_order_of_criteria_is_irrelevant(pairs, order):
    """Whole numbers add up alike in any order, where floats would not."""
    shuffled = list(pairs)
    order.shuffle(shuffled)
    assert exact.grade_tenths(*zip(*shuffled, strict=True)) == exact.grade_tenths(*zip(*pairs, strict=True))
