"""Agreement of orders and of raters: closed forms, edges and properties."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating.core.agreement import (
    Agreement,
    kendall_tau,
    kendall_w,
    krippendorff_alpha,
    spearman,
)

NAN = math.nan
COEFFICIENTS = [kendall_tau, spearman]
pairs = st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=2, max_size=25)
ratings = st.integers(1, 8).flatmap(
    lambda m: st.lists(st.lists(st.integers(0, 5), min_size=m, max_size=m), min_size=2, max_size=5)
)


@pytest.mark.parametrize("coefficient", COEFFICIENTS)
def test_a_few_orders_have_coefficients_known_by_hand(coefficient):
    """The same order gives 1, the reverse -1, exactly, with ties as well; one order alone gives None."""
    assert coefficient([3, 1, 2, 2], [30, 10, 20, 20]) == 1
    assert coefficient([3, 1, 2, 2], [1, 3, 2, 2]) == -1
    assert coefficient([1, 1, 1], [1, 2, 3]) is None
    assert coefficient([1, 2, 3], [7, 7, 7]) is None
    assert coefficient([5], [5]) is None
    assert coefficient([], []) is None


@given(pairs)
def test_kendall_tau_counts_pairs(case):
    """(agreeing - disagreeing) / sqrt(pairs apart in a * pairs apart in b), counted pair by pair."""
    agreeing = apart_a = apart_b = 0
    for (a1, b1), (a2, b2) in itertools.combinations(case, 2):
        product = (a1 - a2) * (b1 - b2)
        agreeing += (product > 0) - (product < 0)
        apart_a += a1 != a2
        apart_b += b1 != b2
    expected = agreeing / math.sqrt(apart_a * apart_b) if apart_a and apart_b else None
    found = kendall_tau([a for a, _ in case], [b for _, b in case])
    assert found == (expected if expected is None else pytest.approx(expected, rel=1e-14))


@given(st.permutations(range(9)))
def test_spearman_without_ties_follows_the_sum_of_squared_differences(order):
    """1 - 6 sum d^2 / (m (m^2 - 1)), the textbook form."""
    squares = sum((place - other) ** 2 for place, other in enumerate(order))
    assert spearman(range(9), order) == pytest.approx(1 - 6 * squares / (9 * 80), abs=1e-14)


@pytest.mark.parametrize("coefficient", COEFFICIENTS)
@given(case=pairs, order=st.randoms(use_true_random=False))
def test_a_coefficient_is_symmetric_bounded_and_blind_to_order_and_unit(coefficient, case, order):
    """Swapping sides, shuffling releases or squaring values changes nothing; turning a side, the sign."""
    a, b = [x for x, _ in case], [y for _, y in case]
    found = coefficient(a, b)
    shuffled = list(case)
    order.shuffle(shuffled)
    assert coefficient(b, a) == found
    assert coefficient([x for x, _ in shuffled], [y for _, y in shuffled]) == found
    assert coefficient([x * x for x in a], b) == found
    assert coefficient([-x for x in a], b) == (None if found is None else -found)
    assert found is None or -1 <= found <= 1


@pytest.mark.parametrize("coefficient", COEFFICIENTS)
def test_values_at_the_ends_of_what_floats_hold_are_compared(coefficient):
    """No difference is formed, so nothing overflows."""
    assert coefficient([-1.7e308, 1.7e308, 0], [1, 3, 2]) == 1


@pytest.mark.parametrize("measure", [kendall_tau, spearman])
@pytest.mark.parametrize(
    ("a", "b", "message"),
    [
        ([1, 2], [1, 2, 3], r"one length are needed, got shapes \(2,\) and \(3,\)"),
        ([[1, 2]], [[1, 2]], r"got shapes \(1, 2\) and \(1, 2\)"),
        ([1, 2], [1, NAN], "must be finite, got nan at position 1 of the second"),
        ([math.inf, 2], [1, 2], "must be finite, got inf at position 0 of the first"),
    ],
)
def test_columns_that_do_not_match_are_refused(measure, a, b, message):
    """Different lengths, tables and values that are not finite are quoted."""
    with pytest.raises(ValueError, match=message):
        measure(a, b)


@given(ratings)
def test_w_lies_from_0_to_1_and_does_not_know_who_rated(rows):
    """Any order of raters and releases, and any rising change of one rater's scale, leaves W as it is."""
    found = kendall_w(rows)
    assert kendall_w(rows[::-1]).value == found.value
    assert kendall_w([row[::-1] for row in rows]).value == found.value
    assert found.value is None or 0 <= found.value <= 1
    if found.remark is None:
        assert kendall_w([[3 * r + 1 for r in rows[0]], *rows[1:]]).value == found.value


@given(st.permutations(range(8)), st.permutations(range(8)))
def test_w_of_two_raters_is_half_of_one_plus_spearman(first, second):
    """W = (1 + rho) / 2 where there are no ties."""
    assert kendall_w([first, second]).value == pytest.approx((1 + spearman(first, second)) / 2, abs=1e-14)


def test_raters_who_reverse_each_other_have_no_concordance():
    """Two opposite orders give W = 0 exactly."""
    assert kendall_w([[1, 2, 3], [3, 2, 1]]) == Agreement(value=0.0, remark=None)


def test_identical_ratings_agree_fully_and_say_so():
    """1 with a remark, not NaN, also where every rating is the same number."""
    assert kendall_w([[70, 80]] * 3) == Agreement(
        value=1.0, remark="the ratings of all 3 raters are identical"
    )
    assert kendall_w([[70, 70]] * 2).value == 1
    agree = "the raters agree exactly on all 2 releases that two or more of them rated"
    assert krippendorff_alpha([[70, 80, NAN], [70, 80, 30]]) == Agreement(value=1.0, remark=agree)
    constant = "every rating is 70, so agreement cannot be told from chance"
    assert krippendorff_alpha([[70, 70], [70, 70]]) == Agreement(value=1.0, remark=constant)


def test_a_coefficient_that_does_not_exist_is_none_and_says_why():
    """No order at all, or no release with two ratings."""
    no_order = "no rater tells any two releases apart, so there is no order"
    assert kendall_w([[50, 50], [60, 60]]) == Agreement(value=None, remark=no_order)
    nothing = "no release has two ratings, so there is nothing to compare"
    assert krippendorff_alpha([[50, NAN], [NAN, 60]]) == Agreement(value=None, remark=nothing)


def test_alpha_by_hand():
    """Two raters, (1, 2) and (1, 3): one disagreement.

    Interval: observed 2 * 1 over 4 ratings, expected over the 12 ordered pairs of 1, 1, 2, 3 is
    2 * (2 * 1 + 2 * 4 + 1) = 22; alpha = 1 - (2/4) / (22/12) = 8/11.
    Ordinal: places 1, 2.5 and 3.5, so observed 2 * 1, expected 2 * (2 * 2.25 + 2 * 6.25 + 1) = 36;
    alpha = 1 - (2/4) / (36/12) = 5/6.
    """
    assert krippendorff_alpha([[1, 2], [1, 3]]).value == pytest.approx(8 / 11, rel=1e-14)
    assert krippendorff_alpha([[1, 2], [1, 3]], "ordinal").value == pytest.approx(5 / 6, rel=1e-14)


@pytest.mark.parametrize("level", ["interval", "ordinal"])
@given(rows=ratings)
def test_alpha_does_not_know_who_rated_or_the_unit(level, rows):
    """Order of raters and releases and the unit of the scale are irrelevant; alpha never exceeds 1."""
    found = krippendorff_alpha(rows, level).value
    same = pytest.approx(found, rel=1e-9, abs=1e-12)
    assert krippendorff_alpha(rows[::-1], level).value == same
    assert krippendorff_alpha([row[::-1] for row in rows], level).value == same
    assert krippendorff_alpha([[7 * r + 3 for r in row] for row in rows], level).value == same
    assert found <= 1


@pytest.mark.parametrize("level", ["interval", "ordinal"])
@given(rows=ratings)
def test_a_release_that_one_person_rated_has_no_say_in_alpha(level, rows):
    """A column with a single rating changes nothing."""
    lonely = [[*row, 99.0 if place == 0 else NAN] for place, row in enumerate(rows)]
    assert krippendorff_alpha(lonely, level) == krippendorff_alpha(rows, level)


@pytest.mark.parametrize("measure", [kendall_w, krippendorff_alpha])
@pytest.mark.parametrize(("given_ratings", "shape"), [([[1, 2]], r"\(1, 2\)"), ([1, 2], r"\(2,\)")])
def test_one_rater_agrees_with_nobody(measure, given_ratings, shape):
    """Fewer than two raters are refused with the shape that was seen."""
    with pytest.raises(ValueError, match=rf"at least \(2, 1\), got shape {shape}"):
        measure(given_ratings)


def test_ratings_without_meaning_are_refused():
    """W needs every rating, alpha finite ones and a level it knows."""
    with pytest.raises(ValueError, match="W needs every rating, got nan in row 1, column 0"):
        kendall_w([[1, 2], [NAN, 2]])
    with pytest.raises(ValueError, match="finite or NaN, got inf in row 0"):
        krippendorff_alpha([[1, math.inf], [1, 2]])
    with pytest.raises(ValueError, match="interval or ordinal, not 'nominal'"):
        krippendorff_alpha([[1, 2], [1, 2]], "nominal")


def test_inputs_are_never_changed():
    """Columns and ratings are the same after the calls as before."""
    table = np.array([[3.0, 1.0, 2.0], [2.0, 2.0, 5.0]])
    before = table.copy()
    kendall_tau(table[0], table[1])
    spearman(table[0], table[1])
    kendall_w(table)
    krippendorff_alpha(table, "ordinal")
    assert table.tolist() == before.tolist()
