"""The least points moved for a place, or to pass another: against every set of points there is."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from rating.sensitivity.moves import Scores, to_pass, to_place

# so small points that every set of them can be tried, by the number of criteria
SUMS = {2: 60, 3: 24, 4: 12}
ENOUGH = 100_000


def random_scores(trial):
    """Two to five releases on two to four criteria; every second table has gaps, some of them unknown."""
    rng = np.random.default_rng(trial.seed)
    for number in range(trial.count):
        m, n = int(rng.integers(2, 6)), int(rng.integers(2, 5))
        rows = [[int(one) for one in rng.integers(30, 80, n)] for _ in range(m)]
        if number % 2:
            rows = [[None if rng.random() < 0.2 else one for one in row] for row in rows]
        applies = [[one is not None or rng.random() < 0.5 for one in row] for row in rows]
        cuts = sorted(int(one) for one in rng.integers(0, SUMS[n] + 1, n - 1))
        points = tuple(int(one) for one in np.diff([0, *cuts, SUMS[n]]))
        if any(one is not None for one in rows[0]) and any(one is not None for one in rows[1]):
            yield Scores(rows=rows, applies=applies), points


def least_of_all(points, does_it):
    """The least that is moved of all sets of points with the same sum that do it; None where none does."""
    total, n = sum(points), len(points)
    every = (
        (*some, total - sum(some))
        for some in itertools.product(range(total + 1), repeat=n - 1)
        if sum(some) <= total
    )
    moved = [sum(map(abs, np.subtract(tried, points))) // 2 for tried in every if does_it(tried)]
    return min(moved, default=None)


@pytest.mark.trial(seed=5, few=12, full=500)
def test_the_least_lift_is_that_of_enumeration(trial):
    """Every place, with ties, gaps, and releases that come to have no place: none larger, none missed."""
    for scores, points in random_scores(trial):
        for place in range(1, len(scores.rows)):

            def is_there(tried, scores=scores, place=place):
                here = scores.place(0, tried)
                return here is not None and here <= place

            found = to_place(scores, points, 0, place, work=ENOUGH)
            assert found.proved
            assert found.total == least_of_all(points, is_there)
            if found.points is not None:
                assert is_there(found.points)
                assert (sum(found.points), min(found.points) >= 0) == (sum(points), True)


@pytest.mark.trial(seed=6, few=12, full=500)
def test_the_least_that_passes_is_that_of_enumeration(trial):
    """In the published tenths."""
    for scores, points in random_scores(trial):

        def is_above(tried, scores=scores):
            own, other = (scores.grade(row, tried) for row in (0, 1))
            return own is not None and other is not None and own > other

        found = to_pass(scores, points, 0, 1, work=ENOUGH)
        assert found.proved
        assert found.total == least_of_all(points, is_above)


def test_what_is_told_holds_where_the_work_is_cut_short():
    """Of 30 releases: never more than the bound says is too little, and the answer really does it."""
    rng = np.random.default_rng(8)
    rows = [[int(one) for one in rng.integers(30, 90, 8)] for _ in range(30)]
    scores = Scores(rows=rows, applies=[[True] * 8] * 30)
    points = (200, 150, 150, 120, 120, 100, 100, 60)
    own = next(row for row in range(30) if scores.place(row, points) == 15)
    short, whole = (to_place(scores, points, own, 8, work=work) for work in (60, ENOUGH))
    assert whole.proved
    assert not short.proved
    assert short.at_least <= whole.total <= (short.total or 1000)
    assert scores.place(own, whole.points) <= 8


def test_the_bound_for_the_lead_holds_where_the_work_is_cut_short():
    """Of 30 releases, a third of them with gaps: however little is tried, no more than is true is told."""
    rng = np.random.default_rng(11)
    rows = [[int(one) for one in rng.integers(30, 90, 8)] for _ in range(30)]
    gaps = [[number % 3 == 0 and rng.random() < 0.2 for _ in range(8)] for number in range(30)]
    known = [
        [None if gap else one for one, gap in zip(*each, strict=True)]
        for each in zip(rows, gaps, strict=True)
    ]
    scores = Scores(rows=known, applies=[[True] * 8] * 30)
    points = (200, 150, 150, 120, 120, 100, 100, 60)
    own = next(row for row in range(30) if scores.place(row, points) == 4)
    whole = to_place(scores, points, own, 1, work=ENOUGH)
    assert whole.proved
    assert scores.place(own, whole.points) == 1
    bounds = [to_place(scores, points, own, 1, work=work) for work in (1, 4, 16)]
    assert not bounds[0].proved
    assert all(one.at_least <= whole.total <= (one.total or 1000) for one in bounds)
    assert [one.at_least for one in bounds] == sorted(one.at_least for one in bounds)


def test_one_leads_where_nothing_that_is_known_of_its_rival_counts():
    """Better nowhere, it leads once all 24 are on what does not apply to the other: 16 of them are moved."""
    scores = Scores(rows=[[44, 37, 66], [None, 48, 77]], applies=[[True] * 3, [False, True, True]])
    found = to_place(scores, (8, 4, 12), 0, 1)
    assert (found.points, found.total, found.proved) == ((24, 0, 0), 16, True)
