"""Scores that a person puts beyond the doubt of what was computed."""

from __future__ import annotations

import pytest

from rating import overruling
from rating.review import Score

POINTS = {"returns": 120, "chase": 80, "design": 100}


def score(criterion="returns", given=53, spread=12, computed=23, computed_spread=10, basis="overruled"):
    """One score."""
    return Score(
        criterion=criterion,
        score=given,
        basis=basis,
        reason="I opened boxes.",
        spread=spread,
        computed_score=computed,
        computed_spread=computed_spread,
    )


DESIGN = score("design", 70, 8, None, None, "judged")


@pytest.mark.parametrize(
    ("given", "computed", "spread", "computed_spread", "is_far"),
    [
        (53, 23, 12, 10, True),
        (45, 23, 12, 10, False),  # 22 apart, 22 of doubt
        (46, 23, 12, 10, True),
        (0, 23, 12, 10, True),  # downwards too
        (53, 23, 12, None, True),  # recorded before the doubt of what was computed was kept
        (35, 23, 12, None, False),
        (53, None, 12, None, False),
    ],
)
def test_a_score_is_beyond_doubt_where_it_is_further_off_than_both_doubts(
    given, computed, spread, computed_spread, is_far
):
    """The distance against the sum of the two half-widths."""
    assert overruling.is_beyond_doubt(score("returns", given, spread, computed, computed_spread)) is is_far


def test_the_grade_as_computed_takes_those_scores_alone_as_computed():
    """(120 x 23 + 80 x 60 + 100 x 70) / 300 = 48.53; chase, within its doubts, stays as the person said."""
    scores = (score(), score("chase", 60, 8, 50, 5), DESIGN)
    assert overruling.as_computed(scores, POINTS) == 485
    assert overruling.remark(scores, POINTS) == (
        "A personal score is far from the computed one: returns at 53 (computed 23). By the computed "
        "scores the grade would be 48.5."
    )


def test_several_are_named_the_furthest_first():
    """(120 x 23 + 80 x 100 + 100 x 70) / 300 = 59.2."""
    scores = (score(), score("chase", 20, 8, 100, 5), DESIGN)
    assert overruling.remark(scores, POINTS) == (
        "A personal score is far from the computed one: chase at 20 (computed 100) and returns at 53 "
        "(computed 23). By the computed scores the grade would be 59.2."
    )


def test_without_such_a_score_nothing_is_remarked():
    """Neither a grade nor a word."""
    scores = (score("chase", 60, 8, 50, 5), DESIGN)
    assert overruling.as_computed(scores, POINTS) is None
    assert overruling.remark(scores, POINTS) == ""
