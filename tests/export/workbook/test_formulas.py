"""The values stored beside the formulas, against fractions and pandas."""

from __future__ import annotations

import math
from fractions import Fraction

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating.export.workbook.formulas import formula_values, lift

score = st.none() | st.integers(0, 100)


def whole_points(board, row):
    """The points of what is known and of what is open in a row."""
    known = sum(
        weight for one, weight in zip(board["scores"][row], board["weights"], strict=True) if one is not None
    )
    away = sum(weight for out, weight in zip(board["absent"][row], board["weights"], strict=True) if out)
    return known, sum(board["weights"]) - known - away


@st.composite
def boards(draw):
    m, n = draw(st.integers(1, 7)), draw(st.integers(1, 4))
    scores = [draw(st.lists(score, min_size=n, max_size=n)) for _ in range(m)]
    return {
        "scores": scores,
        "absent": [[one is None and draw(st.booleans()) for one in row] for row in scores],
        "weights": draw(st.lists(st.integers(0, 300), min_size=n, max_size=n)),
        "classes": draw(st.lists(st.integers(0, 2), min_size=m, max_size=m)),
        "order": draw(st.permutations(range(1, m + 1))),
    }


def half_up_tenths(scores, weights):
    known = [(one, weight) for one, weight in zip(scores, weights, strict=True) if one is not None]
    whole = sum(weight for _, weight in known)
    if not whole:
        return None
    mean = sum(Fraction(one * weight, whole) for one, weight in known)
    return math.floor(10 * mean + Fraction(1, 2))


@given(boards())
def test_grades_and_ranks_are_those_of_fractions_and_pandas(board):
    """Half-up tenths of the exact mean; competition ranks as pandas' method 'min', the apart left out."""
    found = formula_values(**board)
    grades = [half_up_tenths(row, board["weights"]) for row in board["scores"]]
    assert list(found.grades) == grades
    counted = pd.Series(
        [None if out else grade for grade, out in zip(grades, found.apart, strict=True)], dtype="float"
    )
    ranks = counted.rank(method="min", ascending=False)
    assert list(found.ranks) == [None if math.isnan(one) else int(one) for one in ranks]
    in_class = counted.groupby(board["classes"]).rank(method="min", ascending=False)
    expected = [
        None if math.isnan(one) or band == 0 else int(one)
        for one, band in zip(in_class, board["classes"], strict=True)
    ]
    assert list(found.class_ranks) == expected


@given(boards())
def test_more_than_a_quarter_open_is_apart_and_bounds_hold_what_is_open(board):
    """The rule of fourths by fractions; the bounds are the means with what is open at 0 and at 100."""
    found = formula_values(**board)
    for row, scores in enumerate(board["scores"]):
        known, unknown = whole_points(board, row)
        assert (found.weights[row], found.unknown[row]) == (known, unknown)
        assert found.apart[row] == (known == 0 or Fraction(unknown, known + unknown) > Fraction(1, 4))
        filled = [
            half_up_tenths(
                [
                    best if one is None and not out else one
                    for one, out in zip(scores, board["absent"][row], strict=True)
                ],
                board["weights"],
            )
            for best in (0, 100)
        ]
        assert found.bounds[row] == (tuple(filled) if known else None)


@given(boards())
def test_each_release_has_one_place_in_the_sorted_sheet(board):
    """By rank, then by the order given; those without a rank at the end, in that order too."""
    found = formula_values(**board)
    by_key = sorted(range(len(found.keys)), key=found.keys.__getitem__)
    assert sorted(found.keys) == list(range(1, len(found.keys) + 1))
    frame = pd.DataFrame({"rank": found.ranks, "order": board["order"]}, dtype="float")
    ranked = frame.dropna().sort_values(["rank", "order"]).index
    assert by_key == [*ranked, *frame[frame["rank"].isna()].sort_values("order").index]


@pytest.mark.parametrize(
    ("points", "weight", "whole", "tenths"),
    [
        (70, 100, 1000, 20),  # 10 of 100 points, 20 above 50: 2.0
        (51, 5, 100, 1),  # 0.05 is 0.1, halves away from zero
        (49, 5, 100, -1),
        (50, 130, 1000, 0),
        (0, 10, 10, -500),
        (80, 0, 0, None),
    ],
)
def test_a_lift_is_the_share_of_the_distance_from_fifty(points, weight, whole, tenths):
    """weight x (score - 50) / all weights, in tenths: worked by hand."""
    assert lift(points, weight, whole) == tenths
