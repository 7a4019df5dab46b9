"""Combining rules: closed forms, refusals and properties."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from rating.core import combine

NAN = math.nan

any_points = st.floats(0, 100)
# thousandths: where two releases differ only in the last bit, the published TOPSIS is noise by its nature
points = st.integers(0, 100_000).map(lambda thousandths: thousandths / 1000)
positive = st.floats(1e-3, 1e3)


def tables_of(elements):
    return st.integers(1, 5).flatmap(
        lambda n: st.tuples(
            st.lists(st.lists(elements, min_size=n, max_size=n), min_size=1, max_size=6),
            st.lists(positive, min_size=n, max_size=n),
        )
    )


tables = tables_of(points)
tables_of_any_floats = tables_of(any_points)


def usual_flow(scores, weights):
    return combine.promethee(scores, weights)


def linear_flow(scores, weights):
    return combine.promethee(scores, weights, "linear", 20)


def vector_topsis(scores, weights):
    return combine.topsis(scores, weights, "vector")


def distance_on_the_scale(scores, weights):
    n = len(weights)
    return combine.declared_distance(scores, weights, [(0, 100)] * n, ["high"] * n)


RULES = [
    combine.weighted_mean,
    combine.weighted_geometric_mean,
    combine.topsis,
    vector_topsis,
    usual_flow,
    linear_flow,
    distance_on_the_scale,
]
NEED_ALL_SCORES = RULES[2:]


@pytest.mark.parametrize("rule", RULES)
@given(case=tables, factor=positive)
def test_only_the_ratio_of_weights_matters(rule, case, factor):
    """Multiplying all weights by a constant changes nothing, in every rule."""
    scores, weights = case
    expected = rule(scores, weights)
    assert_allclose(rule(scores, [w * factor for w in weights]), expected, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("rule", RULES)
@given(case=tables, order=st.randoms(use_true_random=False))
def test_the_order_of_releases_is_irrelevant(rule, case, order):
    """Shuffled releases get the same values, shuffled in the same way."""
    scores, weights = case
    places = list(range(len(scores)))
    order.shuffle(places)
    assert_allclose(
        rule([scores[place] for place in places], weights),
        rule(scores, weights)[places],
        rtol=1e-9,
        atol=1e-9,
    )


@pytest.mark.parametrize("rule", RULES)
@given(case=tables, order=st.randoms(use_true_random=False))
def test_the_order_of_criteria_is_irrelevant(rule, case, order):
    """Shuffling criteria together with their weights changes nothing but the last bits."""
    scores, weights = case
    places = list(range(len(weights)))
    order.shuffle(places)
    shuffled = rule(
        [[row[place] for place in places] for row in scores], [weights[place] for place in places]
    )
    assert_allclose(shuffled, rule(scores, weights), rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("rule", [combine.weighted_mean, combine.weighted_geometric_mean])
@given(case=tables_of_any_floats)
def test_a_mean_lies_between_the_lowest_and_the_highest_score(rule, case):
    """No rounding carries a mean past the scores it is made from, so it stays within 0 to 100."""
    scores, weights = case
    means = rule(scores, weights)
    assert (means >= np.min(scores, axis=1)).all()
    assert (means <= np.max(scores, axis=1)).all()


@pytest.mark.parametrize("weights", [[44, 247], [144, 25], [262, 58, 167, 240, 108]])
def test_perfect_scores_give_exactly_a_perfect_mean(weights):
    """With these weights a float mean of 100s, or a sum of shares, would pass its end by a last bit."""
    scores = [[100.0] * len(weights), [0.0] * len(weights)]
    assert combine.weighted_mean(scores, weights).tolist() == [100, 0]
    assert combine.weighted_geometric_mean(scores, weights).tolist() == [100, 0]
    assert distance_on_the_scale(scores, weights)[1] <= 1


@pytest.mark.parametrize("rule", RULES)
def test_the_layout_of_a_table_in_memory_is_irrelevant(rule):
    """Rows first or columns first, the answer is the same to the last bit."""
    rng = np.random.default_rng(3)
    scores, weights = rng.uniform(0, 100, (50, 14)), rng.integers(1, 300, 14)
    assert_array_equal(rule(np.asfortranarray(scores), weights), rule(scores, weights))


@pytest.mark.parametrize(
    ("rule", "low", "high"),
    [
        (combine.topsis, 0, 1),
        (vector_topsis, 0, 1),
        (usual_flow, -1, 1),
        (linear_flow, -1, 1),
        (distance_on_the_scale, 0, 1),
    ],
)
@given(case=tables_of_any_floats)
def test_each_comparison_rule_stays_in_its_range(rule, low, high, case):
    """Closeness and distance lie from 0 to 1, net flows from -1 to 1, and nothing is ever NaN."""
    values = rule(*case)
    assert (values >= low - 1e-12).all()
    assert (values <= high + 1e-12).all()


@given(case=tables_of_any_floats, gain=any_points)
def test_a_better_score_never_lowers_a_weighted_mean(case, gain):
    """Raising one score leaves the mean where it is or raises it, to the last bit."""
    scores, weights = case
    better = [list(row) for row in scores]
    better[0][0] = min(100.0, better[0][0] + gain)
    assert combine.weighted_mean(better, weights)[0] >= combine.weighted_mean(scores, weights)[0]


@pytest.mark.parametrize("rule", [combine.weighted_geometric_mean, combine.topsis, usual_flow, linear_flow])
@given(case=tables, gain=points)
def test_a_better_score_never_lowers_another_rule(rule, case, gain):
    """Raising one score lowers none of the rules in which more is better."""
    scores, weights = case
    better = [list(row) for row in scores]
    better[0][0] = min(100.0, better[0][0] + gain)
    assert rule(better, weights)[0] >= rule(scores, weights)[0] - 1e-9


@pytest.mark.parametrize(
    "rule", [combine.weighted_mean, combine.weighted_geometric_mean, combine.topsis, distance_on_the_scale]
)
@given(case=tables_of_any_floats)
def test_a_declared_rule_never_moves_a_release_when_another_is_added(rule, case):
    """A value depends on the release's own scores only, to the last bit."""
    scores, weights = case
    assert rule(scores, weights)[0] == rule(scores[:1], weights)[0]


@pytest.mark.parametrize("rule", RULES)
def test_inputs_are_never_changed(rule):
    """Scores and weights are the same after the call as before, in either memory layout."""
    for order in ("C", "F"):
        scores = np.array([[10.0, 90.0, 40.0], [0.0, 50.0, 100.0]], order=order)
        weights = np.array([1.0, 2.0, 3.0])
        before = scores.copy(), weights.copy()
        rule(scores, weights)
        assert_array_equal(scores, before[0])
        assert_array_equal(weights, before[1])


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize(
    ("weights", "message"),
    [
        ([1, -2], r"not negative and not all zero, got \[1.0, -2.0\]"),
        ([1, NAN], r"finite, .* got \[1.0, nan\]"),
        ([1, math.inf], r"finite, .* got \[1.0, inf\]"),
        ([0, 0], r"not all zero, got \[0.0, 0.0\]"),
        ([1, 2, 3], r"2 criteria need weights of shape \(2,\), got shape \(3,\)"),
        ([[1, 2]], r"2 criteria need weights of shape \(2,\), got shape \(1, 2\)"),
    ],
)
def test_weights_that_mean_nothing_are_refused_with_their_numbers(rule, weights, message):
    """Negative, NaN, infinite, all zero or the wrong number: a ValueError that quotes them."""
    if rule is distance_on_the_scale:
        with pytest.raises(ValueError, match=message):
            combine.declared_distance([[10, 20], [30, 40]], weights, [(0, 100)] * 2, ["high"] * 2)
        return
    with pytest.raises(ValueError, match=message):
        rule([[10, 20], [30, 40]], weights)


@pytest.mark.parametrize("rule", NEED_ALL_SCORES)
def test_rules_that_need_all_scores_refuse_an_unknown_one(rule):
    """TOPSIS, PROMETHEE and the distance say where the unknown score stands."""
    with pytest.raises(ValueError, match="complete scores, all finite, got nan in row 1, column 0"):
        rule([[10, 20], [NAN, 40]], [1, 1])


@pytest.mark.parametrize("bad", [-0.5, 100.5, math.inf])
@pytest.mark.parametrize("rule", [rule for rule in RULES if rule is not vector_topsis])
def test_scores_off_the_scale_are_refused(rule, bad):
    """A score below 0 or above 100 is quoted with its place."""
    with pytest.raises(ValueError, match=rf"{bad:g}.* in row 0, column 1"):
        rule([[10, bad]], [1, 1])


@pytest.mark.parametrize("rule", RULES)
def test_a_single_row_of_scores_is_no_table(rule):
    """One-dimensional scores are refused, so that a release cannot be taken for a criterion."""
    with pytest.raises(ValueError, match=r"shape \(releases, criteria\), got shape \(2,\)"):
        rule([10, 20], [1, 1])


@pytest.mark.parametrize("rule", RULES)
def test_no_releases_give_no_values(rule):
    """An empty season gives an empty answer."""
    assert rule(np.empty((0, 2)), [1, 1]).shape == (0,)


def test_unknown_scores_share_their_weight_out_over_the_rest():
    """(40*80 + 30*60 + 10*40) / 80 = 67.5, and (60^3 * 30)^(1/4) for the product."""
    assert_allclose(combine.weighted_mean([[80, 60, NAN, 40]], [40, 30, 20, 10]), [67.5])
    expected = (60**3 * 30) ** (1 / 4)
    assert_allclose(combine.weighted_geometric_mean([[60, NAN, 30]], [3, 5, 1]), [expected])


@pytest.mark.parametrize("rule", [combine.weighted_mean, combine.weighted_geometric_mean])
def test_a_release_of_which_nothing_that_weighs_is_known_has_no_mean(rule):
    """It gets NaN, never 0, and the others are not touched."""
    assert_array_equal(rule([[NAN, NAN], [NAN, 70], [50, 50]], [1, 0]), [NAN, NAN, 50])


def test_a_zero_spoils_a_geometric_mean_only_where_it_weighs():
    """A score of 0 with weight gives 0; without weight it has no say."""
    assert_array_equal(combine.weighted_geometric_mean([[0, 100], [100, 0]], [1, 0]), [0, 100])


def test_closeness_on_the_declared_scale_is_measured_from_0_and_100():
    """One criterion: score / 100. Two equal ones at (100, 0): as far from best as from worst, 0.5."""
    assert_allclose(combine.topsis([[0], [25], [100]], [7]), [0, 0.25, 1])
    # (100, 50) with equal weights: distances 1/2 and sqrt(5)/2 of one criterion's length
    closeness = math.sqrt(5) / (1 + math.sqrt(5))
    assert_allclose(combine.topsis([[100, 0], [100, 50]], [1, 1]), [0.5, closeness])


def test_vector_closeness_of_equal_releases_is_the_middle():
    """Where no two releases differ, best and worst coincide, and all get 0.5 instead of NaN."""
    assert_array_equal(vector_topsis([[3, 0], [3, 0]], [1, 2]), [0.5, 0.5])
    assert_array_equal(vector_topsis([[3, 7]], [1, 2]), [0.5])


def test_vector_closeness_survives_very_large_and_very_small_columns():
    """The unit of a column does not matter, even where its squares would overflow or vanish."""
    plain = vector_topsis([[1, 2], [3, 1]], [1, 1])
    assert_allclose(vector_topsis([[1e200, 2e-200], [3e200, 1e-200]], [1, 1]), plain, rtol=1e-12)


def test_an_unknown_norm_is_refused():
    """Only the two named forms exist."""
    with pytest.raises(ValueError, match="norm is declared or vector, not 'l1'"):
        combine.topsis([[1]], [1], "l1")


def test_linear_flow_counts_a_lead_in_proportion_up_to_its_width():
    """Leads of 5, 10 and 15 points at a width of 10 count 0.5, 1 and 1; each flow is halved by 2 rivals."""
    assert_allclose(combine.promethee([[5], [10], [20]], [1], "linear", 10), [-0.75, -0.25, 1])


def test_linear_flow_takes_a_width_for_each_criterion():
    """Two releases, leads of 10 and -10 at widths 20 and 40, weights 1 and 3: (0.5 - 3 * 0.25) / 4."""
    flows = combine.promethee([[60, 40], [50, 50]], [1, 3], "linear", [20, 40])
    assert_allclose(flows, [-0.0625, 0.0625])


@given(case=tables)
def test_linear_flow_over_the_whole_scale_is_the_weighted_mean_less_that_of_the_rivals(case):
    """At a width of 100 the net flow is (mean - average mean) * m / (m - 1) / 100."""
    scores, weights = case
    m = len(scores)
    means = combine.weighted_mean(scores, weights)
    expected = (means - means.mean()) * m / max(m - 1, 1) / 100
    assert_allclose(combine.promethee(scores, weights, "linear", 100), expected, atol=1e-9)


@pytest.mark.parametrize("rule", [usual_flow, linear_flow])
@given(case=tables)
def test_net_flows_sum_to_zero(rule, case):
    """What one release wins another loses."""
    assert_allclose(rule(*case).sum(), 0, atol=1e-9)


@pytest.mark.parametrize(
    ("preference", "width", "message"),
    [
        ("usual", 10, "the usual preference has no width, got 10"),
        ("linear", None, "needs a width in points, got None"),
        ("linear", 0, "one number above 0 or 2 of them, got 0.0"),
        ("linear", [5, NAN], r"got \[5.0, nan\]"),
        ("linear", [5, 5, 5], r"or 2 of them, got \[5.0, 5.0, 5.0\]"),
        ("gauss", None, "preference is usual or linear, not 'gauss'"),
    ],
)
def test_a_width_out_of_place_is_refused(preference, width, message):
    """A width belongs to the linear preference, above 0, one or one a criterion."""
    with pytest.raises(ValueError, match=message):
        combine.promethee([[10, 20], [30, 40]], [1, 1], preference, width)


@given(case=tables)
def test_distance_on_the_scale_is_what_the_weighted_mean_lacks(case):
    """On bounds 0 to 100, more being better, it is 1 - mean / 100."""
    assert_allclose(distance_on_the_scale(*case), 1 - combine.weighted_mean(*case) / 100, atol=1e-12)


@pytest.mark.parametrize(
    ("bounds", "directions", "message"),
    [
        ([(0, 1)], ["high", "low"], r"bounds must have shape \(2, 2\), got \(1, 2\)"),
        ([(0, 50), (9, 9)], ["high", "low"], r"finite and rise, got \[\[0.0, 50.0\], \[9.0, 9.0\]\]"),
        ([(0, 50), (0, math.inf)], ["high", "low"], "finite and rise"),
        ([(0, 50), (0, 50)], ["high"], r"2 times high or low, got \['high'\]"),
        ([(0, 50), (0, 50)], ["high", "max"], r"got \['high', 'max'\]"),
        ([(0, 50), (0, 15)], ["high", "low"], "score 20 in row 0, column 1 lies outside its bounds 0 to 15"),
    ],
)
def test_bounds_that_do_not_fit_are_refused(bounds, directions, message):
    """Bounds rise, hold every score, and each has a direction."""
    with pytest.raises(ValueError, match=message):
        combine.declared_distance([[10, 20]], [1, 1], bounds, directions)
