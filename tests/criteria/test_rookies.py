"""`rookies`: how much of the season's rookie class, and in which forms."""

from __future__ import annotations

from fractions import Fraction

import pytest

from criteria.rookies import CRITERION
from rating.criterion import NotApplicable, Unknown


def test_the_measure_weighs_the_forms(facts, scored):
    """(0.2 x 8 + 0.5 x 6 + 0.3 x 3) / 10 = 0.55; 50 + 50 (0.55 - 0.45) / 0.5 = 60."""
    found = CRITERION.ask_of(facts())
    assert found.measure == Fraction(55, 100)
    assert scored(CRITERION, found).score == 60
    assert found.reason == ("8 of the season's 10 rookies have cards: 6 are in the base set, and 3 sign.")
    assert found.evidence[-1] == "without any card: i, j"


@pytest.mark.parametrize(
    ("base", "signing", "carded", "measure", "score"),
    [
        ("", "", "", "0", 0),
        ("abcdefghij", "abcdefghij", "abcdefghij", "1", 100),  # over the goalpost of 0.95
        ("abcd", "ab", "abcd", "0.34", 38),  # 0.34 / 0.45 x 50 = 37.8
        ("", "", "abcdefghij", "0.2", 22),  # on inserts only: 22.2
    ],
)
def test_the_whole_class_base_and_signed_is_one(facts, scored, base, signing, carded, measure, score):
    """None is 0, everything is 1."""
    found = CRITERION.ask_of(
        facts(
            people={
                "rookies_in_base": tuple(base),
                "rookies_signing": tuple(signing),
                "rookies_carded": tuple(carded),
            }
        )
    )
    assert found.measure == Fraction(measure)
    assert scored(CRITERION, found).score == score


def test_a_long_list_of_missing_rookies_is_cut(facts):
    """Twelve names are read out, the rest is an ellipsis."""
    names = tuple(f"n{number}" for number in range(13))
    told = CRITERION.ask_of(facts(people={"rookies_missing": names})).evidence[-1]
    assert told.endswith("n11 …")
    assert "n12" not in told


def test_an_empty_class_is_no_question(facts):
    """On the release date nobody was a rookie yet."""
    found = CRITERION.ask_of(facts(people={"rookie_class": 0}))
    assert found == NotApplicable("the season's rookie class is empty on the release date")


@pytest.mark.parametrize(
    ("people", "why"),
    [
        ({"rookie_class": None}, "there is no rookies.csv in the season"),
        (Unknown("there is no checklist yet"), "there is no checklist yet"),
    ],
)
def test_what_is_missing_is_said(facts, people, why):
    """Unknown, with the reason; never a zero."""
    assert CRITERION.ask_of(facts(people=people)) == Unknown(why)


def test_who_is_in_it_in_one_form_alone_is_said(facts):
    """A rookie who only signs, and one with base cards only."""
    people = {"rookies_only_signing": ("g",), "rookies_only_base": ("d", "e")}
    found = CRITERION.ask_of(facts(people=people))
    assert found.reason.endswith(" 1 rookie signs but has no base card and 2 have nothing but base cards.")
    assert "signing, but without a base card: g" in found.evidence
