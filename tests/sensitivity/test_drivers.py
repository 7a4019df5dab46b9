"""Sobol indices: analytic functions, the linear closed form, and independent implementations."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from scipy import stats

from rating.sensitivity.drivers import linear_indices, sobol

UNIT = (0.0, 1.0)
G = np.array([0.0, 1.0, 4.5, 9.0, 99.0, 99.0, 99.0, 99.0])


def g_function(x):
    """Sobol's g-function: each factor |4x - 2| + a over 1 + a."""
    return ((np.abs(4 * x - 2) + G) / (1 + G)).prod(axis=1)


def ishigami(x):
    """sin x1 + 7 sin^2 x2 + 0.1 x3^4 sin x1."""
    return np.sin(x[:, 0]) + 7 * np.sin(x[:, 1]) ** 2 + 0.1 * x[:, 2] ** 4 * np.sin(x[:, 0])


def test_the_g_function_has_its_analytic_indices():
    """V_i = 1 / (3 (1 + a_i)^2), 1 + V their product plus 1 each; SALib's source has them rounded."""
    parts = 1 / (3 * (1 + G) ** 2)
    variance = np.prod(1 + parts) - 1
    assert variance == pytest.approx(0.4654244319)
    first = [0.7161921687, 0.1790480422, 0.0236757742, 0.0071619217, *[7.16192e-05] * 4]
    total = [0.7871441267, 0.2421981928, 0.0343169102, 0.0104603871, *[0.0001049491] * 4]
    assert_allclose(parts / variance, first, rtol=1e-5)
    found = sobol(g_function, [UNIT] * 8, 2**14, 1)
    assert_allclose(found.first, first, atol=5e-3)
    assert_allclose(found.total, total, atol=5e-3)


def test_the_ishigami_function_has_its_analytic_indices():
    """Ishigami and Homma (1990): variance a^2/8 + b pi^4/5 + b^2 pi^8/18 + 1/2 and its parts, a=7, b=0.1."""
    a, b = 7, 0.1
    one, two = (1 + b * math.pi**4 / 5) ** 2 / 2, a**2 / 8
    both = b**2 * math.pi**8 * (1 / 18 - 1 / 50)
    variance = one + two + both
    found = sobol(ishigami, [(-math.pi, math.pi)] * 3, 2**14, 2)
    assert_allclose(found.first, [one / variance, two / variance, 0], atol=5e-3)
    assert_allclose(found.total, [(one + both) / variance, two / variance, both / variance], atol=5e-3)


def test_a_linear_function_divides_by_squares():
    """4 x1 + 2 x2 + x3, uniform inputs: c_i^2 over their sum, first-order and total alike."""
    expected = [0.7619047619, 0.1904761905, 0.0476190476]
    found = sobol(lambda x: x @ np.array([4, 2, 1]), [UNIT] * 3, 2**13, 3)
    assert_allclose(found.first, expected, atol=2e-3)
    assert_allclose(found.total, expected, atol=2e-3)
    assert_allclose(linear_indices([4, 2, 1], [1, 1, 1]), expected, rtol=1e-9)


def test_estimates_agree_with_salib():
    """The same estimators, another implementation, on the Ishigami function."""
    sampling = pytest.importorskip("SALib.sample.sobol")
    from SALib.analyze import sobol as analysis  # comes with the sampler

    problem = {"num_vars": 3, "names": ["a", "b", "c"], "bounds": [[-math.pi, math.pi]] * 3}
    points = sampling.sample(problem, 2**12, calc_second_order=False, seed=5)
    theirs = analysis.analyze(problem, ishigami(points), calc_second_order=False, seed=5)
    ours = sobol(ishigami, problem["bounds"], 2**12, 5)
    assert_allclose(ours.first, theirs["S1"], atol=0.03)
    assert_allclose(ours.total, theirs["ST"], atol=0.03)


@pytest.mark.parametrize("seed", range(10))
def test_estimates_agree_with_scipy_on_random_polynomials(seed):
    """Products and squares with random coefficients; scipy's indices from draws of its own."""
    rng = np.random.default_rng(seed)
    c, d = rng.normal(size=4), rng.normal(size=(4, 4))

    def function(x):
        return x @ c + np.einsum("ij,jk,ik->i", x, d, x)

    theirs = stats.sobol_indices(
        func=lambda x: function(x.T), n=2**12, dists=[stats.uniform()] * 4, rng=np.random.default_rng(seed)
    )
    ours = sobol(function, [UNIT] * 4, 2**12, seed)
    assert_allclose(ours.first, theirs.first_order, atol=0.03)
    assert_allclose(ours.total, theirs.total_order, atol=0.03)


def test_standard_errors_bound_what_is_seen():
    """Over 60 seeds estimates scatter by no more than the stated errors, which are those of random draws."""
    found = [sobol(ishigami, [(-math.pi, math.pi)] * 3, 512, seed) for seed in range(60)]
    for name in ("first", "total"):
        seen = np.std([getattr(one, name) for one in found], axis=0)
        stated = np.mean([getattr(one, f"{name}_error") for one in found], axis=0)
        assert (seen < 1.1 * stated).all()
        assert (stated < 0.2).all()


def test_the_same_seed_gives_the_same_indices():
    """And another one others."""
    one, same, other = (sobol(g_function, [UNIT] * 8, 300, seed) for seed in (1, 1, 2))
    assert_array_equal(one.first, same.first)
    assert_array_equal(one.total, same.total)
    assert (one.first != other.first).any()


def test_a_constant_has_no_drivers():
    """All 0, no division by it; an input that is held still has none either."""
    found = sobol(lambda x: np.full(len(x), 61.5), [UNIT] * 2, 64, 1)
    for values in (found.first, found.total, found.first_error, found.total_error):
        assert_array_equal(values, 0)
    held = sobol(lambda x: x.sum(axis=1), [UNIT, (0.4, 0.4)], 1024, 1)
    assert_allclose(held.total, [1, 0], atol=0.01)
    assert held.first[1] == 0


def test_large_means_do_not_drown_the_indices():
    """A million added changes no index."""
    near = sobol(g_function, [UNIT] * 8, 1024, 4)
    far = sobol(lambda x: g_function(x) + 1e6, [UNIT] * 8, 1024, 4)
    assert_allclose(far.first, near.first, atol=1e-8)
    assert_allclose(far.total, near.total, atol=1e-8)


def test_the_closed_form_is_that_of_exact_fractions():
    """1,000 random grades: (w h)^2 over the sum, in fractions; scale of weights and of spreads cancel."""
    rng = np.random.default_rng(5)
    for _ in range(1000):
        n = int(rng.integers(1, 15))
        weights, spreads = rng.integers(1, 200, n), rng.integers(0, 30, n)
        squares = [Fraction(int(w * h)) ** 2 for w, h in zip(weights, spreads, strict=True)]
        exact = [float(square / (sum(squares) or 1)) for square in squares]
        assert_allclose(linear_indices(weights, spreads), exact, rtol=1e-12)


def test_an_unknown_score_counts_with_its_whole_range():
    """Uniform from 0 to 100: variance 100^2 / 12, beside 30^2 / 6 of a triangular score, equal weights."""
    unknown, known = Fraction(100**2, 12), Fraction(30**2, 6)
    assert_allclose(
        linear_indices([1, 1], [math.nan, 30]),
        [float(unknown / (unknown + known)), float(known / (unknown + known))],
    )


def test_the_closed_form_takes_a_table():
    """A row for each release; without doubt all 0; sampling gives the same."""
    spreads = [[4, 6, 0], [0, 0, 0]]
    found = linear_indices([5, 3, 2], spreads)
    assert_allclose(found, [[400 / 724, 324 / 724, 0], [0, 0, 0]])
    sampled = sobol(lambda x: x @ np.array([5, 3]), [(-4, 4), (-6, 6)], 2**12, 1)
    assert_allclose(sampled.first, found[0, :2], atol=5e-3)


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: sobol(g_function, [UNIT] * 8, 0, 1), "draws must be a whole number of at least 2, got 0"),
        (
            lambda: sobol(g_function, [UNIT] * 8, 1.5, 1),
            "draws must be a whole number of at least 2, got 1.5",
        ),
        (
            lambda: sobol(g_function, [UNIT] * 8, 8, -1),
            "the seed must be a whole number of at least 0, got -1",
        ),
        (lambda: sobol(g_function, [1, 2], 8, 1), r"shape \(inputs, 2\), got \(2,\)"),
        (lambda: sobol(g_function, [(1, 0)], 8, 1), r"finite and not fall, got \[\[1.0, 0.0\]\]"),
        (lambda: sobol(g_function, [(0, math.nan)], 8, 1), "finite and not fall"),
        (lambda: sobol(lambda x: x, [UNIT], 8, 1), r"must give shape \(8,\), got \(8, 1\)"),
        (
            lambda: sobol(lambda x: np.full(len(x), math.nan), [UNIT], 8, 1),
            "must give finite numbers, got nan",
        ),
        (lambda: linear_indices([1, 1], [1, -2]), r"not negative and finite, got \[1.0, -2.0\]"),
        (lambda: linear_indices([1, 1], [1, math.inf]), "not negative and finite"),
        (lambda: linear_indices([1, 1], 3), "one or two"),
        (lambda: linear_indices([0, 0], [1, 2]), "not all zero"),
        (lambda: linear_indices([1, -1], [1, 2]), "not negative and not all zero"),
        (lambda: linear_indices([1, 1, 1], [1, 2]), r"weights of shape \(2,\), got shape \(3,\)"),
    ],
)
def test_wrong_calls_are_refused_with_a_sentence(call, match):
    """Each wrong call raises ValueError and names what was seen."""
    with pytest.raises(ValueError, match=match):
        call()
