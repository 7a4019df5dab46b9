"""How fast the kernels for packs, chances and sets are, beside what they replace.

Ratios of CPU time, both sides in one run, medians of five.
"""

from __future__ import annotations

import time
from statistics import median

import numpy as np
import pytest

from rating.numerics import chances, collecting, strips
from rating.numerics import packs as scarcity


def cpu_seconds(work, *, repeat=1):
    """Median of five CPU times of one call; short work is repeated so that the clock can see it."""
    times = []
    for _ in range(5):
        start = time.process_time()
        for _ in range(repeat):
            work()
        times.append((time.process_time() - start) / repeat)
    return median(times)


def simulated_packs(runs, cards, per_pack, rng):
    """Mean packs over simulated collectors, all of them at once; Floyd's sampling draws different cards.

    The fastest of three that were tried: drawing by random keys takes four times as long, and one collector
    at a time twelve times.
    """
    held, total = np.zeros((runs, cards), dtype=bool), 0
    while len(held):
        total += len(held)
        rows = np.arange(len(held))
        drawn = np.empty((len(held), per_pack), dtype=np.int64)
        for i, last in enumerate(range(cards - per_pack, cards)):
            card = rng.integers(0, last + 1, len(held))
            drawn[:, i] = np.where((drawn[:, :i] == card[:, None]).any(axis=1), last, card)
        held[rows[:, None], drawn] = True
        held = held[~held.all(axis=1)]
    return total / runs


def test_expected_packs_beat_ten_thousand_simulated_runs_by_five_thousand(benchmark):
    """220 cards by packs of 5: 5,000 times as fast as 10,000 runs, of which 2 % are timed."""
    exact = cpu_seconds(lambda: collecting.expected_packs(220, 5), repeat=100)
    rng = np.random.default_rng(1)
    simulated = 50 * cpu_seconds(lambda: simulated_packs(200, 220, 5, rng))
    found = benchmark(collecting.expected_packs, 220, 5)
    benchmark.extra_info["times as fast as 10,000 simulated runs"] = round(simulated / exact)
    assert found == pytest.approx(simulated_packs(400, 220, 5, rng), rel=0.05)
    assert simulated / exact >= 5000


def test_sixty_lines_in_three_formats_take_no_longer_than_their_programmes(benchmark):
    """Packs from 60 lines, two of them misprinted; recorded, and held against 50 plain programmes."""
    rng = np.random.default_rng(4)
    packs = {"hobby": 86_800, "retail": 144_000, "blaster": 60_000}
    lines = []
    for j in range(60):
        copies, share = int(rng.integers(500, 40_000)), rng.dirichlet(np.ones(3))
        odds = {
            f: float(round(count / (copies * s)) or 1)
            for (f, count), s in zip(packs.items(), share, strict=True)
        }
        if min(odds.values()) < 3 or j in {7, 31}:
            odds = {"hobby": float(round(86_800 / copies) or 1)}
        if j in {7, 31}:
            odds["hobby"] *= 3
        lines.append((copies, odds))
    mine = cpu_seconds(lambda: scarcity.packs_by_format(lines, list(packs)))
    whole_release = strips.Strips(
        [copies for copies, _ in lines],
        [{list(packs).index(f): x for f, x in odds.items()} for _, odds in lines],
        3,
        "nearest",
    )
    kept = list(range(60))
    one = cpu_seconds(lambda: whole_release.conflict(kept), repeat=5)
    found = benchmark(scarcity.packs_by_format, lines, list(packs))
    assert found.set_aside == [(7, 31)]
    assert mine < 50 * one


def test_a_case_of_unequal_hits_is_convolved_fast(benchmark):
    """2,000 draws with chances of their own, at least 20 times as fast as one by one in Python."""
    each = np.random.default_rng(2).uniform(0, 0.1, 2000).tolist()

    def one_by_one():
        counts = [1.0]
        for p in each[:200]:
            longer = [*counts, 0.0]
            for k in range(len(counts), 0, -1):
                longer[k] = longer[k] * (1 - p) + longer[k - 1] * p
            longer[0] *= 1 - p
            counts = longer
        return counts

    # The plain way grows with the square of the draws: a tenth of them is a hundredth of the work.
    plain = 100 * cpu_seconds(one_by_one)
    fast = cpu_seconds(lambda: chances.hit_counts(each), repeat=5)
    found = benchmark(chances.hit_counts, each)
    assert chances.hit_counts(each[:200]) == pytest.approx(np.array(one_by_one()), abs=1e-14)
    assert found.sum() == pytest.approx(1, abs=1e-12)
    assert plain / fast > 20
