"""Points from a person's answers, worked out by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating.rubric import choosing
from rating.rubric.choosing import Answers, Comparison
from rating.rubric.rubric import Band, Rubric, WeightedCriterion

RUBRIC = Rubric(
    name="House rubric",
    groups={"people": "People", "object": "The object", "spare": "Nothing yet"},
    criteria=(
        WeightedCriterion(key="roster", group="people", points=300),
        WeightedCriterion(key="rookies", group="people", points=200),
        WeightedCriterion(key="design", group="object", points=250),
        WeightedCriterion(key="finish", group="object", points=150),
        WeightedCriterion(key="opening", group="object", points=100),
    ),
    bands=(Band(start=0, words="Leave it"),),
)
KEYS = ("roster", "rookies", "design", "finish", "opening")


def numbers(method, *given_numbers):
    return Answers(method=method, numbers=dict(zip(KEYS, given_numbers, strict=True)))


def pairs(*rows):
    return Answers(
        method="pairwise",
        comparisons=tuple(
            Comparison(within=within, first=first, second=second, times=Fraction(times))
            for within, first, second, times in rows
        ),
    )


def points(answers, **options):
    return tuple(choosing.propose(RUBRIC, answers, **options).points.values())


GROUPS = ("", "people", "object", 3)
PEOPLE = ("people", "roster", "rookies", "1/4")
OBJECT = (
    ("object", "design", "finish", 2),
    ("object", "finish", "opening", 2),
    ("object", "design", "opening", 4),
)


def test_points_that_sum_to_100_stay_as_they_are():
    """And others are scaled, which is said."""
    assert points(numbers("points", 125, 375, 200, 200, 100)) == (125, 375, 200, 200, 100)
    found = choosing.propose(RUBRIC, numbers("points", 100, 100, 100, 100, 0))
    assert tuple(found.points.values()) == (250, 250, 250, 250, 0)
    assert found.remark == "The points given sum to 40 and were scaled to 100."


def test_a_rank_order_gives_the_weights_of_its_rule():
    """Published for five: centroids 0.4567, 0.2567, 0.1567, 0.09, 0.04; sums k/15; reciprocals 0.438, ..."""
    answers = numbers("rank", 2, 1, 3, 5, 4)
    # thirds of a tenth are left over three times, and two tenths are to be had: the first two get them
    assert points(answers) == (257, 457, 156, 40, 90)
    assert points(answers, rule="sum") == (267, 333, 200, 67, 133)
    assert points(answers, rule="reciprocal") == (219, 438, 146, 88, 109)


def test_those_that_share_a_place_share_its_weight():
    """First and second of a rank sum are 5/15 and 4/15: 0.3 each; the rest follow as fourth, and so on."""
    assert points(numbers("rank", 1, 1, 3, 4, 4), rule="sum") == (300, 300, 200, 100, 100)
    assert points(numbers("rank", 1, 1, 1, 1, 1)) == (200,) * 5


def test_swings_of_the_office_location_example():
    """Goodwin and Wright, Decision Analysis for Management Judgment, ch. 3, in whole hundredths."""
    rubric = Rubric(
        name="office",
        groups={"all": "All"},
        criteria=tuple(WeightedCriterion(key=key, group="all", points=10) for key in "abcdef"),
        bands=(Band(start=0, words="any"),),
    )
    swings = dict(zip("abcdef", (1000, 800, 700, 300, 200, 100), strict=True))
    found = choosing.propose(rubric, Answers(method="swing", numbers=swings)).points
    published = dict(zip("abcdef", (320, 260, 230, 100, 60, 30), strict=True))
    assert found == pytest.approx(published, abs=6)


def test_swings_are_taken_in_proportion():
    """100, 50, 50, 0 and 0 are 50, 25 and 25 points."""
    assert points(numbers("swing", 1000, 500, 500, 0, 0)) == (500, 250, 250, 0, 0)


def test_comparisons_multiply_the_group_with_what_is_within():
    """By hand: people 3/4 and object 1/4; rookies 4/5 of people; design, finish, opening 4/7, 2/7, 1/7."""
    found = choosing.propose(RUBRIC, pairs(GROUPS, PEOPLE, *OBJECT))
    exact = [Fraction(3, 20), Fraction(12, 20), Fraction(1, 7), Fraction(1, 14), Fraction(1, 28)]
    for one, share in zip(found.points.values(), exact, strict=True):
        assert abs(one - share * 1000) < 1
    assert sum(found.points.values()) == 1000
    assert found.method == (
        "comparisons in pairs on groups, then within each; consistency ratio 0.00 at most (Saaty 1980)"
    )


def test_comparisons_that_contradict_are_told_with_the_three_to_look_at():
    """By hand: 2 x 2 x 2 round the ring; (3.5 - 3) / 2 / 0.58 = 0.43."""
    ring = (
        ("object", "design", "finish", 2),
        ("object", "finish", "opening", 2),
        ("object", "design", "opening", "1/2"),
    )
    found = choosing.propose(RUBRIC, pairs(GROUPS, PEOPLE, *ring))
    assert [one.pairwise.is_inconsistent for one in found.compared] == [False, False, True]
    assert found.compared[2].triple == ("design", "finish", "opening")
    assert choosing.told(found.compared[2]) == (
        "object: consistency ratio 0.43 (Saaty 1980), over 0.1: the answers contradict each other, "
        "most of all design 2 times finish, finish 2 times opening and opening 2 times design."
    )
    assert [one.can_contradict for one in found.compared] == [False, False, True]


def test_open_comparisons_do_while_something_joins_all():
    """design 2 finish, finish 2 opening: 4/7, 2/7, 1/7 again."""
    assert points(pairs(GROUPS, PEOPLE, *OBJECT[:2])) == points(pairs(GROUPS, PEOPLE, *OBJECT))
    with pytest.raises(ValueError, match="nothing joins design and finish; opening"):
        points(pairs(GROUPS, PEOPLE, OBJECT[0]))
    with pytest.raises(ValueError, match="nothing joins people; object"):
        points(pairs(PEOPLE, *OBJECT))


def test_a_criterion_without_a_number_is_told():
    """So is a set of numbers that are all 0."""
    with pytest.raises(ValueError, match="no number for finish and opening"):
        choosing.propose(RUBRIC, Answers(method="swing", numbers={"roster": 1, "rookies": 1, "design": 1}))
    with pytest.raises(ValueError, match="all are 0"):
        points(numbers("swing", 0, 0, 0, 0, 0))


def test_groups_without_criteria_are_not_compared():
    """Nobody can say what they are worth."""
    assert choosing.sets(RUBRIC) == {"": ("people", "object"), "people": KEYS[:2], "object": KEYS[2:]}


@given(st.lists(st.integers(0, 1000), min_size=5, max_size=5).filter(any))
def test_points_always_sum_to_100(given_numbers):
    """Exactly, whatever the method."""
    for method in ("points", "swing", "rank"):
        assert sum(points(numbers(method, *given_numbers))) == 1000


@pytest.mark.parametrize(
    ("written", "times"),
    [("3", 3), ("1/3", Fraction(1, 3)), ("2.5", Fraction(5, 2)), ("0,5", Fraction(1, 2)), ("9", 9)],
)
def test_how_many_times_is_read_as_people_write_it(written, times):
    """Whole, as a fraction, with a point or a comma."""
    assert choosing.times_of(written) == times


@pytest.mark.parametrize(
    "written", ["", "0", "10", "1/10", "1/0", "-2", "x", "1e3", "nan", "1/", "²", "2.5/3"]
)
def test_what_is_no_number_of_times_is_refused(written):
    """From 1/9 to 9, as the method has it."""
    with pytest.raises(ValueError):
        choosing.times_of(written)


@pytest.mark.parametrize("written", ["101", "100.1", "-1", "x", ""])
def test_a_swing_lies_from_0_to_100(written):
    """In whole tenths."""
    with pytest.raises(ValueError):
        choosing.swing_of(written)
