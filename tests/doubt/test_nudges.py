"""The smallest change that changes a place as it is shown, and the sentence about it."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from rating.doubt.nudges import nudge, told


def shown(table, release, key, change):
    """The place with other points of one criterion, with its sign where it is shared."""
    at = dict(zip(table.criteria, table.points, strict=True))[key] + change
    return table.with_points({key: at}).shown_places()[release]


@pytest.mark.trial(seed=17, few=40, full=400)
def test_a_nudge_is_the_first_whole_tenth_that_changes_the_shown_place(row, table, trial):
    """Every smaller change of either criterion is tried and leaves it, a tie included; that one does not."""
    rng = np.random.default_rng(trial.seed)
    for _ in range(trial.count):
        rows = [row(name, *map(int, rng.integers(45, 60, 2))) for name in ("anchor", "beacon", "cutter")]
        made = table(*rows, points=(60, 40))
        for own in rows:
            here, found = made.shown_places()[own.release], nudge(made, own.release)
            sizes = range(1, 11) if found is None else range(1, abs(found.change))
            for key, size, side in itertools.product(made.criteria, sizes, (1, -1)):
                assert shown(made, own.release, key, side * size) == here
            if found is not None:
                assert shown(made, own.release, found.criterion, found.change) == found.place != here


def test_the_margin_in_a_sentence(row, table):
    """Of a place that nothing moves, and of two that come to share one; how far is tried out above."""
    far = table(row("anchor", 80, 80), row("beacon", 50, 50))
    assert told(far, "anchor") == "Weighting any one criterion up to 10 points more or less does not move it."
    near = table(row("anchor", 80, 44), row("beacon", 50, 70))
    found = nudge(near, "anchor")
    more = "more" if found.change > 0 else "less"
    head = f"With {abs(found.change) / 10:g} points {more} weight on {found.criterion} alone"
    assert told(near, "anchor") == f"{head}, Marlow Beacon draws level with it."
    assert told(near, "beacon") == f"{head}, it draws level with Marlow Anchor."


def test_a_tie_that_breaks_is_a_change_for_both(row, table):
    """50.0 each at even points. With x points more on roster anchor gains 10 x / (100 + x), beacon loses it.

    Half a point more is 0.04975, and both are still published as 50.0; half a point less is 0.05025, and they
    are 49.9 and 50.1.
    """
    made = table(row("anchor", 60, 40), row("beacon", 40, 60))
    does = {"anchor": "Marlow Beacon pulls ahead of it", "beacon": "it pulls ahead of Marlow Anchor"}
    for name, words in does.items():
        assert told(made, name) == f"With 0.5 points less weight on roster alone, {words}."


def test_one_release_alone_has_no_margin(row, table):
    """There is nothing to compare it with."""
    assert told(table(row("anchor", 60, 40)), "anchor") == ""


def test_a_release_without_a_place_has_no_sentence(row, table):
    """Half of it is unknown."""
    with pytest.raises(ValueError, match="beacon has no place"):
        told(table(row("anchor", 1, 2), row("beacon", 3, "?")), "beacon")
