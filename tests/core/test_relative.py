"""Season-relative views of a column."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from rating.core.relative import Relative, distance_to_best, min_max, percentile, z_scores

VIEWS = [min_max, z_scores, percentile, distance_to_best]
columns = st.lists(st.floats(0, 1e6, allow_subnormal=False), min_size=1, max_size=20)


@pytest.mark.parametrize(
    ("view", "values"),
    [
        (min_max, (0.25, 0.0, 1.0, 1.0)),
        (percentile, (50.0, 25.0, 75.0, 75.0)),
        (distance_to_best, (4 / 7, 3 / 7, 1.0, 1.0)),
    ],
)
def test_each_view_by_hand(view, values):
    """Four values, the upper two tied, worked out from the definition."""
    assert view([4, 3, 7, 7]) == Relative(values=values, remark=None)


def test_z_scores_use_the_sample_standard_deviation():
    """(4, 3, 7, 6): mean 5, squared distances sum to 10, over n - 1 = 3 (over n it would be 2.5)."""
    deviation = math.sqrt(10 / 3)
    expected = [-1 / deviation, -2 / deviation, 2 / deviation, 1 / deviation]
    assert_allclose(z_scores([4, 3, 7, 6]).values, expected, rtol=1e-14)


@pytest.mark.parametrize(
    ("view", "middle"), [(min_max, 0.5), (z_scores, 0.0), (percentile, 50.0), (distance_to_best, 0.5)]
)
@pytest.mark.parametrize("value", [0, 0.1, 100])
def test_a_constant_column_gives_the_middle_and_a_remark(view, middle, value):
    """Where nothing differs no release is best or worst, and the view says so."""
    assert view([value] * 3) == Relative(
        values=(middle,) * 3, remark=f"all 3 values are {value:g}, so nothing tells them apart"
    )


@pytest.mark.parametrize("view", VIEWS)
def test_a_single_value_gives_the_middle_and_says_that_it_is_alone(view):
    """The first release of a season is compared with nothing."""
    seen = view([62])
    assert seen.values == view([62, 62]).values[:1]
    assert seen.remark == "only one value (62), so there is nothing to compare it with"


@pytest.mark.parametrize("view", VIEWS)
@given(column=columns)
def test_no_view_ever_gives_nan_or_turns_an_order_around(view, column):
    """Values are finite, and a larger value never stands lower."""
    seen = view(column)
    assert all(math.isfinite(value) for value in seen.values)
    by_size = [seen.values[place] for place in np.argsort(column, kind="stable")]
    assert all(lower <= higher for lower, higher in itertools.pairwise(by_size))


@pytest.mark.parametrize(("view", "top"), [(min_max, 1), (percentile, 100), (distance_to_best, 1)])
@given(column=columns)
def test_bounded_views_stay_in_their_range(view, top, column):
    """Shares lie from 0 to 1, percentiles from 0 to 100."""
    assert all(0 <= value <= top for value in view(column).values)


@pytest.mark.parametrize("view", VIEWS)
@given(column=columns, order=st.randoms(use_true_random=False))
def test_the_order_of_releases_is_irrelevant(view, column, order):
    """Shuffled values give the same view, shuffled in the same way."""
    places = list(range(len(column)))
    order.shuffle(places)
    shuffled = view([column[place] for place in places]).values
    assert_allclose(shuffled, np.array(view(column).values)[places], rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("view", [min_max, z_scores, percentile])
@given(column=st.lists(st.integers(0, 1000), min_size=1, max_size=20), factor=st.integers(1, 9))
def test_the_unit_does_not_matter_where_the_view_promises_it(view, column, factor):
    """Another unit with another zero (factor and offset) changes nothing in three of the views."""
    changed = [value * factor + 32 for value in column]
    assert_allclose(view(changed).values, view(column).values, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("view", VIEWS)
def test_inputs_are_never_changed(view):
    """The column is the same after the call as before."""
    column = np.array([3.0, 1.0, 2.0])
    view(column)
    assert column.tolist() == [3.0, 1.0, 2.0]


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize(
    ("column", "message"),
    [
        ([], r"at least one, got shape \(0,\)"),
        ([[1, 2]], r"shape \(releases,\) and at least one, got shape \(1, 2\)"),
        ([1, math.nan], "must be finite, got nan at position 1"),
        ([math.inf, 1], "must be finite, got inf at position 0"),
    ],
)
def test_a_column_without_meaning_is_refused(view, column, message):
    """Nothing, a table, or a value that is not finite: a ValueError that quotes it."""
    with pytest.raises(ValueError, match=message):
        view(column)


def test_a_share_of_the_best_needs_a_zero_to_count_from():
    """Negative values have no share of the best."""
    with pytest.raises(ValueError, match="needs values from 0 up, got -2"):
        distance_to_best([3, -2])
