"""How fast stability intervals and smallest changes are, beside a scan and a general optimiser.

Ratios of CPU time, both sides in one run, in turn, medians of five. Smallest changes are found for all pairs
of 200 releases at once; optimisers, which solve one pair a call, are timed on 0.2 % of the pairs and scaled.
"""

from __future__ import annotations

import numpy as np
from scipy.optimize import linprog

from rating.sensitivity.spans import weight_spans
from rating.sensitivity.swaps import nearest_weights

N = 14


def season(m):
    rng = np.random.default_rng(m)
    return rng.integers(0, 101, (m, N)).astype(float), rng.dirichlet(np.ones(N))


def pairs(m):
    """Differences of all pairs of which the first is behind and better on something."""
    scores, weights = season(m)
    gaps = (scores[:, np.newaxis] - scores).reshape(-1, N)
    return gaps[(gaps @ weights < 0) & (gaps.max(axis=1) > 0)], weights


def test_intervals_are_fifteen_times_as_fast_as_a_scan(ratio):
    """101 shares of each criterion, all grades in one product, the order by sorting: 200 releases."""
    scores, weights = season(200)
    steps = np.linspace(0, 1, 101)

    def scan():
        order = np.argsort(-(scores @ weights))
        found = np.empty((N, 2))
        for k in range(N):
            shares = np.outer(1 - steps, weights / (1 - weights[k]))
            shares[:, k] = steps
            same = (np.argsort(-(shares @ scores.T), axis=1) == order).all(axis=1)
            leads = same | (np.abs(steps - weights[k]) < 0.01)
            found[k] = steps[leads].min(), steps[leads].max()
        return found

    exact, rough = weight_spans(scores, weights), scan()
    assert np.abs(exact.low - rough[:, 0]).max() < 0.02
    assert np.abs(exact.high - rough[:, 1]).max() < 0.02
    assert 1 / ratio(lambda: weight_spans(scores, weights), scan) >= 15


def in_all(gap, weights):
    ones = np.ones(N)
    return linprog(
        np.ones(2 * N),
        A_ub=[np.concatenate([-gap, gap])],
        b_ub=[gap @ weights],
        A_eq=[np.concatenate([ones, -ones])],
        b_eq=[0],
        bounds=[(0, None)] * N + [(0, one) for one in weights],
        method="highs",
    ).fun


def test_smallest_changes_are_much_faster_than_an_optimiser(ratio):
    """A pair: at least 1,000 times HiGHS, and equal within 1e-9."""
    gaps, weights = pairs(200)
    some = gaps[:: len(gaps) // 40]

    def theirs():
        return [in_all(gap, weights) for gap in some]

    np.testing.assert_allclose(nearest_weights(some, weights)[1], theirs(), rtol=0, atol=1e-9)
    measured = ratio(lambda: nearest_weights(gaps, weights), theirs)
    faster = len(gaps) / len(some) / measured
    print(f"{faster:,.0f} times as fast a pair")
    assert faster >= 1000
