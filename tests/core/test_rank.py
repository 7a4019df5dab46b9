"""Ranks and ties."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating.core.rank import competition_ranks, mean_ranks, tied

grades = st.lists(st.integers(0, 12), max_size=30)


@given(grades)
def test_a_competition_rank_is_one_more_than_the_number_of_better_grades(values):
    """The definition, counted out for each grade."""
    assert competition_ranks(values) == tuple(1 + sum(other > g for other in values) for g in values)


@given(grades)
def test_a_mean_rank_is_halfway_through_the_places_of_a_tie(values):
    """The definition, counted out for each grade."""
    better = [sum(other > g for other in values) for g in values]
    equal = [values.count(g) for g in values]
    assert mean_ranks(values) == tuple(b + (e + 1) / 2 for b, e in zip(better, equal, strict=True))


@pytest.mark.parametrize("ranks", [competition_ranks, mean_ranks])
@given(values=grades)
def test_lowest_first_is_highest_first_of_the_opposite(ranks, values):
    """Turning the direction is the same as turning the signs."""
    assert ranks(values, best="low") == ranks([-value for value in values], best="high")


@given(grades, st.randoms())
def test_the_order_of_grades_is_irrelevant(values, order):
    """Each grade keeps its rank wherever it stands."""
    shuffled = list(values)
    order.shuffle(shuffled)
    places = dict(zip(values, competition_ranks(values), strict=True))
    assert competition_ranks(shuffled) == tuple(places[value] for value in shuffled)


def test_exact_values_are_told_apart_where_floats_would_tie():
    """A third and its nearest float differ by less than a float can say, and still rank apart."""
    third = Fraction(1, 3)
    assert competition_ranks([third, third + Fraction(1, 10**30)]) == (2, 1)
    assert competition_ranks([Decimal("0.1"), Decimal("0.10")]) == (1, 1)
    assert competition_ranks([10**400, 10**400 + 1]) == (2, 1)


def test_competition_ranks_are_whole_numbers():
    """They go into tables and JSON as 1, not as 1.0."""
    assert [type(place) for place in competition_ranks([5, 5, 3])] == [int, int, int]


@pytest.mark.parametrize("nan", [math.nan, Decimal("nan")])
def test_nan_is_refused_with_its_position(nan):
    """What is unknown has no rank; the message says where it stood."""
    with pytest.raises(ValueError, match="NaN has no rank, got it at position 1 of 3"):
        competition_ranks([1, nan, 2])


@pytest.mark.parametrize("ranks", [competition_ranks, mean_ranks])
def test_a_direction_that_does_not_exist_is_refused(ranks):
    """It is quoted."""
    with pytest.raises(ValueError, match="best is high or low, not 'max'"):
        ranks([1], best="max")


def test_the_input_is_not_changed():
    """A list given to be ranked keeps its order."""
    values = [3, 1, 2]
    competition_ranks(values)
    assert values == [3, 1, 2]


@pytest.mark.parametrize(
    ("places", "shared"),
    [
        ((1, 2, 2, 4), (False, True, True, False)),
        ((1, 1), (True, True)),
        ((1,), (False,)),
        ((), ()),
    ],
)
def test_tied_says_which_places_are_shared(places, shared):
    """A place is tied when another release has it too."""
    assert tied(places) == shared
