"""How fast rank shares and win shares are, beside what the machine can do and what they replace.

Ratios of CPU time, both sides in one run, in turn, medians of five. The floor is one matrix product in single
precision and one sort of its rows, of the same size, with no counting. Peers that take minutes are timed on
2 % of the draws and scaled, which leaves out nothing: their time is a loop over draws.
"""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from pymcdm.methods import WSM
from scipy.stats import rankdata

from rating.sensitivity.ranges import rank_shares
from rating.sensitivity.wins import win_shares

SIZES = [(60, 100_000), (200, 1_000_000)]
ROOT = Path(__file__).resolve().parents[2]


def season(m):
    return np.random.default_rng(m).integers(0, 101, (m, 14))


def as_they_are(column, cost):
    """Scores need no normalisation; pymcdm asks for a function of these two."""
    return column


@pytest.mark.parametrize(("m", "draws"), SIZES)
def test_rank_shares_take_at_most_ten_products_and_sorts(ratio, m, draws):
    """The limit is 10, the aim 4.5."""
    scores = season(m)
    weights = np.random.default_rng(1).dirichlet(np.ones(14), draws).astype(np.float32)
    columns = np.ascontiguousarray(scores.T, dtype=np.float32)

    def floor():
        grades = weights @ columns
        grades.sort(axis=1)

    assert ratio(lambda: rank_shares(scores, draws, 1), floor) <= 10


@pytest.mark.parametrize(("m", "draws"), SIZES)
def test_drawing_scores_as_well_takes_at_most_six_times_as_long(ratio, m, draws):
    """14 more numbers a release and draw than without spreads."""
    scores = season(m)
    assert ratio(lambda: rank_shares(scores, draws, 1, spreads=5), lambda: rank_shares(scores, draws, 1)) <= 6


@pytest.mark.parametrize(("m", "draws"), SIZES)
def test_rank_shares_are_forty_times_as_fast_as_a_loop_over_draws(ratio, m, draws):
    """pymcdm's weighted sum without its validation, scipy's ranks; 2 % of the draws, scaled."""
    scores, types, part = season(m), np.ones(14), draws // 50
    rule, rng = WSM(as_they_are), np.random.default_rng(1)

    def loop():
        counts, rows = np.zeros((m, m)), np.arange(m)
        for weights in rng.dirichlet(np.ones(14), part):
            grades = rule(scores, weights, types, validation=False)
            counts[rows, rankdata(-grades, method="min").astype(int) - 1] += 1

    assert 50 / ratio(lambda: rank_shares(scores, draws, 1), loop) >= 40


@pytest.mark.parametrize("spread", [0, 5])
def test_rank_shares_stay_under_a_hundred_megabytes(benchmark, spread):
    """Peak memory of a process of its own, above what it holds when numpy and the module are loaded."""
    code = f"""
import numpy as np
from pathlib import Path
from rating.sensitivity.ranges import rank_shares

def peak():
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM"))

scores = np.random.default_rng(200).integers(0, 101, (200, 14))
before = peak()
rank_shares(scores, {200_000 if spread else 1_000_000}, 1, spreads={spread}, threads=2)
print(peak() - before)
"""

    def megabytes():
        run = subprocess.run(
            [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
        )
        return int(run.stdout) / 1024

    used = benchmark.pedantic(megabytes, rounds=1)
    print(f"\n{used:.1f} MB above numpy")
    assert used < 100


def test_exact_win_shares_are_two_hundred_times_as_fast_as_drawing_them(ratio):
    """200 releases against 100,000 draws of the textbook, of which 2 % are timed and scaled."""
    scores, rng = season(200), np.random.default_rng(1)

    def textbook():
        wins = np.zeros((200, 200))
        for weights in rng.dirichlet(np.ones(14), 2000):
            grades = scores @ weights
            wins += grades[:, np.newaxis] > grades
        return wins / 2000

    np.testing.assert_allclose(textbook() + np.eye(200) / 2, win_shares(scores), atol=0.07)
    assert 50 / ratio(lambda: win_shares(scores), textbook) >= 200


def test_exact_win_shares_of_two_hundred_releases_are_off_by_less_than_1e_12():
    """The race in exact fractions, for every tenth pair of the table that is timed."""
    scores = season(200)
    found, worst = win_shares(scores), 0.0

    def race(x, y):
        row = [Fraction(1)] * len(y) + [Fraction(1)]
        for step in reversed(range(len(x))):
            now = [Fraction(1)] * (len(y) + 1)
            for other in reversed(range(len(y))):
                p = Fraction(x[step], x[step] + y[other])
                below = row[other] if step + 1 < len(x) else 0
                now[other] = p * now[other + 1] + (1 - p) * below
            row = now
        return row[0] if x else Fraction(0)

    pairs = [(i, j) for i in range(200) for j in range(i)][::10]
    for i, j in pairs:
        gaps = [int(d) for d in scores[i] - scores[j]]
        exact = race([d for d in gaps if d > 0], [-d for d in gaps if d < 0])
        worst = max(worst, abs(float(Fraction(float(found[i, j])) - exact)))
    print(f"\nlargest error of {len(pairs)} pairs: {worst:.1e}")
    assert worst < 1e-12
