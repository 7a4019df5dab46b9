"""The smallest published change: it really swaps, nothing smaller does, and it is near the exact one."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from rating.doubt.score_table import ScoreTable
from rating.doubt.swaps import Swap, dethrone, lift, over, told


def made(row, scores, points):
    keys = tuple(f"c{k}" for k in range(len(points)))
    rows = tuple(row(f"r{place}", *own) for place, own in enumerate(scores))
    return ScoreTable(criteria=keys, groups=keys, points=tuple(points), rows=rows)


def after(table, swap):
    old = dict(zip(table.criteria, table.points, strict=True))
    return table.with_points({key: old[key] + change for key, change in swap.moves.items()})


def random_tables(row, trial, *, gaps=False):
    rng = np.random.default_rng(trial.seed)
    for _ in range(trial.count):
        scores = [[int(one) for one in rng.integers(30, 80, 3)] for _ in range(3)]
        if gaps:
            scores[int(rng.integers(3))][int(rng.integers(3))] = None
        yield made(row, scores, [int(one) for one in rng.integers(20, 60, 3)])


@pytest.mark.trial(seed=9, few=15, full=200)
def test_the_published_order_really_swaps_and_the_points_in_all_stay(row, trial):
    """With scores that do not apply as well."""
    seen = 0
    for table in itertools.chain(random_tables(row, trial), random_tables(row, trial, gaps=True)):
        for up, down in itertools.permutations(("r0", "r1", "r2"), 2):
            found = over(table, up, down)
            if not found.moves:
                assert found.reason
                continue
            moved = after(table, found)
            assert sum(found.moves.values()) == 0
            assert min(moved.points) >= 0
            assert moved.grade(moved.row(up)) > moved.grade(moved.row(down))
            assert sum(abs(change) for change in found.moves.values()) == 2 * found.total
            seen += 1
    assert seen > 2.5 * trial.count


@pytest.mark.trial(seed=9, few=10, full=40)
def test_nothing_that_moves_less_puts_the_grades_a_tenth_apart(row, trial):
    """Every smaller move of three points' tenths, by brute force: none brings the exact lead to a tenth."""
    for table in random_tables(row, trial):
        found = over(table, "r0", "r1")
        if not found.moves:
            continue
        size = found.total - 1
        for a, b in itertools.product(range(-size, size + 1), repeat=2):
            points = [p + d for p, d in zip(table.points, (a, b, -a - b), strict=True)]
            if abs(a + b) > size or min(points) < 0:
                continue
            tried = table.with_points(dict(zip(table.criteria, points, strict=True)))
            lead = tried.unrounded(tried.row("r0")) - tried.unrounded(tried.row("r1"))
            assert lead < 0.1
        # and what brings them level is less than what swaps them, by less than a tenth of a grade is worth
        assert found.level <= found.total


def test_a_pair_that_can_never_swap_says_why(row):
    """Better on no criterion; or above already."""
    table = made(row, [[40, 50, 60], [50, 50, 70]], [10, 10, 10])
    found = over(table, "r0", "r1")
    assert (found.moves, found.total) == ({}, None)
    assert found.reason == "it is better on no criterion"
    assert over(table, "r1", "r0").reason == "it is above already"


@pytest.mark.trial(seed=9, few=8, full=100)
def test_a_release_is_lifted_to_a_wanted_place(row, trial):
    """Its published place is what was asked, or better."""
    for table in random_tables(row, trial):
        for release, place in table.places().items():
            for wanted in range(1, place):
                found = lift(table, release, wanted)
                if found.moves:
                    assert after(table, found).places()[release] <= wanted
                else:
                    assert found.reason == "no points do it"
    assert (
        "already" in lift(table, next(name for name, place in table.places().items() if place == 1), 2).reason
    )


@pytest.mark.trial(seed=9, few=8, full=100)
def test_the_leader_falls_to_the_nearest_rival(row, trial):
    """The least of all rivals' own."""
    for table in random_tables(row, trial):
        leader = next(name for name, place in table.places().items() if place == 1)
        found = dethrone(table)
        rivals = [over(table, one.release, leader) for one in table.rows if one.release != leader]
        totals = [one.total for one in rivals if one.total is not None]
        assert found.total == (min(totals) if totals else None)
        assert found.down == leader


def test_what_makes_no_sense_is_refused(row, table):
    """No such place, no such release, itself."""
    two = table(row("anchor", 60, 40), row("beacon", 40, 50))
    with pytest.raises(ValueError, match="2 places, got 3"):
        lift(two, "beacon", 3)
    with pytest.raises(ValueError, match="nowhere has no place"):
        over(two, "nowhere", "anchor")
    with pytest.raises(ValueError, match="itself"):
        over(two, "anchor", "anchor")
    with pytest.raises(ValueError, match="no release has a place"):
        dethrone(table())


def test_a_leader_that_is_better_in_all_stays(row, table):
    """And so does one without rivals."""
    for rivals in ([], [row("beacon", 40, 50)]):
        found = dethrone(table(row("anchor", 60, 60), *rivals))
        assert (found.up, found.total, found.reason) == ("", None, "it leads whatever the points")


NAMES = {"a": "Oakum", "b": "Cordage"}


@pytest.mark.parametrize(
    ("swap", "place", "words"),
    [
        (
            Swap(up="b", down="a", moves={"roster": -15, "design": 15}, total=15, level=14.26),
            None,
            "Move 1.5 points from roster to design, and Cordage passes Oakum; 1.43 would make them level.",
        ),
        (
            Swap(up="b", down="a", moves={"roster": -10, "design": 7, "finish": 3}, total=10, level=None),
            2,
            "Move 1 point from roster to design (0.7) and finish (0.3), and Cordage comes 2nd.",
        ),
        (
            Swap(
                up="b",
                down="a",
                moves={"roster": -20, "design": 20},
                total=20,
                level=None,
                proved=False,
                at_least=17,
            ),
            1,
            (
                "Move 2 points from roster to design, and Cordage comes 1st; the smallest change "
                "found, and nothing under 1.7 points does it."
            ),
        ),
        (
            Swap(up="", down="a", moves={}, total=None, level=None, reason="so"),
            None,
            "Nobody passes Oakum: so.",
        ),
        (Swap(up="b", down="a", moves={}, total=0, level=0.0, reason="so"), None, "Cordage: so."),
        (
            Swap(up="b", down="a", moves={}, total=None, level=None, reason="so"),
            None,
            "Cordage cannot pass Oakum: so.",
        ),
        (
            Swap(up="b", down="a", moves={}, total=None, level=None, reason="so"),
            1,
            "Cordage cannot come 1st: so.",
        ),
    ],
)
def test_a_change_is_told_as_a_person_could_try_it(swap, place, words):
    """Where nothing does it, the reason stands in its stead."""
    assert told(swap, NAMES, place) == words
