"""How far points can go: exact grades just inside and just outside every end, and the interval in shares."""

from __future__ import annotations

import dataclasses
from fractions import Fraction

import numpy as np
import pytest

from rating.doubt.score_table import ScoreTable
from rating.doubt.spans import spans
from rating.sensitivity.spans import weight_spans

HAIR = Fraction(1, 10**9)


def random_table(rng, row, *, gaps):
    n = int(rng.integers(2, 5))
    rows = []
    for place in range(int(rng.integers(2, 6))):
        scores = [int(one) for one in rng.integers(0, 101, n)]
        if gaps and rng.random() < 0.6:
            scores[int(rng.integers(n))] = None
        rows.append(row(f"r{place}", *scores))
    keys = tuple(f"c{k}" for k in range(n))
    points = tuple(int(one) for one in rng.integers(0, 300, n))
    return ScoreTable(criteria=keys, groups=keys, points=(*points[:-1], points[-1] + 1), rows=tuple(rows))


def at(table, key, points):
    """Grades with other points of one criterion, exact."""
    moved = table.with_points({key: points})
    return {row.release: moved.unrounded(row) for row in table.ranked}


def order(grades):
    return {(a, b): (grades[a] > grades[b]) - (grades[a] < grades[b]) for a in grades for b in grades}


def beside_the_first(grades):
    """Who is ahead of the first release and who is level with it: a tie is a change for both."""
    first = next(iter(grades.values()))
    return {other: (grade > first) - (grade < first) for other, grade in grades.items()}


@pytest.mark.trial(seed=3, few=100, full=500)
@pytest.mark.parametrize("gaps", [False, True])
def test_tables_hold_inside_and_change_outside(row, trial, gaps):
    """With and without criteria that do not apply, by the definition of the grade in exact fractions."""
    rng = np.random.default_rng(trial.seed)
    for _ in range(trial.count):
        table = random_table(rng, row, gaps=gaps)
        if any(not any(p for p, s in zip(table.points, one.scores, strict=True) if s is not None)
               for one in table.rows):  # fmt: skip
            continue
        own = table.ranked[0].release
        for hold in spans(table, own):
            now = at(table, hold.criterion, hold.points)
            for span, state in ((hold.order, order), (hold.place, beside_the_first)):
                assert span.low <= hold.points
                for end, out, who in ((span.low, -1, span.below_low), (span.high, 1, span.above_high)):
                    if who is None:
                        far = Fraction(10**9) if out > 0 else HAIR
                        assert state(at(table, hold.criterion, far)) == state(now) or not hold.points
                        continue
                    if (end - hold.points) * out > HAIR:
                        assert state(at(table, hold.criterion, end - out * HAIR)) == state(now)
                    past = at(table, hold.criterion, end + out * HAIR)
                    assert state(past) != state(now)
                    assert past[who[0]] > past[who[1]]


@pytest.mark.trial(seed=4, few=50, full=200)
def test_points_are_the_shares_of_the_interval_kernel(row, trial):
    """For complete scores p points beside s others are the share p / (p + s)."""
    rng = np.random.default_rng(trial.seed)
    for _ in range(trial.count):
        table = random_table(rng, row, gaps=False)
        if len({table.unrounded(one) for one in table.rows}) < len(table.rows):
            continue  # ties end at once, which is tested beside the kernel
        shares = weight_spans([one.scores for one in table.rows], table.points)
        for k, hold in enumerate(spans(table, table.rows[0].release)):
            rest = sum(table.points) - hold.points
            if not rest:
                continue
            for span, low, high in (
                (hold.order, shares.low[k], shares.high[k]),
                (hold.leader, shares.leader_low[k], shares.leader_high[k]),
            ):
                assert float(span.low / (span.low + rest)) == pytest.approx(low, abs=1e-12)
                if span.high is not None:
                    assert float(span.high / (span.high + rest)) == pytest.approx(high, abs=1e-12)
                else:
                    assert high == pytest.approx(1, abs=1e-12)


def test_a_release_without_a_place_is_refused(row, table):
    """Half of beacon is unknown."""
    with pytest.raises(ValueError, match="beacon has no place"):
        spans(table(row("anchor", 1, 2), row("beacon", 3, "?")), "beacon")


def test_a_tie_ends_the_order_and_the_place_of_both_at_once(row, table):
    """Both have 50.0: more on design and beacon is first alone, more on roster and anchor is."""
    made = table(row("anchor", 60, 40), row("beacon", 40, 60))
    roster, design = spans(made, "anchor")
    assert (roster.order.low, roster.order.high) == (500, 500)
    assert (roster.place.low, roster.place.high) == (500, 500)
    assert (design.place.low, design.place.high) == (500, 500)
    assert design.place.above_high == ("beacon", "anchor")
    assert roster.place.above_high == ("anchor", "beacon")


def test_one_release_has_no_limits(row, table):
    """Nothing to pass."""
    made = table(row("anchor", 60, 40))
    assert all(
        dataclasses.astuple(span) == (0, None, None, None)
        for hold in spans(made, "anchor")
        for span in (hold.order, hold.leader, hold.place)
    )
