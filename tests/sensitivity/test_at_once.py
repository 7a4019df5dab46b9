"""Ranges of places that hold all at once: by hand, by simulation, and beside confidence sets for ranks."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.stats import rankdata

from rating.sensitivity.ranges import rank_ranges, rank_shares


def together(places, low, high):
    """The share of draws in which every release is inside its range."""
    return float(((places >= low) & (places <= high)).all(axis=1).mean())


def test_four_pairs_by_hand():
    """Pairs of uniform scores with half-width 1, d apart: they change places in (2 - d)^2 / 8 of all draws.

    That is 4.5, 3.125, 2 and 1.28 % for 1.4, 1.5, 1.6 and 1.68, each under a twentieth, so each release by
    itself just stays where it is. All stay in 0.955 x 0.96875 x 0.98 x 0.9872 = 89.5 % only. Leaving the
    first pair its two places, the others stay in 93.7 %, which is the least widening that reaches 90.
    """
    apart = (1.4, 1.5, 1.6, 1.68)
    scores = [[90 - 10 * pair - d * behind] for pair, d in enumerate(apart) for behind in (0, 1)]
    draws = 200_000
    found = rank_shares(scores, draws, 3, weights=[1], spreads=1, drawn="uniform", at_once=0.9)
    low, high = rank_ranges(found.shares)
    assert low.tolist() == high.tolist() == [1, 2, 3, 4, 5, 6, 7, 8]
    swaps = [(2 - d) ** 2 / 8 for d in apart]
    stay = np.prod([1 - p for p in swaps])
    assert found.at_once.share_of_single == pytest.approx(stay, abs=4 * np.sqrt(0.1 * 0.9 / draws))
    assert found.at_once.low.tolist() == [1, 1, 3, 4, 5, 6, 7, 8]
    assert found.at_once.high.tolist() == [2, 2, 3, 4, 5, 6, 7, 8]
    assert found.at_once.share == pytest.approx(stay / (1 - swaps[0]), abs=4 * np.sqrt(0.1 * 0.9 / draws))


def plain(rng, scores, spreads, draws, concentration, weights):
    """Places by numpy and scipy alone: Dirichlet weights, triangular scores kept inside 0 to 100."""
    w = rng.dirichlet(concentration * weights / weights.sum(), draws)
    drawn = np.clip(scores + spreads * rng.triangular(-1, 0, 1, (draws, *scores.shape)), 0, 100)
    return rankdata(-(drawn * w[:, np.newaxis, :]).sum(axis=2), method="min", axis=1)


@pytest.mark.trial(seed=21, few=3, full=40)
def test_fresh_simulations_hold_in_nine_of_ten(trial):
    """What is said of both kinds of ranges is what draws made apart find; narrower ones would not hold."""
    rng = np.random.default_rng(trial.seed)
    draws = 20_000
    chance = 5 * np.sqrt(2 * 0.25 / draws)
    for _ in range(trial.count):
        m, n = int(rng.integers(4, 12)), int(rng.integers(2, 8))
        scores = rng.integers(20, 101, (m, n)).astype(float)
        spreads = rng.integers(0, 16, (m, n)).astype(float)
        weights = rng.integers(1, 20, n).astype(float)
        found = rank_shares(scores, draws, 5, weights, 100.0, spreads=spreads, within=(0, 100), at_once=0.9)
        places = plain(rng, scores, spreads, draws, 100.0, weights)
        both = found.at_once
        assert both.share >= 0.9
        assert together(places, both.low, both.high) == pytest.approx(both.share, abs=chance)
        single = rank_ranges(found.shares)
        assert together(places, *single) == pytest.approx(both.share_of_single, abs=chance)
        assert (both.low <= single[0]).all() or both.share_of_single > 0.9
        # the next level up, by the definition: tails that cut off one place more somewhere
        tails = [
            np.r_[np.cumsum(row)[:low], np.cumsum(row[::-1])[: m - high + 1]]
            for row, low, high in zip(found.shares, both.low, both.high, strict=True)
        ]
        next_up = min(float(tail[tail > 1e-9].min()) for tail in map(np.array, tails) if (tail > 1e-9).any())
        narrower = rank_ranges(found.shares, 1 - 2 * next_up - 1e-9)
        if (narrower[0] > both.low).any() or (narrower[1] < both.high).any():
            assert together(places, *narrower) < 0.9 + chance


def confidence_sets(scores, spreads, rng, level):
    """Simultaneous confidence sets for the ranks of all m estimates.

    Mogstad, Romano, Shaikh and Wilhelm (2024), Review of Economic Studies 91(1), 476-518, section 3: from
    rectangular simultaneous confidence sets for all differences, with one critical value, release j is
    ranked behind those whose difference is significantly above and before those significantly below.
    """
    m = len(scores)
    se = spreads / np.sqrt(6)
    errors = spreads * rng.triangular(-1, 0, 1, (40_000, m))
    pairs = list(itertools.combinations(range(m), 2))
    of_pair = {(j, k): np.hypot(se[j], se[k]) for j, k in pairs}
    largest = np.max([np.abs(errors[:, j] - errors[:, k]) / of_pair[j, k] for j, k in pairs], axis=0)
    critical = np.quantile(largest, level)
    above = np.zeros((m, m), dtype=bool)
    for j, k in pairs:
        gap = (scores[j] - scores[k]) / of_pair[j, k]
        above[j, k], above[k, j] = gap > critical, gap < -critical
    return 1 + above.sum(axis=0), m - above.sum(axis=1)


@pytest.mark.trial(seed=31, few=4, full=60)
def test_confidence_sets_for_ranks_hold_at_once_and_are_wider(trial):
    """If all differences lie within their simultaneous intervals, all ranks lie in these sets: a theorem.

    So they hold at once in our draws in at least nine of ten, and since they must hold whatever the truth is
    ours, which hold around the given scores, take no more places in all.
    """
    rng = np.random.default_rng(trial.seed)
    for _ in range(trial.count):
        m = int(rng.integers(4, 10))
        scores, spreads = rng.uniform(30, 70, m), rng.uniform(3, 12, m)
        low, high = confidence_sets(scores, spreads, rng, 0.9)
        found = rank_shares(
            scores[:, np.newaxis], 40_000, 7, weights=[1], spreads=spreads[:, np.newaxis], at_once=0.9
        ).at_once
        drawn = scores + spreads * rng.triangular(-1, 0, 1, (40_000, m))
        places = rankdata(-drawn, method="min", axis=1)
        assert together(places, low, high) >= 0.9 - 4 * np.sqrt(0.09 / 40_000)
        assert together(places, found.low, found.high) >= 0.9 - 5 * np.sqrt(2 * 0.09 / 40_000)
        assert (found.high - found.low).sum() <= (high - low).sum()


def test_drawn_scores_stay_inside_the_scale():
    """98 give or take 10 beside 50, against a grade of 75.25: ahead where the score passes 100.5, so never.

    Without ends it would be ahead in (7.5 / 10)^2 / 2 = 28.1 % of all draws.
    """
    table, spreads = [[98, 50], [100, 50.5]], [[10, 0], [0, 0]]
    free, held = (
        rank_shares(table, 50_000, 1, weights=[1, 1], spreads=spreads, within=within, wins=True)
        for within in (None, (0, 100))
    )
    assert free.wins[0, 1] == pytest.approx(0.28125, abs=0.01)
    assert held.wins[0, 1] == 0
    low = rank_shares([[2, 50], [0, 49.5]], 50_000, 1, [1, 1], spreads=spreads, within=(0, 100), wins=True)
    assert low.wins[0, 1] == 1


def test_the_same_seed_gives_the_same_ranges_for_any_number_of_threads():
    """Every chunk has a stream of its own here too, and what is not asked for changes nothing."""
    scores = np.random.default_rng(2).integers(0, 101, (9, 4))
    one, two = (rank_shares(scores, 30_000, 4, spreads=6, threads=t, at_once=0.9) for t in (1, 2))
    assert one.at_once.low.tolist() == two.at_once.low.tolist()
    assert one.at_once.share == two.at_once.share
    without = rank_shares(scores, 30_000, 4, spreads=6)
    assert without.at_once is None
    assert (without.shares == one.shares).all()


def test_twins_share_their_place_and_their_range():
    """Both first in every draw, the other third."""
    found = rank_shares([[70, 60], [70, 60], [50, 50]], 1000, 1, at_once=0.9).at_once
    assert (found.low.tolist(), found.high.tolist()) == ([1, 1, 3], [1, 1, 3])
    assert (found.share, found.share_of_single) == (1, 1)


def test_a_level_off_the_scale_is_refused():
    """A wrong call."""
    with pytest.raises(ValueError, match="a level must lie between 0 and 1, both excluded, got 1"):
        rank_shares([[1, 2]], 10, 1, at_once=1)
