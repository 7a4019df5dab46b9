"""Places under other points, and the points that scores alone would give."""

from __future__ import annotations

import pytest

from rating.doubt import points
from rating.doubt.score_table import ScoreTable


def table(*rows):
    return ScoreTable(
        criteria=("look", "price", "feel"), groups=("a", "b", "a"), points=(500, 300, 200), rows=rows
    )


@pytest.fixture
def two(row):
    return row("first", 90, 20, 50), row("second", 10, 80, 50)


def test_other_points_move_places_and_touch_nothing_else(two):
    """By hand: 61 and 39 points before; with all on price 20 and 80; what is left out counts nothing."""
    both = table(*two)
    assert both.places() == {"first": 1, "second": 2}
    assert points.under(both, {"price": 1000}).places() == {"first": 2, "second": 1}
    moved = points.moves(both, {"price": 1000, "unheard of": 500})
    assert [(one.release, one.before, one.after, one.after_grade) for one in moved] == [
        ("second", 2, 1, 800),
        ("first", 1, 2, 200),
    ]


def test_points_from_scores_leave_out_what_does_not_differ(two):
    """By hand: deviations 40, 30 and 0 are 57.1 and 42.9 points; each column sums to 100."""
    found = points.from_scores(table(*two))
    assert tuple(found) == points.FROM_SCORES
    assert found["deviation"] == {"look": 571, "price": 429, "feel": 0}
    assert {sum(one.values()) for one in found.values()} == {1000}
    # one goes up as the other goes down, by as much of its range: CRITIC tells them apart by nothing
    assert found["critic"] == {"look": 500, "price": 500, "feel": 0}


def test_what_does_not_apply_stands_at_the_release_s_own_mean(two, row):
    """By hand: 90 and 50 at 5 to 2 are 550 / 7 = 78.57, as good as 79 within a tenth or two."""
    gap = points.from_scores(table(*two, row("third", 90, None, 50)))["deviation"]
    near = points.from_scores(table(*two, row("third", 90, 79, 50)))["deviation"]
    assert all(abs(gap[key] - near[key]) <= 2 for key in gap)


def test_a_single_release_has_nothing_to_differ_from(row):
    """Nor has none."""
    assert points.from_scores(table(row("first", 90, 20, 50))) == points.from_scores(table()) == {}
    assert points.moves(table(), {"price": 1}) == ()
