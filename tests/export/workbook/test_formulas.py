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


@st.composite
def boards(draw):
    m, n = draw(st.integers(1, 7)), draw(st.integers(1, 4))
    return {
        "scores": [draw(st.lists(score, min_size=n, max_size=n)) for _ in range(m)],
        "weights": draw(st.lists(st.integers(0, 300), min_size=n, max_size=n)),
        "apart": draw(st.lists(st.booleans(), min_size=m, max_size=m)),
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
        [None if out else grade for grade, out in zip(grades, board["apart"], strict=True)], dtype="float"
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
def test_each_release_has_one_place_in_the_sorted_sheet(board):
    """By rank, then by the order given; those without a rank at the end, as they stand."""
    found = formula_values(**board)
    by_key = sorted(range(len(found.keys)), key=found.keys.__getitem__)
    assert sorted(found.keys) == list(range(1, len(found.keys) + 1))
    frame = pd.DataFrame({"rank": found.ranks, "order": board["order"]}, dtype="float")
    ranked = frame.dropna().sort_values(["rank", "order"]).index
    assert by_key == [*ranked, *frame.index[frame["rank"].isna()]]


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
