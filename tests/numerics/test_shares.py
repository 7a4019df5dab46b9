"""Slots as numbers: tiers against every partition, shares that re-sum, concentration."""

from __future__ import annotations

import itertools
import math
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating.numerics.shares import concentration, cost_shares, tiers


@pytest.mark.parametrize(
    ("values", "count", "upper", "fit"),
    [
        ([4, 5, 9, 10], 2, [5, 10], 0.9615384615),  # [H01] classroom example, from memory
        ([1, 2, 4, 5, 7, 9, 10, 20], 3, [5, 10, 20], 0.9425962166),  # [H02] Fisher 1958 / Jenks
        ([95, 91, 90, 88, 76, 74, 73, 60, 58, 41, 40, 38], 3, [41, 76, 95], 0.933976302),  # [H03]
        ([95, 91, 90, 88, 76, 74, 73, 60, 58, 41, 40, 38], 4, [41, 60, 76, 95], 0.9922843759),  # [H03]
    ],
)
def test_published_breaks(values, count, upper, fit):
    """The upper bounds, and the goodness of fit."""
    found = tiers(values, count)
    tops = [max(v for v, t in zip(values, found.tier, strict=True) if t == k) for k in range(count)]
    assert tops[::-1] == upper
    assert found.fit == pytest.approx(fit, abs=1e-9)


def least_squares(values, count):
    """The least sum of squares inside, over every way to part the sorted values."""
    ranked = sorted(values)
    best = float("inf")
    for cuts in itertools.combinations(range(1, len(ranked)), count - 1):
        parts = np.split(np.array(ranked, dtype=float), cuts)
        best = min(best, sum(((part - part.mean()) ** 2).sum() for part in parts))
    return best


@pytest.mark.parametrize("seed", range(30))
def test_no_partition_is_better(seed):
    """Eight different values, two to five tiers, by trying every partition."""
    rng = np.random.default_rng(seed)
    values = rng.permutation(rng.choice(200, 8, replace=False)).tolist()
    for count in range(2, 6):
        found = tiers(values, count)
        whole = ((np.array(values) - np.mean(values)) ** 2).sum()
        assert (1 - found.fit) * whole == pytest.approx(least_squares(values, count), abs=1e-8)


@pytest.mark.filterwarnings("ignore:Numba not installed")
def test_another_library_agrees():
    """mapclassify's Fisher-Jenks, where it is installed."""
    mapclassify = pytest.importorskip("mapclassify")
    rng = np.random.default_rng(4)
    for _ in range(20):
        values = np.unique(rng.integers(0, 1000, 16)).astype(float)
        theirs = mapclassify.FisherJenks(values, 4)
        ours = tiers(values.tolist(), 4)
        assert [3 - one for one in ours.tier] == theirs.yb.tolist()


@pytest.mark.parametrize(
    ("values", "count", "tier", "fit"),
    [
        ([5, 5, 5], 4, (0, 0, 0), 1),
        ([1, 9], 4, (1, 0), 1),
        ([3, 1, 3, 2], 3, (0, 2, 0, 1), 1),
        ([1, 2, 3], 1, (0, 0, 0), 0),
    ],
)
def test_few_different_values(values, count, tier, fit):
    """Never more tiers than values; equal values share one."""
    found = tiers(values, count)
    assert (found.tier, found.fit) == (tier, pytest.approx(fit))


def test_shares_of_a_case():
    """[C09] 720 by 300, 180, 90, 30, and 800 when it is grossed up by a tenth."""
    assert cost_shares([300, 180, 90, 30], 720) == (360, 216, 108, 36)
    assert cost_shares([300, 180, 90, 30], 800) == (400, 240, 120, 40)


def test_what_is_left_goes_to_the_largest_remainders():
    """100.00 by thirds: 33.34, 33.33, 33.33; and in whole money 34, 33, 33."""
    assert cost_shares([1, 1, 1], 100) == (Decimal("33.34"), Decimal("33.33"), Decimal("33.33"))
    assert cost_shares([1, 1, 1], 100, 0) == (34, 33, 33)


@given(
    st.lists(st.integers(0, 10_000), min_size=1, max_size=30).filter(any),
    st.integers(0, 1_000_000),
    st.integers(0, 3),
)
def test_shares_always_sum_to_the_cost_and_are_near_their_due(values, steps, places):
    """Exactly, and none is a whole step from what it is due."""
    total = Decimal(steps).scaleb(-places)
    found = cost_shares(values, total, places)
    assert sum(found) == total
    for value, share in zip(values, found, strict=True):
        due = Fraction(value) * Fraction(total) / sum(values)
        assert abs(Fraction(share) - due) < Fraction(1, 10**places)


def test_concentration_of_published_shares():
    """[C10] 30, 30, 20, 20 make 2,600 (merger guidelines); 300, 180, 90, 30 make 3,650 and Gini .375."""
    assert concentration([30, 30, 20, 20]).herfindahl == pytest.approx(2600)
    found = concentration([300, 180, 90, 30])
    assert found.herfindahl == pytest.approx(3650)
    values = [300, 180, 90, 30]
    # half the mean absolute difference over the mean
    apart = sum(abs(a - b) for a in values for b in values) / 16
    assert found.gini == pytest.approx(apart / (2 * 150)) == pytest.approx(0.375)


@pytest.mark.parametrize(
    ("call", "why"),
    [
        (lambda: tiers([], 3), "no values"),
        (lambda: tiers([1, float("nan")], 2), "finite"),
        (lambda: tiers([1, 2], 0), "at least 1"),
        (lambda: cost_shares([0, 0], 10), "all values are 0"),
        (lambda: cost_shares([-1, 2], 10), "not be below 0"),
        (lambda: cost_shares([1, 2], Decimal("1.005")), "at most 2 places"),
        (lambda: cost_shares([1], -1), "from 0 up"),
        (lambda: concentration([]), "no values"),
        (lambda: concentration([0.0]), "all values are 0"),
        (lambda: concentration([-1, 3]), "not be below 0"),
    ],
)
def test_what_cannot_be_is_refused(call, why):
    """In a sentence."""
    with pytest.raises(ValueError, match=why):
        call()


@pytest.mark.parametrize(
    ("values", "count"),
    [
        ([1e9 + v for v in (3, 1, 0, 8, 7, 0)], 4),
        ([1e9 + v for v in (2, 1, 9, 0)], 2),
        ([1e200, 1, 2], 2),
        ([-1e308, 1e308, 0], 2),
    ],
)
def test_tiers_far_from_zero_are_those_near_it(values, count):
    """Of all ways to cut the sorted values, that with the least sum of squares."""
    width = max(values) / 2 - min(values) / 2
    small = [(value / 2 - min(values) / 2) / width for value in values]
    found = tiers(values, count)
    assert found.tier == tiers(small, count).tier
    assert [values.index(one) for one in found.lowest] == [
        small.index(one) for one in tiers(small, count).lowest
    ]
    ordered = sorted(small)

    def inside(groups):
        return math.fsum((v - sum(g) / len(g)) ** 2 for g in groups for v in g)

    best = min(
        inside([ordered[a:b] for a, b in itertools.pairwise((0, *cut, len(small)))])
        for cut in itertools.combinations(range(1, len(small)), count - 1)
    )
    groups = [[v for v, t in zip(small, found.tier, strict=True) if t == k] for k in range(count)]
    assert inside(groups) == pytest.approx(best, abs=1e-12)
