"""Strips: clashes found before any programme is solved, and the best point that the lines allow."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from scipy.optimize import linprog, minimize

from rating.numerics import strips


def made_up(rng, lines):
    """Copies and odds of lines that agree, in three formats: X is rounded from packs that are known."""
    packs = rng.integers(50_000, 400_000, 3)
    copies, stated = [], []
    while len(copies) < lines:
        chosen = [f for f in range(3) if rng.random() < 0.6]
        count = int(rng.integers(5, 20_000))
        shares = rng.dirichlet(np.ones(len(chosen))) if chosen else []
        x = {f: float(round(packs[f] / (count * share))) for f, share in zip(chosen, shares, strict=True)}
        if x and min(x.values()) >= 1:
            copies.append(count)
            stated.append(x)
    return copies, stated


@pytest.mark.parametrize(
    ("rounding", "ends"), [("nearest", (2.5, 3.5)), ("floor", (3, 4)), ("ceiling", (2, 3))]
)
def test_printed_odds_stand_for_an_interval(rounding, ends):
    """1:3 is 2.5 to 3.5 rounded, 3 to 4 cut off, 2 to 3 rounded up; nothing goes below 0."""
    assert strips.odds_interval(3, rounding) == ends
    assert strips.odds_interval(0.25, "nearest") == (0, 0.75)


@pytest.mark.parametrize("seed", range(4))
def test_pairs_are_exactly_the_pairs_that_no_packs_reconcile(seed):
    """Each pair of twelve lines is tried with a plain linear programme."""
    rng = np.random.default_rng(seed)
    copies, stated = made_up(rng, 12)
    for j in (2, 5, 8):
        stated[j] = {f: max(1.0, round(x * 2.7)) for f, x in stated[j].items()}
    clashing = set()
    for i, j in permutations(range(12), 2):
        rows = [
            [1 / (stated[i][f] + 0.5) / copies[i] * 1e5 if f in stated[i] else 0 for f in range(3)],
            [-1 / (stated[j][f] - 0.5) / copies[j] * 1e5 if f in stated[j] else 0 for f in range(3)],
        ]
        if linprog([0, 0, 0], A_ub=rows, b_ub=[1, -1], method="highs").status == 2:
            clashing.add(frozenset((i, j)))
    assert set(strips.Strips(copies, stated, 3, "nearest").pairs()) == clashing
    assert clashing


def test_a_conflict_names_lines_that_clash_by_themselves():
    """Two pinned formats and a line over both: all three are needed, the fourth has no part in it."""
    lines = strips.Strips([100, 100, 100, 10], [{0: 10}, {1: 10}, {0: 10, 1: 10}, {0: 100}], 2, "nearest")
    assert lines.pairs() == []
    miss, clash = lines.conflict([0, 1, 2, 3])
    assert clash <= {0, 1, 2, 3}
    assert 1 in clash
    assert 2 in clash
    assert miss > 0
    assert lines.conflict([0, 1, 3]) == (0, frozenset())
    assert lines.programmes == 2


@pytest.mark.parametrize("seed", range(5))
def test_the_point_held_inside_is_the_best_that_the_lines_allow(seed):
    """Against a general solver of quadratic programmes (SLSQP) with the same rows, in three formats."""
    rng = np.random.default_rng(seed)
    copies, stated = made_up(rng, 8)
    lines = strips.Strips(copies, stated, 3, "nearest")
    kept = list(range(8))
    low, high, _, _ = lines.extremes(kept, 0.0)
    outside = low + (high - low) * rng.uniform(-1, 2, 3)
    design = rng.normal(size=(5, 3))
    back = lines.scale[:, None] * np.linalg.inv(np.linalg.qr(design).R)
    held = lines._held_inside(kept, np.arange(3), outside, back, 0.0) / lines.scale
    rows, ends, _ = lines._rows(kept)
    assert (rows @ held <= ends + 1e-9).all()

    def cost(p):
        return ((design @ (p - outside / lines.scale)) ** 2).sum()

    done = minimize(
        cost,
        (low + high) / 2 / lines.scale,
        method="SLSQP",
        constraints={"type": "ineq", "fun": lambda p: ends - rows @ p},
        options={"ftol": 1e-14, "maxiter": 500},
    )
    # SLSQP may stop early or stray over an edge by its tolerance; it is never clearly better.
    assert cost(held) <= done.fun * (1 + 1e-4) + 1e-12
    assert cost(held) > 0
