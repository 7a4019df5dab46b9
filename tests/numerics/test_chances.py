"""Chances: distributions against scipy and exact fractions, tests and intervals against their definitions."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import product

import numpy as np
import pytest
from scipy import stats

from rating.numerics import chances


@pytest.mark.parametrize(
    ("one_in", "packs"), [(2, 100), (1.5, 200), (24, 24), (24, 5000), (10850, 140), (144000, 1)]
)
def test_the_chance_of_none_is_good_however_small(one_in, packs):
    """(1 - 1/N)^k in fractions, down to 1e-95, where 1 minus the chance of one would be 0."""
    exact = float((1 - 1 / Fraction(one_in)) ** packs)
    assert chances.none_in_packs(one_in, packs) == pytest.approx(exact, rel=1e-12, abs=0)


def test_no_packs_hold_none_for_certain():
    """Nothing opened is none; at 1:1 a single pack never is."""
    assert (chances.none_in_packs(24, 0), chances.none_in_packs(1, 0), chances.none_in_packs(1, 1)) == (
        1,
        1,
        0,
    )


@pytest.mark.parametrize(
    ("run", "hits", "opened"), [(288, 12, 24), (10, 7, 6), (86800, 2640, 140), (50, 0, 5), (50, 50, 5)]
)
def test_counts_of_a_finite_run_are_hypergeometric(run, hits, opened):
    """Against scipy's hypergeometric distribution, and against exact binomial coefficients."""
    counts = chances.counts_in_run(run, hits, opened)
    most = min(hits, opened)
    assert counts == pytest.approx(stats.hypergeom(run, hits, opened).pmf(range(most + 1)), abs=1e-11)
    exact = [
        float(Fraction(math.comb(hits, k) * math.comb(run - hits, opened - k), math.comb(run, opened)))
        for k in range(most + 1)
    ]
    assert counts == pytest.approx(exact, rel=1e-10, abs=1e-300)
    assert counts[0] == pytest.approx(exact[0], rel=1e-12)


def test_hit_counts_agree_with_enumeration_and_scipy():
    """Four unequal chances by all 16 outcomes; 200 of them against scipy's Poisson-binomial."""
    four = [0.9, 0.05, 0.5, 1.0]
    expected = [0.0] * 5
    for outcome in product([0, 1], repeat=4):
        expected[sum(outcome)] += math.prod(p if hit else 1 - p for p, hit in zip(four, outcome, strict=True))
    assert chances.hit_counts(four) == pytest.approx(expected, abs=1e-15)
    many = np.random.default_rng(3).uniform(0, 0.2, 200)
    found = chances.hit_counts(many)
    assert found == pytest.approx(stats.poisson_binom(many).pmf(range(201)), abs=1e-12)
    assert found.sum() == pytest.approx(1, abs=1e-13)


def test_hit_counts_keep_tiny_chances():
    """All of 60 draws at 1/1000 hit with 10^-180: no term cancels another."""
    assert chances.hit_counts([0.001] * 60)[60] == pytest.approx(1e-180, rel=1e-13)
    assert list(chances.hit_counts([])) == [1]


def test_a_simulated_finite_run_agrees():
    """100,000 draws of 24 of 288 packs with 12 hits: the share without a hit within four standard errors."""
    rng = np.random.default_rng(20)
    none = (rng.hypergeometric(12, 276, 24, 100_000) == 0).mean()
    exact = chances.counts_in_run(288, 12, 24)[0]
    assert abs(none - exact) < 4 * math.sqrt(exact * (1 - exact) / 100_000)


@pytest.mark.parametrize("chance", [Fraction(1, 24), Fraction(1, 2), Fraction(9, 10), Fraction(1, 250)])
@pytest.mark.parametrize("packs", [1, 7, 40])
def test_binomial_p_values_are_those_of_the_definition(chance, packs):
    """Sum of the chances of all counts no likelier than the one seen, exactly; and scipy's test."""
    masses = [math.comb(packs, k) * chance**k * (1 - chance) ** (packs - k) for k in range(packs + 1)]
    for seen in range(packs + 1):
        exact = float(sum(mass for mass in masses if mass <= masses[seen]))
        found = chances.binomial_p(seen, packs, float(chance))
        assert found == pytest.approx(exact, rel=1e-10)
        assert found == pytest.approx(stats.binomtest(seen, packs, float(chance)).pvalue, rel=1e-9)


@pytest.mark.parametrize("expected", [0.3, 1.0, 4.0, 55.5])
def test_poisson_p_values_are_those_of_the_definition(expected):
    """Sum of scipy's Poisson chances of counts no likelier than the one seen; whole means have two modes."""
    masses = stats.poisson(expected).pmf(range(400))
    for seen in range(0, 140, 3):
        exact = masses[masses <= masses[seen] * (1 + 1e-7)].sum()
        assert chances.poisson_p(seen, expected) == pytest.approx(exact, rel=1e-9, abs=1e-250)


@pytest.mark.parametrize(("hits", "packs"), [(0, 20), (1, 29), (7, 50), (50, 50)])
@pytest.mark.parametrize("confidence", [0.9, 0.95])
def test_intervals_agree_with_scipy(hits, packs, confidence):
    """Clopper-Pearson and Wilson of scipy.stats.binomtest."""
    result = stats.binomtest(hits, packs)
    for method, found in (("exact", chances.clopper_pearson), ("wilson", chances.wilson)):
        interval = result.proportion_ci(confidence, method=method)
        assert found(hits, packs, confidence) == pytest.approx((interval.low, interval.high), abs=1e-10)


@pytest.mark.parametrize(
    ("hits", "low", "high"), [(0, 0, 3.688879), (1, 0.025318, 5.571643), (10, 4.795389, 18.390356)]
)
def test_poisson_intervals_are_those_of_garwood(hits, low, high):
    """Exact 95 % limits for counts of 0, 1 and 10, as widely tabled (half of chi-squared quantiles)."""
    assert chances.garwood(hits) == pytest.approx((low, high), abs=1e-6)
    assert high == pytest.approx(stats.chi2.ppf(0.975, 2 * hits + 2) / 2, abs=1e-6)


def test_holm_steps_down():
    """0.005, 0.01, 0.03, 0.04 times 4, 3, 2, 1, never falling: 0.02, 0.03, 0.06, 0.06."""
    assert chances.holm([0.01, 0.04, 0.03, 0.005]) == pytest.approx([0.03, 0.06, 0.06, 0.02])
    assert chances.holm([0.9, 0.8]) == [1, 1]
    assert chances.holm([]) == []


def test_opened_boxes_fit_differ_or_are_too_few():
    """One line as stated, one four times too rare, one too rare for so few packs to tell."""
    fits, differs, too_few = chances.compare_opened([(20, 480, 24), (5, 480, 24), (0, 480, 250)])
    assert (fits.verdict, differs.verdict, too_few.verdict) == ("fits", "differs", "too few to tell")
    assert (fits.expected, fits.p) == (20, 1)
    assert differs.tested == 24.5
    assert differs.p == pytest.approx(stats.binomtest(5, 480, 1 / 24.5).pvalue)
    assert differs.adjusted == pytest.approx(3 * differs.p)
    assert differs.exact == pytest.approx(tuple(stats.binomtest(5, 480).proportion_ci(method="exact")))
    assert too_few.exact[0] == 0


def test_rounded_odds_are_not_blamed_for_their_rounding():
    """193 hits in 500 packs are 1:2.59, which prints as 1:3; against 1:3 itself they differ."""
    [rounded] = chances.compare_opened([(193, 500, 3)])
    [itself] = chances.compare_opened([(193, 500, 3)], rounding=None)
    assert (rounded.verdict, itself.verdict) == ("fits", "differs")
    assert rounded.tested == pytest.approx(500 / 193)
    assert itself.p == pytest.approx(stats.binomtest(193, 500, 1 / 3).pvalue)


def test_more_than_one_a_pack_is_tested_as_a_count():
    """60 hits in 24 packs at 1:0.5 where 48 are expected: Poisson, and no Wilson interval."""
    [line] = chances.compare_opened([(60, 24, 0.5)])
    assert line.wilson is None
    assert line.verdict == "fits"
    assert line.exact == pytest.approx((stats.chi2.ppf(0.025, 120) / 48, stats.chi2.ppf(0.975, 122) / 48))


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: chances.none_in_packs(0, 24), "above 0, got 0"),
        (lambda: chances.none_in_packs("24", 24), "must be a number, got '24'"),
        (lambda: chances.none_in_packs(math.nan, 24), "finite number, got nan"),
        (lambda: chances.none_in_packs(0.5, 24), "1:0.5 are more than one a pack"),
        (lambda: chances.none_in_packs(24, -1), "packs must be at least 0, got -1"),
        (lambda: chances.none_in_packs(24, 2.5), "packs must be a whole number, got 2.5"),
        (lambda: chances.counts_in_run(10, 11, 1), "11 hits cannot be among 10"),
        (lambda: chances.counts_in_run(10, 1, 11), "11 cannot be drawn from 10"),
        (lambda: chances.hit_counts([0.5, 1.5]), "must lie in 0 to 1, got 1.5"),
        (lambda: chances.hit_counts([0.5, math.nan]), "finite number, got nan"),
        (lambda: chances.binomial_p(25, 24, 0.5), "25 hits cannot come from 24 packs"),
        (lambda: chances.binomial_p(2, 24, 1), "a stated chance must lie between"),
        (lambda: chances.poisson_p(2, 0), "the expected count must be above 0"),
        (lambda: chances.wilson(1, 10, 95), "a confidence level must lie between 0 and 1"),
        (lambda: chances.holm([0.5, 2]), "must not be above 1, got 2"),
        (lambda: chances.compare_opened([]), "no lines"),
        (lambda: chances.compare_opened([(1, 0, 24)]), "packs must be at least 1"),
    ],
)
def test_wrong_calls_are_refused_with_a_sentence(call, match):
    """Each wrong call raises ValueError and names what was seen."""
    with pytest.raises(ValueError, match=match):
        call()
