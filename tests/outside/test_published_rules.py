"""Rules, ranks and coefficients against published examples and against other libraries."""

from __future__ import annotations

import functools
import math
import operator
import random
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy import stats

from rating import tenths
from rating.core import combine, exact
from rating.core.agreement import kendall_tau, kendall_w, krippendorff_alpha, spearman
from rating.core.rank import competition_ranks, mean_ranks

NAN = math.nan
SEEDS = range(12)


def test_the_weighted_sum_and_the_weighted_product_disagree_on_the_winner():
    """The example of the Wikipedia article on the weighted product model, as scikit-criteria tests it."""
    scores = [[25, 20, 15, 30], [10, 30, 20, 30], [30, 10, 30, 10]]
    weights = [0.2, 0.15, 0.4, 0.25]
    assert_allclose(combine.weighted_mean(scores, weights), [21.5, 22, 22], rtol=1e-12)
    first, second, third = combine.weighted_geometric_mean(scores, weights)
    ratios = [first / second, first / third, second / third]
    assert_allclose(ratios, [1.0073927436, 1.0670544113, 1.059223841], atol=1e-8)


def test_an_unknown_score_is_left_out_and_its_range_shown():
    """(40*80 + 30*60 + 10*40) / 80 = 67.5; with the unknown at 0 it is 54, at 100 it is 74."""
    weights = [40, 30, 20, 10]
    assert combine.weighted_mean([[80, 60, NAN, 40]], weights)[0] == pytest.approx(67.5, abs=1e-12)
    assert exact.grade_tenths([80, 60, None, 40], weights) == 675
    assert exact.grade_bounds([80, 60, None, 40], weights, [True] * 4) == (540, 740)


def test_scaling_to_the_season_turns_an_order_around_and_fixed_goalposts_do_not():
    """A, B, C on two measures, then D arrives: exact shares such as (10/30 + 2/10) / 2 = 4/15 for A."""
    before, after = [(10, 2), (6, 7), (0, 10)], [(10, 2), (6, 7), (0, 10), (30, 0)]

    def to_the_season(rows):
        table = np.array(rows, dtype=float)
        return combine.weighted_mean((table - table.min(axis=0)) / np.ptp(table, axis=0), [1, 1])

    def declared(rows):
        return combine.weighted_mean([(first / 30, second / 10) for first, second in rows], [1, 1])

    assert_allclose(to_the_season(before), [0.5, 0.6125, 0.5], rtol=1e-12)
    assert_allclose(to_the_season(after), [4 / 15, 0.45, 0.5, 0.5], rtol=1e-12)
    assert_allclose(declared(before), [4 / 15, 0.45, 0.5], rtol=1e-12)
    assert declared(after)[:3].tolist() == declared(before).tolist()


def test_net_flows_match_the_published_example():
    """Zhao (2013), as pymcdm tests it: usual preference, three alternatives."""
    flows = combine.promethee([[4, 3, 2], [3, 2, 4], [5, 1, 3]], [0.5, 0.3, 0.2])
    assert_allclose(flows, [0.1, -0.3, 0.2], atol=1e-9)


def test_the_distance_on_declared_bounds_matches_the_published_example():
    """Dezert et al. (2020), and it equals 1 minus the weighted sum of scaled scores."""
    scores = np.array([[10.5, -3.1, 1.7], [-4.7, 0, 3.4], [8.1, 0.3, 1.3], [3.2, 7.3, -5.3]])
    bounds = np.array([(-5, 12), (-6, 10), (-8, 5)])
    weights = [0.2, 0.3, 0.5]
    found = combine.declared_distance(scores, weights, bounds, ["high", "low", "high"])
    assert_allclose(found, [0.1989, 0.3705, 0.3063, 0.7491], atol=6e-5)
    scaled = (scores - bounds[:, 0]) / (bounds[:, 1] - bounds[:, 0])
    scaled[:, 1] = 1 - scaled[:, 1]
    assert_allclose(found, 1 - combine.weighted_mean(scaled, weights), rtol=1e-12)


def test_topsis_matches_the_published_choice_of_an_aircraft():
    """Hwang and Yoon (1981): four aircraft, the fourth attribute a cost, so its sign is turned."""
    aircraft = np.array(
        [
            [2.0, 1500, 20000, -5.5, 5, 9],
            [2.5, 2700, 18000, -6.5, 3, 5],
            [1.8, 2000, 21000, -4.5, 7, 7],
            [2.2, 1800, 20000, -5.0, 5, 5],
        ]
    )
    closeness = combine.topsis(aircraft, [0.2, 0.1, 0.1, 0.1, 0.2, 0.3], "vector")
    assert_allclose(closeness, [0.643, 0.268, 0.613, 0.312], atol=0.0006)


@pytest.mark.parametrize(
    ("ranks", "expected"), [(mean_ranks, (1, 2.5, 4, 2.5)), (competition_ranks, (1, 2, 4, 2))]
)
def test_tie_conventions_match_their_documentation(ranks, expected):
    """The example of scipy.stats.rankdata: average and min of 0, 2, 3, 2, rising."""
    assert ranks([0, 2, 3, 2], best="low") == expected


def test_mean_ranks_share_the_places_they_take_up():
    """The convention known as 1 2.5 2.5 4, on seven grades with a triple and a double tie."""
    assert mean_ranks([88, 92, 75, 92, 88, 60, 92]) == (4.5, 2, 6, 2, 4.5, 7, 2)


def test_competition_ranks_share_the_better_place():
    """1224 on the same seven grades: three firsts, then the fourth."""
    assert competition_ranks([88, 92, 75, 92, 88, 60, 92]) == (4, 1, 6, 1, 4, 7, 1)


def test_grades_are_rounded_half_up_where_round_goes_to_even():
    """Python's own documentation of round() against ROUND_HALF_UP of the decimal module."""
    assert [round(84.5), round(85.5), round(2.675, 2)] == [84, 86, 2.67]
    assert [tenths.half_up(Fraction(text)) for text in ("84.5", "85.5")] == [85, 86]
    assert tenths.half_up(Fraction("2.675") * 100) == 268
    # 84.45 and 84.55: half even would show 84.4 and 84.6
    assert exact.grade_tenths([84, 85], [11, 9]) == 845
    assert exact.grade_tenths([84, 85], [9, 11]) == 846


def test_w_of_three_judges_matches_the_textbook():
    """Siegel and Castellan: three judges, six objects, S = 25.5, W = 12 * 25.5 / (9 * 210) = .16."""
    found = kendall_w([[1, 6, 3, 2, 5, 4], [1, 5, 6, 4, 2, 3], [6, 3, 2, 5, 4, 1]])
    assert found.value == pytest.approx(12 * 25.5 / (9 * 210), abs=1e-9)


def test_w_of_four_judges_matches_the_teaching_note():
    """Four judges, ten projects, rank sums 10 to 38, squared deviations 1048, W = .794."""
    judges = [
        [1, 3, 4, 5, 2, 8, 6, 7, 10, 9],
        [2, 1, 4, 5, 6, 3, 8, 7, 10, 9],
        [3, 2, 1, 5, 7, 4, 6, 8, 9, 10],
        [4, 2, 3, 1, 6, 7, 5, 9, 8, 10],
    ]
    assert np.sum(judges, axis=0).tolist() == [10, 8, 12, 16, 21, 22, 25, 31, 37, 38]
    assert kendall_w(judges).value == pytest.approx(12 * 1048 / (16 * 990), abs=1e-9)


def test_tau_and_rho_without_ties_match_the_handbook():
    """OECD/JRC Handbook (2008), p. 82, box 7: eight people, P = 22, so 2*22/28 - 1; rho is 1 - 6*22/504."""
    x, y = [1, 2, 3, 4, 5, 6, 7, 8], [3, 4, 1, 2, 5, 7, 8, 6]
    assert kendall_tau(x, y) == pytest.approx(2 * 22 / 28 - 1, abs=1e-9)
    assert spearman(x, y) == pytest.approx(1 - 6 * 22 / 504, abs=1e-9)


def test_tau_b_with_ties_matches_the_documentation_of_scipy():
    """The example of scipy.stats.kendalltau: -.4714."""
    assert kendall_tau([12, 2, 1, 12, 2], [1, 4, 7, 1, 0]) == pytest.approx(-0.4714045208, abs=1e-9)


def test_tau_matches_hollander_and_wolfe():
    """The tuna of R's help page of cor.test (Hollander and Wolfe 1973, p. 185): T = 26 of 36, tau = 4/9."""
    lightness = [44.4, 45.9, 41.9, 53.3, 44.7, 44.1, 50.7, 45.2, 60.1]
    panel = [2.6, 3.1, 2.5, 5.0, 3.6, 4.0, 5.2, 2.8, 3.8]
    assert kendall_tau(lightness, panel) == pytest.approx(4 / 9, abs=1e-8)


def test_rho_matches_the_worked_example_of_ten_people():
    """The Wikipedia article on Spearman's rank correlation: -29/165."""
    iq = [106, 100, 86, 101, 99, 103, 97, 113, 112, 110]
    television = [7, 27, 2, 50, 28, 29, 20, 12, 6, 17]
    assert spearman(iq, television) == pytest.approx(-29 / 165, abs=1e-9)


def test_alpha_matches_the_worked_example_of_three_coders():
    """The Wikipedia article on Krippendorff's alpha: 15 units with gaps, .811 interval (ordinal .807)."""
    _ = NAN
    coders = [
        [_, _, _, _, _, 3, 4, 1, 2, 1, 1, 3, 3, _, 3],
        [1, _, 2, 1, 3, 3, 4, 3, _, _, _, _, _, _, _],
        [_, _, 2, 1, 3, 4, 4, _, 2, 1, 1, 3, 3, _, 4],
    ]
    assert krippendorff_alpha(coders).value == pytest.approx(0.810844893, abs=1e-8)
    assert krippendorff_alpha(coders, "ordinal").value == pytest.approx(0.80672142, abs=1e-8)


def random_case(seed):
    """Whole scores with ties, and weights, of up to 30 releases and 14 criteria."""
    rng = np.random.default_rng(seed)
    m, n = int(rng.integers(2, 30)), int(rng.integers(2, 14))
    scores = rng.integers(1, 101, size=(m, n)).astype(float)
    # two releases differ in every criterion, so that best and worst never coincide
    scores[0], scores[1] = 20, 80
    return scores, rng.dirichlet(np.ones(n))


@pytest.mark.parametrize("seed", SEEDS)
def test_topsis_agrees_with_pymcdm(seed):
    """The published form, with some criteria where less is better."""
    pymcdm = pytest.importorskip("pymcdm")
    scores, weights = random_case(seed)
    types = np.where(np.arange(len(weights)) % 3 == 1, -1, 1)
    theirs = pymcdm.methods.TOPSIS(pymcdm.normalizations.vector_normalization)(scores, weights, types)
    assert_allclose(combine.topsis(scores * types, weights, "vector"), theirs, rtol=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_topsis_agrees_with_scikit_criteria(seed):
    """The published form on vector-scaled columns."""
    skc = pytest.importorskip("skcriteria")
    from skcriteria.agg.topsis import TOPSIS
    from skcriteria.preprocessing.scalers import VectorScaler

    scores, weights = random_case(seed)
    types = np.where(np.arange(len(weights)) % 3 == 1, -1, 1)
    table = skc.mkdm(scores, types.tolist(), weights=weights)
    scaled = VectorScaler(target="matrix").transform(table)
    with pytest.warns(UserWarning, match="can operate with minimization objectives"):
        theirs = TOPSIS().evaluate(scaled).e_.similarity
    assert_allclose(combine.topsis(scores * types, weights, "vector"), theirs, rtol=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_means_agree_with_scikit_criteria(seed):
    """Its weighted sum is our mean; its weighted product is the common logarithm of our geometric mean."""
    skc = pytest.importorskip("skcriteria")
    from skcriteria.agg.simple import WeightedProductModel, WeightedSumModel

    scores, weights = random_case(seed)
    table = skc.mkdm(scores, [1] * len(weights), weights=weights)
    sums = WeightedSumModel().evaluate(table).e_.score
    assert_allclose(combine.weighted_mean(scores, weights), sums, rtol=1e-12)
    logarithms = WeightedProductModel().evaluate(table).e_.score
    assert_allclose(np.log10(combine.weighted_geometric_mean(scores, weights)), logarithms, rtol=1e-12)


@pytest.mark.parametrize("seed", SEEDS)
def test_net_flows_agree_with_pymcdm(seed):
    """Usual and linear (V-shaped) preference, one width for each criterion."""
    pymcdm = pytest.importorskip("pymcdm")
    scores, weights = random_case(seed)
    types = np.ones(len(weights))
    usual = pymcdm.methods.PROMETHEE_II("usual")(scores, weights, types)
    assert_allclose(combine.promethee(scores, weights), usual, atol=1e-12)
    widths = np.linspace(5, 60, len(weights))
    linear = pymcdm.methods.PROMETHEE_II("vshape", p=widths)(scores, weights, types)
    assert_allclose(combine.promethee(scores, weights, "linear", widths), linear, atol=1e-12)


@pytest.mark.parametrize("seed", SEEDS)
def test_distances_on_declared_bounds_agree_with_pymcdm(seed):
    """Bounds of 0 and 100, directions of both kinds."""
    pymcdm = pytest.importorskip("pymcdm")
    scores, weights = random_case(seed)
    n = len(weights)
    types = np.where(np.arange(n) % 3 == 1, -1, 1)
    theirs = pymcdm.methods.SPOTIS(np.array([(0.0, 100.0)] * n))(scores, weights, types)
    directions = ["high" if each > 0 else "low" for each in types]
    found = combine.declared_distance(scores, weights, [(0, 100)] * n, directions)
    assert_allclose(found, theirs, rtol=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(("ours", "theirs"), [(competition_ranks, "min"), (mean_ranks, "average")])
def test_ranks_agree_with_scipy(seed, ours, theirs):
    """Both conventions, best last in scipy, so on the opposite values."""
    values = np.random.default_rng(seed).integers(0, 15, size=40)
    assert ours(values.tolist()) == tuple(stats.rankdata(-values, method=theirs))


@pytest.mark.parametrize("levels", [3, 20, 10**6])
@pytest.mark.parametrize("seed", SEEDS)
def test_tau_and_rho_agree_with_scipy(seed, levels):
    """300 releases with many ties, some and none."""
    rng = np.random.default_rng(seed)
    a = rng.integers(0, levels, size=300)
    b = a + rng.integers(0, levels, size=300)
    assert kendall_tau(a, b) == pytest.approx(stats.kendalltau(a, b).statistic, abs=1e-12)
    assert spearman(a, b) == pytest.approx(stats.spearmanr(a, b).statistic, abs=1e-12)


@pytest.mark.parametrize("levels", [3, 101])
@pytest.mark.parametrize("seed", SEEDS)
def test_w_agrees_with_the_friedman_statistic_of_scipy(seed, levels):
    """W = chi-squared / (k (m - 1)), both corrected for ties."""
    rng = np.random.default_rng(seed)
    k, m = int(rng.integers(2, 8)), int(rng.integers(3, 30))
    table = rng.integers(0, levels, size=(k, m))
    chi_squared = stats.friedmanchisquare(*table.T).statistic
    assert kendall_w(table).value == pytest.approx(chi_squared / (k * (m - 1)), abs=1e-12)


@pytest.mark.parametrize("level", ["interval", "ordinal"])
@pytest.mark.parametrize("seed", SEEDS)
def test_alpha_agrees_with_the_krippendorff_package(seed, level):
    """Whole ratings around a common level, a third of them missing."""
    krippendorff = pytest.importorskip("krippendorff")
    rng = np.random.default_rng(seed)
    k, m = int(rng.integers(2, 7)), int(rng.integers(4, 30))
    table = np.clip(rng.integers(0, 101, size=m) + rng.integers(-15, 16, size=(k, m)), 0, 100).astype(float)
    table[rng.random((k, m)) < 1 / 3] = NAN
    theirs = krippendorff.alpha(reliability_data=table, level_of_measurement=level)
    assert krippendorff_alpha(table, level).value == pytest.approx(theirs, abs=1e-10)


def test_ranking_floats_would_split_releases_that_tie():
    """Twelve equal weights of 1/12: permuted whole scores differ as floats, never as whole tenths."""
    rng = random.Random(7)
    split = 0
    for _ in range(200):
        scores = [rng.randrange(101) for _ in range(12)]
        shuffled = rng.sample(scores, 12)
        # added one by one, since sum() makes up for rounding in newer versions of Python
        products = [
            functools.reduce(operator.add, [x * (1 / 12) for x in each]) for each in (scores, shuffled)
        ]
        split += products[0] != products[1]
        grades = [exact.grade_tenths(each, [10] * 12) for each in (scores, shuffled)]
        assert competition_ranks(grades) == (1, 1)
    assert split > 0
