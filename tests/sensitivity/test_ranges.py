"""Rank shares: against exact areas, exact chances, published results and a plain simulation."""

from __future__ import annotations

import itertools
import math
from fractions import Fraction

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from pymcdm.methods import WSM
from scipy import stats

from rating.core.rank import competition_ranks
from rating.sensitivity import drawing
from rating.sensitivity.ranges import rank_ranges, rank_shares
from rating.sensitivity.wins import win_shares

nan = math.nan
FOUR = [[1, 0], [0, 1], [0.6, 0.6], [0.4, 0.4]]


def close(found, expected, draws):
    """Shares within five standard errors of what they should be: one miss in 1.7 million."""
    p = np.asarray(expected, dtype=float)
    off = np.abs(np.asarray(found) - p)
    assert (off <= 5 * np.sqrt(p * (1 - p) / draws) + 2e-6).all(), off.max()


# --- exact areas for three criteria ---


def clipped(polygon, normal):
    """The parts of a convex polygon on either side of a plane through 0, in exact fractions."""
    sides = [sum(a * b for a, b in zip(corner, normal, strict=True)) for corner in polygon]
    parts = ([], [])
    for i, (corner, side) in enumerate(zip(polygon, sides, strict=True)):
        before, its = polygon[i - 1], sides[i - 1]
        if its * side < 0:
            t = its / (its - side)
            cut = tuple(a + t * (b - a) for a, b in zip(before, corner, strict=True))
            parts[0].append(cut)
            parts[1].append(cut)
        if side >= 0:
            parts[0].append(corner)
        if side <= 0:
            parts[1].append(corner)
    return parts


def area_and_moment(polygon):
    """Area in the first two coordinates, and area times centroid, by a fan of triangles."""
    area, moment = Fraction(0), [Fraction(0)] * 3
    for b, c in itertools.pairwise(polygon[1:]):
        a = polygon[0]
        part = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2
        area += part
        moment = [s + part * (x + y + z) / 3 for s, x, y, z in zip(moment, a, b, c, strict=True)]
    return area, moment


def exact_shares(scores, corners):
    """Rank shares and central weights over a triangle of weights, by cutting it along every tie."""
    m = len(scores)
    whole, _ = area_and_moment(corners)
    shares, central = np.zeros((m, m)), np.full((m, 3), nan)
    for i in range(m):
        pieces = [(corners, 0)]
        for j in range(m):
            if j != i and scores[i] != scores[j]:
                lead = [Fraction(b) - Fraction(a) for a, b in zip(scores[i], scores[j], strict=True)]
                cut = [(clipped(polygon, lead), worse) for polygon, worse in pieces]
                pieces = [
                    (part, worse + side)
                    for (above, below), worse in cut
                    for part, side in ((above, 1), (below, 0))
                    if len(part) > 2
                ]
        first = [area_and_moment(polygon) for polygon, worse in pieces if worse == 0]
        for polygon, worse in pieces:
            shares[i, worse] += float(area_and_moment(polygon)[0] / whole)
        if sum(area for area, _ in first) > 0:
            total = sum(area for area, _ in first)
            central[i] = [float(sum(moment[k] for _, moment in first) / total) for k in range(3)]
    return shares, central


def fractions(*corners):
    return [tuple(Fraction(x) for x in corner) for corner in corners]


SIMPLEX = fractions((1, 0, 0), (0, 1, 0), (0, 0, 1))
FALLING = fractions(
    (1, 0, 0), (Fraction(1, 2), Fraction(1, 2), 0), (Fraction(1, 3), Fraction(1, 3), Fraction(1, 3))
)


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("order", [False, True])
def test_shares_are_areas_of_polygons(seed, order):
    """Three criteria: each rank's share is an area of the triangle of weights, its centre a centroid."""
    scores = np.random.default_rng(seed).integers(0, 11, (5, 3)).tolist()
    scores[4] = scores[seed % 4]  # identical releases share their places
    draws = 60_000
    found = rank_shares(scores, draws, seed, order=order)
    shares, central = exact_shares(scores, FALLING if order else SIMPLEX)
    close(found.shares, shares, draws)
    assert_array_equal(np.isnan(found.central_weights)[shares[:, 0] == 0], True)
    often = shares[:, 0] > 0.05
    assert_allclose(found.central_weights[often], central[often], atol=0.02)
    assert_allclose(exact_means(scores, order=order), shares @ np.arange(1, 6), rtol=1e-12)


# --- published and closed forms ---


def test_two_criteria_are_exact_stretches_of_a_line():
    """Shares and central weights of four releases, from the crossings at 0.4 and 0.6.

    Definitions of Lahdelma and Salminen (2001), Operations Research 49, 444-454; the numbers by hand.
    """
    draws = 400_000
    found = rank_shares(FOUR, draws, 1)
    close(
        found.shares,
        [[0.4, 0.1, 0.1, 0.4], [0.4, 0.1, 0.1, 0.4], [0.2, 0.8, 0, 0], [0, 0, 0.8, 0.2]],
        draws,
    )
    assert_allclose(found.central_weights[:3, 0], [0.8, 0.2, 0.5], atol=2e-3)
    assert_array_equal(np.isnan(found.central_weights[3]), True)
    assert_array_equal(found.confidence, [1, 1, 1, nan])
    assert_allclose(found.expected_rank, [2.5, 2.5, 1.8, 3.2], atol=0.01)
    assert_allclose(exact_means(FOUR), [2.5, 2.5, 1.8, 3.2], rtol=1e-12)
    assert_allclose(
        win_shares(FOUR),
        [[0.5, 0.5, 0.4, 0.6], [0.5, 0.5, 0.4, 0.6], [0.6, 0.6, 0.5, 1], [0.4, 0.4, 0, 0.5]],
        rtol=1e-12,
    )


@pytest.mark.parametrize(
    ("n", "largest", "smallest", "variance", "over_half"),
    [
        (3, 0.6111111111, 0.1111111111, 0.0555555556, 0.25),
        (5, 0.4566666667, 0.04, 0.0266666667, 0.0625),
        (12, 0.2586008899, 0.0069444444, 0.0058760684, 0.00048828125),
    ],
)
def test_drawn_weights_are_uniform_on_the_simplex(n, largest, smallest, variance, over_half):
    """Moments of uniform spacings (Renyi's representation); normalised uniforms have others.

    For three criteria normalised uniforms put more than half on the first in 1 case of 6, not of 4.
    """
    out, draws = np.empty((n, 200_000), dtype=np.float32), 200_000
    drawing.uniform(np.random.default_rng(7), out)
    weights = out / out.sum(axis=0)
    assert weights.max(axis=0).mean() == pytest.approx(largest, abs=2e-3)
    assert weights.min(axis=0).mean() == pytest.approx(smallest, rel=0.02)
    assert_allclose(weights.var(axis=1), variance, rtol=0.03)
    close((weights > 0.5).mean(axis=1), np.full(n, over_half), draws)
    assert win_shares([[1, *[0] * (n - 1)], [0.5] * n])[0, 1] == pytest.approx(over_half, rel=1e-12)
    found = rank_shares(np.eye(n), draws, 3)
    assert_allclose(np.diag(found.central_weights), largest, atol=0.01)


def test_normalised_uniforms_would_be_noticed():
    """The trap itself: one case in six instead of one in four."""
    uniforms = np.random.default_rng(2).random((3, 200_000))
    share = (uniforms[0] / uniforms.sum(axis=0) > 0.5).mean()
    assert share == pytest.approx(1 / 6, abs=5e-3)
    found = rank_shares([[1, 0, 0], [0.5, 0.5, 0.5]], 200_000, 2).shares[0, 0]
    close(found, 0.25, 200_000)


@pytest.mark.parametrize(("level", "first"), [(0.5, 0.25), (0.4, 0.04)])
def test_a_compromise_among_specialists_is_first_in_the_middle_of_the_triangle(level, first):
    """(x, x, x) against three specialists: a quarter of the triangle for one half, a 25th for 0.4."""
    found = rank_shares([[1, 0, 0], [0, 1, 0], [0, 0, 1], [level] * 3], 400_000, 5)
    close(found.shares[3, 0], first, 400_000)


def test_six_alternatives_with_uncertain_scores_come_out_as_published():
    """Six alternatives, four criteria, uniform scores: first places and confidence within a point.

    Lahdelma, Hokkanen and Salminen (1998), European Journal of Operational Research 106, 137-143, table as
    restated by the tests of the package pysensmcda. Values are linear between the observed best and worst.
    """
    table = np.array(
        [
            [5, -1.5, 15, 4],
            [2.5, -3.8, 25, 2.5],
            [3, -2.8, 10, 2.8],
            [3, -3.2, 16, 3.2],
            [2, -6.7, 0, 1],
            [4, -3.4, 30, 3.5],
        ]
    )
    half = np.column_stack([np.full(6, 0.5), np.abs(table[:, 1]) / 10, np.full(6, 10), np.full(6, 0.5)])
    low, width = table.min(axis=0), np.ptp(table, axis=0)
    found = rank_shares((table - low) / width, 200_000, 4, spreads=half / width, drawn="uniform")
    assert_allclose(100 * found.shares[:, 0], [74, 1, 0, 0, 0, 25], atol=1)
    assert_allclose(100 * found.confidence[[0, 1, 3, 5]], [99, 12, 1, 71], atol=2)
    assert found.shares[4, 0] == 0
    assert math.isnan(found.confidence[4])


# --- exact win shares ---


def exact_means(scores, **order):
    """The exact mean place: 1 and the chances that another is better; identical releases share."""
    table = np.asarray(scores)
    wins = win_shares(table, **order)
    wins[(table[:, np.newaxis] == table).all(axis=2)] = 0
    return 1 + wins.sum(axis=0)


@pytest.mark.parametrize("points", [(1, 1), (3, 5), (40, 60)])
def test_whole_dirichlet_weights_are_exact(points):
    """Two criteria: the first share has a beta distribution, whose tail scipy knows."""
    wins = win_shares([[70, 40], [50, 65]], weights=points, concentration=sum(points))
    # 20 w > 25 (1 - w)
    assert wins[0, 1] == pytest.approx(stats.beta(*points).sf(25 / 45), abs=1e-12)
    drawn = rank_shares([[70, 40], [50, 65]], 100_000, 1, weights=points, concentration=sum(points))
    close(drawn.shares[0, 0], wins[0, 1], 100_000)


def test_any_dirichlet_weights_can_be_drawn():
    """The beta distribution again, with small and broken parameters."""
    for concentration in (0.05, 0.7, 2.5, 333.3):
        found = rank_shares([[70, 40], [50, 65]], 100_000, 1, weights=[2, 3], concentration=concentration)
        expected = stats.beta(0.4 * concentration, 0.6 * concentration).sf(25 / 45)
        close(found.shares[0, 0], expected, 100_000)


@pytest.mark.trial(seed=11, few=200, full=1000)
def test_random_tables_agree_with_their_exact_means(trial):
    """The mean place of every release lies within five standard errors of the exact one."""
    rng = np.random.default_rng(trial.seed)
    for case in range(trial.count):
        m, n = int(rng.integers(1, 8)), int(rng.integers(1, 6))
        scores = rng.integers(0, 6, (m, n))
        found = rank_shares(scores, 500, case)
        places = np.arange(1, m + 1)
        spread = np.sqrt(np.maximum(found.shares @ places**2 - found.expected_rank**2, 0.02) / 500)
        assert (np.abs(found.expected_rank - exact_means(scores)) <= 5 * spread + 0.02).all()
        assert_allclose(found.shares.sum(axis=1), 1, rtol=1e-12)


def test_equal_weights_leave_their_order_open():
    """Weights 1, 2, 2: the mean of both orders of the last two, each exact, against drawing."""
    scores = np.array([[80, 20, 60], [30, 70, 50], [55, 50, 45]])
    orders = [win_shares(scores[:, [1, 2, 0]], order=True), win_shares(scores[:, [2, 1, 0]], order=True)]
    found = rank_shares(scores, 100_000, 2, weights=[1, 2, 2], order=True, wins=True)
    close(found.wins, np.mean(orders, axis=0), 100_000)
    with pytest.raises(ValueError, match="equal weights leave their order open"):
        win_shares(scores, weights=[1, 2, 2], order=True)


# --- the plain way as oracle ---


def as_they_are(column, cost):
    """Scores need no normalisation; pymcdm asks for a function of these two."""
    return column


def plainly(scores, weights, spreads, rng):
    """Shares of a loop over pymcdm's weighted sum and scipy's ranks, both independent of ours."""
    rule = WSM(as_they_are)
    m, n = scores.shape
    counts = np.zeros((m, m))
    for row in weights:
        drawn = scores + spreads * (rng.random((m, n)) - rng.random((m, n)))
        places = stats.rankdata(-rule(drawn, row, np.ones(n), validation=False), method="min").astype(int)
        counts[np.arange(m), places - 1] += 1
    return counts / len(weights)


@pytest.mark.trial(seed=8, few=2000, full=8000)
@pytest.mark.parametrize("spread", [0, 6])
@pytest.mark.parametrize("concentration", [None, 30])
def test_shares_agree_with_a_loop_over_pymcdm(trial, spread, concentration):
    """Two simulations of the same thing differ by chance only: within five standard errors of both."""
    rng = np.random.default_rng(trial.seed)
    scores = rng.integers(20, 90, (6, 4))
    points = np.array([4, 3, 2, 1])
    alphas = np.ones(4) if concentration is None else concentration * points / 10
    plain = plainly(scores, rng.dirichlet(alphas, trial.count), spread, rng)
    found = rank_shares(
        scores,
        200_000,
        1,
        weights=None if concentration is None else points,
        concentration=concentration,
        spreads=spread,
    )
    close(plain, np.clip(found.shares, 1e-3, 1), trial.count)


@pytest.mark.trial(seed=6, few=200, full=1000)
def test_constant_weights_give_the_ranks_of_scipy(trial):
    """Tables with many ties, weights kept: pymcdm's grades, ranked by scipy after rounding.

    Without the rounding some of its ties fall apart in the last bit; ours are worked out exactly.
    """
    rng, split = np.random.default_rng(trial.seed), 0
    rule = WSM(as_they_are)
    for _ in range(trial.count):
        m, n = int(rng.integers(2, 9)), int(rng.integers(1, 6))
        scores, weights = rng.integers(0, 4, (m, n)), rng.integers(1, 5, n)
        found = rank_shares(scores, 1, 1, weights=weights)
        raw = rule(scores, weights / weights.sum(), np.ones(n), validation=False)
        assert_array_equal(found.expected_rank, stats.rankdata(-np.round(raw, 9), method="min"))
        split += (stats.rankdata(-raw, method="min") != found.expected_rank).any()
    assert split > 0


def test_doubt_about_scores_alone_moves_places():
    """Two releases, one criterion, constant weight: the difference of triangular scores, in closed form.

    d = 4 points apart with half-widths of 5: P(t1 - t2 > -0.8) by numerical convolution of the density.
    """
    grid = np.linspace(-1, 1, 20_001)
    triangle = stats.triang(0.5, -1, 2)
    chance = np.trapezoid(triangle.pdf(grid) * triangle.cdf(grid + 0.8), grid)
    found = rank_shares([[54], [50]], 400_000, 9, weights=[1], spreads=5, wins=True)
    close(found.shares[0, 0], chance, 400_000)
    close(found.wins[0, 1], chance, 400_000)
    close(found.confidence[0], chance, 5000)


# --- what is unknown, what does not apply ---


def test_an_unknown_score_is_drawn_over_its_whole_range():
    """NaN is uniform from 0 to 100, so against 30 it wins in 70 of 100; it is no zero and no rank 0."""
    found = rank_shares([[nan], [30]], 400_000, 2)
    close(found.shares, [[0.7, 0.3], [0.3, 0.7]], 400_000)
    assert_array_equal(found.shares.sum(axis=1), 1)
    assert found.expected_rank.min() >= 1
    assert rank_shares([[nan, nan], [nan, nan]], 1000, 2).shares == pytest.approx(0.5, abs=0.1)


def test_the_spread_of_an_unknown_score_does_not_matter():
    """Nor what stands in its place where it does not apply."""
    one = rank_shares([[nan, 50], [30, 60]], 1000, 2, spreads=[[nan, 0], [0, 0]])
    other = rank_shares([[nan, 50], [30, 60]], 1000, 2)
    assert_array_equal(one.shares, other.shares)
    applies = [[True, False], [True, True]]
    blank = rank_shares([[40, nan], [30, 60]], 1000, 2, applies=applies)
    zero = rank_shares([[40, 0], [30, 60]], 1000, 2, applies=applies)
    assert_array_equal(blank.shares, zero.shares)


def test_the_weight_of_what_does_not_apply_is_shared_out():
    """A stands at 60 whatever the weights, B at 40 w + 80 (1 - w), so A wins from w = 1/2 on."""
    found = rank_shares([[60, nan], [40, 80]], 200_000, 3, applies=[[True, False], [True, True]])
    close(found.shares[0, 0], 0.5, 200_000)
    assert found.central_weights[0, 0] == pytest.approx(0.75, abs=3e-3)
    # three criteria: A is the mean of two of them
    scores, applies = [[90, 30, 0], [60, 60, 60]], [[True, True, False], [True, True, True]]
    found = rank_shares(scores, 200_000, 3, applies=applies)
    close(found.shares[0, 0], 0.5, 200_000)


@pytest.mark.parametrize("seed", range(5))
def test_partly_applicable_tables_agree_with_masked_means(seed):
    """numpy's masked weighted average by drawn weights, scipy's ranks: within chance."""
    rng = np.random.default_rng(seed)
    scores, applies = rng.integers(20, 80, (5, 4)).astype(float), rng.random((5, 4)) < 0.7
    applies[:, 0] = True
    weights = np.broadcast_to(rng.dirichlet(np.ones(4), (8000, 1)), (8000, 5, 4))
    drawn = np.ma.array(np.broadcast_to(scores, weights.shape), mask=np.broadcast_to(~applies, weights.shape))
    means = np.ma.average(drawn, axis=2, weights=weights)
    places = stats.rankdata(-means.round(9), method="min", axis=1)
    shares = (places[:, :, np.newaxis] == np.arange(1, 6)).mean(axis=0)
    found = rank_shares(scores, 200_000, seed, applies=applies)
    close(shares, np.clip(found.shares, 1e-3, 1), 8000)


def test_hardly_any_weight_on_what_applies_is_no_trouble():
    """A tiny concentration puts all weight on one criterion, here often on one that does not apply."""
    found = rank_shares([[60, nan], [40, 80]], 20_000, 3, [1, 1], 1e-3, applies=[[True, False], [True, True]])
    close(found.shares[0, 0], 0.5, 20_000)


def test_all_that_applies_being_equal_ties_with_the_same_everywhere():
    """50 on what applies and 50 everywhere are 50 with any weights: they tie in every draw."""
    found = rank_shares([[50, 50, nan], [50, 50, 50]], 1000, 3, applies=[[True, True, False], [True] * 3])
    assert_array_equal(found.shares, [[1, 0], [1, 0]])


def test_a_criterion_without_weight_does_not_count():
    """Releases that differ only there are identical."""
    found = rank_shares([[50, 10], [50, 90]], 1000, 1, weights=[1, 0], concentration=5)
    assert_array_equal(found.shares, [[1, 0], [1, 0]])
    assert_array_equal(found.central_weights, [[1, 0], [1, 0]])
    assert_array_equal(win_shares([[50, 10], [50, 90]], [1, 0], 5), 0.5)


# --- ties ---


def test_identical_releases_share_the_better_place():
    """Twins ahead of a third: both first in every draw, nobody second, the other third (1, 1, 3)."""
    found = rank_shares([[70, 80], [70, 80], [10, 20]], 5000, 1, wins=True)
    assert_array_equal(found.shares, [[1, 0, 0], [1, 0, 0], [0, 0, 1]])
    assert_array_equal(found.wins, [[0.5, 0.5, 1], [0.5, 0.5, 1], [0, 0, 0.5]])
    assert_array_equal(found.expected_rank, [1, 1, 3])
    assert_array_equal(exact_means([[70, 80], [70, 80], [10, 20]]), [1, 1, 3])


def test_float_noise_does_not_split_ties():
    """0.1 + 0.2 is the same score as 0.3, and a sum in another order the same grade."""
    found = rank_shares([[0.1 + 0.2, 5], [0.3, 5], [0.3, 4]], 1000, 1)
    assert_array_equal(found.expected_rank, [1, 1, 3])
    scores = np.array([[3, 1, 2], [2, 3, 1], [1, 2, 3]]) / 10
    assert_array_equal(rank_shares(scores, 10, 1, weights=[0.1, 0.1, 0.1]).expected_rank, [1, 1, 1])


def test_many_twins_are_ranked_as_in_competitions():
    """Dense ranks would give the last release place 3; the mean places agree with our exact ranks."""
    scores = np.repeat([[90], [50], [20]], [3, 2, 1], axis=0)
    found = rank_shares(scores, 100, 1)
    assert_array_equal(found.expected_rank, [1, 1, 1, 4, 4, 6])
    assert_array_equal(found.expected_rank, competition_ranks(scores[:, 0].tolist()))


def test_a_release_better_everywhere_is_never_behind():
    """Not by rounding either: a hundredth of a point on each of 14 criteria is enough."""
    rng = np.random.default_rng(3)
    base = rng.uniform(0, 99, (1, 14))
    scores = base + np.arange(30)[:, np.newaxis] / 100
    assert_array_equal(rank_shares(scores, 20_000, 1).expected_rank, np.arange(30, 0, -1))


# --- seeds, threads, sizes ---


@pytest.mark.parametrize("m", [1, 3, 60, 200])
@pytest.mark.parametrize("spread", [0, 4])
def test_the_same_seed_gives_the_same_answer_for_any_number_of_threads(m, spread):
    """Every chunk has a stream of its own, and sums are taken in the order of the chunks."""
    scores = np.random.default_rng(m).integers(0, 101, (m, 14))
    one, two, eight = (rank_shares(scores, 7001, 5, spreads=spread, threads=k, wins=True) for k in (1, 2, 8))
    for other in (two, eight):
        for name in ("shares", "expected_rank", "central_weights", "confidence", "standard_error", "wins"):
            assert_array_equal(getattr(one, name), getattr(other, name))
    if m > 1:
        assert (rank_shares(scores, 7001, 6).shares != one.shares).any()


def test_progress_is_told_up_to_the_last_draw():
    """Rising numbers of draws, the last of which is all of them."""
    told = []
    rank_shares(np.eye(20), 30_001, 1, progress=told.append, threads=2)
    assert told == sorted(told)
    assert len(told) > 1
    assert told[-1] == 30_001


def test_standard_errors_are_those_of_a_share():
    """sqrt(p (1 - p) / draws), and the spread of shares over 200 seeds is of that size."""
    found = rank_shares(FOUR, 1000, 1)
    assert_allclose(found.standard_error, np.sqrt(found.shares * (1 - found.shares) / 1000))
    seen = np.std([rank_shares(FOUR, 1000, seed).shares for seed in range(200)], axis=0)
    assert_allclose(seen, found.standard_error, rtol=0.3, atol=2e-3)


def test_one_release_or_one_criterion_is_enough():
    """Alone it is first; on one criterion the order is that of the scores."""
    alone = rank_shares([[40, 60]], 100, 1)
    assert (alone.shares, alone.expected_rank, alone.confidence) == (1, 1, 1)
    assert_allclose(alone.central_weights.sum(), 1)
    assert_array_equal(win_shares([[40, 60]]), [[0.5]])
    single = rank_shares([[40], [60], [50]], 100, 1)
    assert_array_equal(single.expected_rank, [3, 1, 2])
    assert_array_equal(win_shares([[40], [60]]), [[0.5, 0], [1, 0.5]])


def test_three_hundred_releases_are_ranked_as_sixty_are():
    """More releases than a byte can number: the mean places still agree with the exact ones."""
    scores = np.random.default_rng(4).integers(0, 101, (300, 6))
    found = rank_shares(scores, 20_000, 1)
    assert_allclose(found.expected_rank, exact_means(scores), atol=4)
    assert_allclose(found.shares.sum(axis=1), 1, rtol=1e-12)


def test_drawn_scores_are_triangular():
    """Against the distribution function, and mean 0: off by under 2 in 10,000 at any point."""
    middle = np.zeros((40, 1))
    plan = drawing.plan(
        fill=drawing.uniform,
        scores=middle,
        spreads=middle + 3,
        level=middle > 1,
        applies=middle == 0,
        sizes=np.ones(40, dtype=np.intp),
        draws=100_000,
        wins=False,
    )
    rng, buffers = np.random.Generator(np.random.SFC64(1)), drawing.Buffers(plan)
    unit = float(plan.half[0, 0]) * 2.0**15 / 3
    lots = [drawing._noise(plan, rng, buffers, plan.noise_rows).ravel().copy() for _ in range(60)]
    drawn = (np.concatenate(lots) - float(plan.half[0, 0]) * 511.5) / unit
    result = stats.kstest(drawn, stats.triang(0.5, -3, 6).cdf)
    assert result.statistic < 2e-4 + 1.6 / math.sqrt(drawn.size)
    assert drawn.mean() == pytest.approx(0, abs=5 * math.sqrt(1.5 / drawn.size))
    assert drawn.var() == pytest.approx(9 / 6, rel=5e-3)


# --- ranges ---


def test_ranges_leave_out_a_twentieth_on_either_side():
    """Exactly a twentieth above may be left out, a hair more may not."""
    low, high = rank_ranges([[0.05, 0.9, 0.05], [0.06, 0.88, 0.06], [1, 0, 0], [0, 0, 1]])
    assert low.tolist() == [2, 1, 1, 3]
    assert high.tolist() == [2, 3, 1, 3]


def test_ranges_hold_what_they_promise():
    """At least the level lies inside, and one place less on either side would cut off too much."""
    shares = rank_shares(np.random.default_rng(1).integers(0, 101, (12, 5)), 5000, 1).shares
    for level in (0.5, 0.9, 0.99):
        for row, low, high in zip(shares, *rank_ranges(shares, level), strict=True):
            tail = (1 - level) / 2
            assert 1 <= low <= high <= 12
            assert row[: low - 1].sum() <= tail + 1e-9
            assert row[high:].sum() <= tail + 1e-9
            assert row[:low].sum() > tail - 1e-9
            assert row[high - 1 :].sum() > tail - 1e-9


# --- wrong calls ---

TWO = [[50, 60], [70, 40]]


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: rank_shares(TWO, 0, 1), "draws must be a whole number of at least 1, got 0"),
        (lambda: rank_shares(TWO, 10.5, 1), "draws must be a whole number of at least 1, got 10.5"),
        (lambda: rank_shares(TWO, 10, -1), "the seed must be a whole number of at least 0, got -1"),
        (lambda: rank_shares(TWO, 10, 1, threads=0), "threads must be a whole number of at least 1, got 0"),
        (lambda: rank_shares([1, 2], 10, 1), r"shape \(releases, criteria\), got shape \(2,\)"),
        (lambda: rank_shares(np.zeros((0, 3)), 10, 1), r"got shape \(0, 3\)"),
        (lambda: rank_shares([[50, math.inf]], 10, 1), "finite or NaN, got inf in row 0, column 1"),
        (lambda: rank_shares(TWO, 10, 1, weights=[1, -1]), r"not negative.*got \[1.0, -1.0\]"),
        (lambda: rank_shares(TWO, 10, 1, weights=[1, nan]), "weights must be finite"),
        (lambda: rank_shares(TWO, 10, 1, weights=[0, 0]), "not all zero"),
        (lambda: rank_shares(TWO, 10, 1, weights=[1, 1, 1]), r"weights of shape \(2,\), got shape \(3,\)"),
        (lambda: rank_shares(TWO, 10, 1, concentration=5), "a concentration needs weights"),
        (lambda: rank_shares(TWO, 10, 1, [1, 2], 5, order=True), "no order"),
        (lambda: rank_shares(TWO, 10, 1, [1, 2], 0), "finite and above 0, got 0"),
        (lambda: rank_shares(TWO, 10, 1, [1, 2], math.inf), "finite and above 0, got inf"),
        (lambda: rank_shares(TWO, 10, 1, spreads=-1), "not negative, got -1 in row 0, column 0"),
        (lambda: rank_shares(TWO, 10, 1, spreads=[1, nan]), "got nan in row 0, column 1"),
        (lambda: rank_shares(TWO, 10, 1, spreads=[1, 2, 3]), r"shape \(2, 2\) or \(2,\), got \(3,\)"),
        (lambda: rank_shares(TWO, 10, 1, drawn="normal"), "triangular or uniform, not 'normal'"),
        (lambda: rank_shares(TWO, 10, 1, applies=[[1, 1], [1, 0]]), "true or false of shape"),
        (
            lambda: rank_shares(TWO, 10, 1, applies=np.array([[True, True], [False, False]])),
            "nothing that weighs applies to the release in row 1",
        ),
        (lambda: rank_ranges([[1.0]], 0), "a level must lie between 0 and 1, both excluded, got 0"),
    ],
)
def test_wrong_calls_are_refused_with_a_sentence(call, match):
    """Each wrong call raises ValueError and names what was seen."""
    with pytest.raises(ValueError, match=match):
        call()


def test_inputs_are_left_as_they_were():
    """Neither scores nor weights are changed, whatever their type."""
    scores, weights = np.array(TWO, dtype=float), np.array([1.0, 3.0])
    rank_shares(scores, 100, 1, weights, 5.0, spreads=3)
    assert_array_equal(scores, TWO)
    assert_array_equal(weights, [1, 3])
