"""The current reviews as one table: grades in exact integers, places, what applies and what is unknown."""

from __future__ import annotations

import dataclasses
import json
from fractions import Fraction

import numpy as np
import pytest

from rating.doubt.score_table import ScoreRow, ScoreTable, table_of
from rating.ledger.ledger import ScoreEntry
from rating.standings import Standing


def row(release, scores, applies=None, **more):
    """A release with these scores; None is unknown where the criterion applies."""
    plain = {
        "title": release.title(),
        "released_on": "2031-03-12",
        "price_class": "",
        "stage": "launch",
        "published": None,
        "restated": False,
        "spreads": (5,) * len(scores),
    }
    return ScoreRow(
        release=release, scores=scores, applies=applies or (True,) * len(scores), **(plain | more)
    )


def table(*rows, points=(500, 300, 200)):
    """Three criteria in two groups."""
    return ScoreTable(criteria=("a", "b", "c"), groups=("x", "x", "y"), points=points, rows=rows)


def test_a_grade_is_the_published_rule_in_whole_tenths():
    """(50 x 80 + 30 x 61 + 20 x 50) / 100 = 68.3; 0.5 x 80 + 0.3 x 60 + 0.2 x 50 = 68."""
    made = table(row("one", (80, 61, 50)), row("two", (80, 60, 50)))
    assert [made.grade(one) for one in made.rows] == [683, 680]
    assert made.unrounded(made.rows[0]) == Fraction(683, 10)


def test_halves_are_rounded_up():
    """(1 x 50 + 19 x 51) / 20 = 50.95, in tenths 510 by half up."""
    made = table(row("one", (50, 51, 0)), points=(1, 19, 0))
    assert made.grade(made.rows[0]) == 510


def test_what_does_not_apply_or_is_unknown_shares_its_weight_out():
    """Without c: (50 x 80 + 30 x 40) / 80 = 65."""
    made = table(row("one", (80, 40, None)), row("two", (80, 40, None), (True, True, False)))
    assert [made.grade(one) for one in made.rows] == [650, 650]


def test_over_a_quarter_unknown_has_no_place():
    """30 of 100 points are too many, 20 are not; 20 of the 50 that apply are too many again."""
    made = table(
        row("far", (80, None, 40)),
        row("near", (80, 40, None)),
        row("narrow", (None, 40, None), (False, True, True)),
    )
    assert [one.release for one in made.ranked] == ["near"]
    assert made.places() == {"near": 1}


def test_places_are_competition_ranks_and_ties_are_shown():
    """1, 2, 2, 4."""
    made = table(*(row(name, (score,) * 3) for name, score in zip("abcd", (90, 70, 70, 10), strict=True)))
    assert made.places() == {"a": 1, "b": 2, "c": 2, "d": 4}
    assert made.shown_places() == {"a": "1", "b": "=2", "c": "=2", "d": "4"}


def test_gaps_are_filled_so_that_the_weighted_mean_stays():
    """What does not count stands at the release's own mean, 65."""
    made = table(row("one", (80, 40, None)))
    filled = made.filled()
    assert filled.shape == (1, 3)
    assert filled[0] @ np.array([0.5, 0.3, 0.2]) == pytest.approx(65)


def standing(release, seq, rubric, grade=500):
    """A place in the standings."""
    empty = dict.fromkeys(Standing.__dataclass_fields__, None)
    return Standing(
        **(empty | {"release": release, "title": release, "seq": seq, "rubric": rubric, "grade": grade})
    )


def rubric_text(**points):
    """A stored rubric with these points in tenths."""
    return json.dumps(
        {"criteria": [{"key": key, "group": "x", "points": one} for key, one in points.items()]}
    )


def test_the_rubric_that_most_rows_were_graded_by_weighs_them_all():
    """A release of another rubric is restated; a criterion that it did not have does not apply."""
    texts = {"old": rubric_text(a=600), "new": rubric_text(a=500, b=500)}
    rows = [standing("one", 1, "old"), standing("two", 2, "new"), standing("three", 3, "new")]
    scores = {
        1: [ScoreEntry(1, "a", 60, "judged", 5, 600)],
        2: [ScoreEntry(2, "a", 40, "judged", 5, 500), ScoreEntry(2, "b", None, "unknown", 0, 500)],
        3: [ScoreEntry(3, "a", 10, "judged", 5, 500), ScoreEntry(3, "b", 20, "computed", 3, 500)],
    }
    made = table_of(rows, scores, texts)
    assert (made.criteria, made.points) == (("a", "b"), (500, 500))
    assert [one.restated for one in made.rows] == [True, False, False]
    assert [one.applies for one in made.rows] == [(True, False), (True, True), (True, True)]
    assert [one.scores for one in made.rows] == [(60, None), (40, None), (10, 20)]
    assert made.rows[2].spreads == (5, 3)


def test_of_two_rubrics_used_alike_the_later_one_counts():
    """Ties go to the rubric that was used last."""
    texts = {"old": rubric_text(a=600), "new": rubric_text(a=500)}
    scores = {seq: [ScoreEntry(seq, "a", 60, "judged", 5, 600)] for seq in (1, 2)}
    assert table_of([standing("one", 2, "new"), standing("two", 1, "old")], scores, texts).points == (500,)


def test_an_empty_season_is_an_empty_table():
    """Nothing recorded, nothing ranked."""
    made = table_of([], {}, {})
    assert (made.rows, made.criteria, made.places()) == ((), (), {})
    assert made.filled().shape == (0, 0)


def test_a_table_says_whether_a_row_was_recorded_under_another_rubric():
    """Nothing is said where all were graded alike."""
    other = dataclasses.replace(row("b", (1, 2, 3)), restated=True)
    assert table(row("a", (1, 2, 3))).restated == ""
    assert table(row("a", (1, 2, 3)), other).restated.startswith("Some of these reviews were graded by")
