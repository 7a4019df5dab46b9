"""The dialogue about points: what is asked, what is asked again, and the answers that come of it."""

from __future__ import annotations

from fractions import Fraction

from rating.rubric import dialogue
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


def pairs(*rows):
    return Answers(
        method="pairwise",
        comparisons=tuple(
            Comparison(within=within, first=first, second=second, times=Fraction(times))
            for within, first, second, times in rows
        ),
    )


GROUPS = ("", "people", "object", 3)
PEOPLE = ("people", "roster", "rookies", "1/4")
OBJECT = (
    ("object", "design", "finish", 2),
    ("object", "finish", "opening", 2),
    ("object", "design", "opening", 4),
)


def talk(method, *typed):
    """The answers of a person who types these lines, and what was shown; a line too many or few fails."""
    left, shown = list(typed), []

    def ask(prompt):
        shown.append(prompt)
        return left.pop(0)

    found = dialogue.answers(RUBRIC, method, questions={"roster": "Who is in it?"}, ask=ask, say=shown.append)
    assert left == []
    return found, "\n".join(shown)


def test_points_are_asked_one_by_one():
    """Enter keeps, nonsense is asked again, and so is a round without any points."""
    found, shown = talk("points", "12.5", "", "x", "30", "0", "0")
    assert found.numbers == dict(zip(KEYS, (125, 200, 300, 0, 0), strict=True))
    assert "roster: Who is in it?" in shown
    assert "rookies (now 20): " in shown
    assert "points in whole tenths, please" in shown
    assert "62.5 in all" in shown
    again, _ = talk("points", *["0"] * 5, "1", *["0"] * 4)
    assert again.numbers["roster"] == 10


def test_a_rank_order_is_asked_from_the_top():
    """By number or word; one that has its place is not taken twice, and the last needs no question."""
    found, shown = talk("rank", "3", "design", "9", "opening", "1", "2")
    assert found.numbers == {"design": 1, "opening": 2, "roster": 3, "rookies": 4, "finish": 5}
    assert "one of these, please: roster, rookies, finish, opening" in shown


def test_swings_begin_with_the_largest():
    """Which is worth 100; the others are held against it."""
    found, shown = talk("swing", "nobody", "2", "80", "101", "40", "0", "62.5")
    assert found.numbers == {"rookies": 1000, "roster": 800, "design": 400, "finish": 0, "opening": 625}
    assert "Lifting rookies is worth 100" in shown


def test_pairs_are_asked_on_groups_and_then_within():
    """Five questions; what is not joined in the end is asked for."""
    typed = ["3", "1/4", "2", "", ""]  # groups, people, object: design against finish alone
    found, shown = talk("pairwise", *typed, "", "4")
    assert found == pairs(GROUPS, PEOPLE, OBJECT[0], OBJECT[2])
    assert "nothing joins design and finish with the others yet" in shown
    assert "Groups: 1 question" in shown
    assert "The object: 3 questions" in shown


def test_three_that_contradict_can_be_given_again():
    """Or left as they are."""
    ring = ["3", "1/4", "2", "1/2", "2"]
    found, shown = talk("pairwise", *ring, "y", "2", "4", "2")
    assert "most of all design 2 times finish" in shown
    assert found == pairs(GROUPS, PEOPLE, OBJECT[0], OBJECT[2], OBJECT[1])
    kept, _ = talk("pairwise", *ring, "n")
    assert kept == pairs(
        GROUPS, PEOPLE, OBJECT[0], ("object", "design", "opening", "1/2"), ("object", "finish", "opening", 2)
    )
