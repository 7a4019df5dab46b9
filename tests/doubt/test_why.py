"""The difference of two grades by criterion: worked out by hand, and its sum on random tables."""

from __future__ import annotations

import numpy as np
import pytest

from rating.doubt.score_table import ScoreTable
from rating.doubt.why import told, why

NAMES = {"anchor": "Anchor", "beacon": "Beacon"}


def test_parts_are_points_times_the_difference(row, table):
    """70 and 30 points of 100: 0.7 x (60 - 50) = +7.0, 0.3 x (40 - 60) = -6.0, together +1.0."""
    scores = table(row("anchor", 60, 40), row("beacon", 50, 60), points=(700, 300))
    found = why(scores, "anchor", "beacon")
    assert [(part.criterion, part.brings) for part in found.parts] == [("roster", 70), ("design", -60)]
    assert (found.grades, found.difference) == ((540, 530), 10)
    assert told(found, NAMES) == "Anchor stands at 54.0, 1.0 above Beacon at 53.0."
    # from roster to design: 0.6 points less lead a point, so over 3.3 points; 54.0 - 2.0 < 53.0 + 1.0
    assert (found.turn.up, found.turn.proved) == ("beacon", True)


def test_what_is_unknown_brings_nothing_of_its_own(row, table):
    """Anchor 60 on roster alone is 60.0; Beacon (60 + 40) / 2 is 50.0; the middle is 55.

    roster: 60 - 55 = +5, less (60 - 55) / 2 = +2.5: +2.5; design: 0 less (40 - 55) / 2: +7.5.
    """
    scores = table(row("anchor", 60, None), row("beacon", 60, 40))
    found = why(scores, "anchor", "beacon")
    assert [(part.criterion, part.brings) for part in found.parts] == [("design", 75), ("roster", 25)]
    assert found.difference == 100


@pytest.mark.trial(seed=4, few=15, full=1000)
def test_parts_sum_to_the_published_difference(row, trial):
    """With gaps and rounding; the other way round it is the opposite."""
    rng = np.random.default_rng(trial.seed)
    for _ in range(trial.count):
        scores = [[int(one) for one in rng.integers(0, 101, 4)] for _ in range(2)]
        scores[0][int(rng.integers(4))] = None
        points = tuple(int(one) for one in rng.integers(1, 300, 4))
        rows = tuple(row(name, *own) for name, own in zip(NAMES, scores, strict=True))
        keys = ("a", "b", "c", "d")
        made = ScoreTable(criteria=keys, groups=keys, points=points, rows=rows)
        found = why(made, "anchor", "beacon")
        assert sum(part.brings for part in found.parts) == found.difference
        assert found.difference == made.grade(rows[0]) - made.grade(rows[1])
        assert why(made, "beacon", "anchor").difference == -found.difference


def test_what_makes_no_sense_is_refused(row, table):
    """Itself, or one that has no place."""
    two = table(row("anchor", 60, 40), row("beacon", 40, 50))
    with pytest.raises(ValueError, match="itself"):
        why(two, "anchor", "anchor")
    with pytest.raises(ValueError, match="nowhere has no place"):
        why(two, "anchor", "nowhere")


def test_equal_grades_are_told_as_such(row, table):
    """Nothing has to turn."""
    found = why(table(row("anchor", 60, 40), row("beacon", 40, 60)), "anchor", "beacon")
    assert found.turn is None
    assert told(found, NAMES) == "Anchor and Beacon both stand at 50.0."
