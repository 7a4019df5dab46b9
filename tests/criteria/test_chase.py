"""`chase`: how many different inserts and numbered parallels 100 of money brings, and the rungs."""

from __future__ import annotations

import math

import pytest

from criteria.chase import CRITERION
from rating.criterion import Unknown

BASE = ("Base", "", "base", 100, None, None)
INK = ("Ink", "", "autograph", 10, None, 12)
# two a box, one a box, 0.1 a box, by odds and by print runs alike: 50,000 packs
LADDER = (
    ("Base", "Green", "base", 100, 100, 5),
    ("Base", "Blue", "base", 100, 50, 10),
    ("Base", "Black", "base", 100, 5, 100),
)
NIGHT = ("Night", "", "insert", 20, None, 2)


def met(*rates):
    """Expected different lines in 100 / 160 of a box, each by the Poisson chance of none."""
    return sum(1 - math.exp(-rate * 100 / 160) for rate in rates)


def test_the_measure_counts_each_line_once(boxed, scored):
    """Rates of 5, 2, 1 and 0.1 a box at 160: 0.956 + 0.713 + 0.465 + 0.061 = 2.195; base and ink are out.

    50 + 50 ln(2.195 / 2) / ln(5) = 52.9.
    """
    found = CRITERION.ask_of(boxed(BASE, INK, NIGHT, *LADDER))
    assert found.measure == pytest.approx(met(5, 2, 1, 0.1))
    assert scored(CRITERION, found).score == 53
    assert found.reason == (
        "$100, before tax and shipping, gets you about 2.2 of the 4 kinds of insert and numbered "
        "parallel. "
        "From most to least common, each of the 3 numbered base parallels is on average 4.5 times scarcer "
        "than the one before; the biggest step is 10.0 times."
    )


def test_rungs_that_are_far_apart_count_for_less(boxed):
    """As many rungs, but the middle one a tenth as often."""
    far = (LADDER[0], ("Base", "Blue", "base", 100, 5, 100), LADDER[2])
    assert CRITERION.ask_of(boxed(BASE, *far)).measure < CRITERION.ask_of(boxed(BASE, *LADDER)).measure


def test_an_unnumbered_parallel_is_no_chase(boxed):
    """One in every other pack adds nothing."""
    plain = CRITERION.ask_of(boxed(BASE, NIGHT))
    more = CRITERION.ask_of(boxed(BASE, NIGHT, ("Base", "Mist", "base", 100, None, 2)))
    assert plain.measure == more.measure
    assert plain.reason == (
        "It has only one insert or numbered parallel; $100, before tax and shipping, gets you one 96 times "
        "in 100. "
        "The base set has no numbered parallel."
    )


def test_a_price_that_is_less_sure_leaves_more_doubt(boxed):
    """A street price may be a tenth off, a list price three tenths."""
    street = CRITERION.ask_of(boxed(BASE, NIGHT, *LADDER))
    listed = CRITERION.ask_of(boxed(BASE, NIGHT, *LADDER, main={"price_kind": "list"}))
    assert 5 < street.spread < listed.spread


def test_nothing_to_chase_scores_nothing(boxed, scored):
    """Base and ink alone."""
    found = CRITERION.ask_of(boxed(BASE, INK))
    assert (found.measure, scored(CRITERION, found).score) == (0, 0)
    assert found.reason.startswith("It has neither inserts nor numbered parallels.")


def test_what_falls_who_knows_how_often_is_told(boxed):
    """An insert without odds is not counted, and named in the evidence."""
    found = CRITERION.ask_of(boxed(BASE, NIGHT, ("Tide", "", "insert", 20, None, None)))
    assert found.measure == pytest.approx(met(5))
    assert "not counted, as their odds are not stated: 1" in found.evidence


@pytest.mark.parametrize(
    ("lines", "change", "why"),
    [
        ([], {}, "there is no checklist yet"),
        (
            [BASE, ("Night", "", "insert", 20, None, None)],
            {},
            "there are no odds yet, so how often anything falls is not known",
        ),
        (
            [BASE, NIGHT],
            {"collations": {}},
            "how a Hobby box is packed is not known, so neither is how often anything falls",
        ),
        ([BASE, NIGHT], {"main": {"box_price": None}}, "there is no price for a Hobby box yet"),
        (
            [BASE, INK, ("Night", "", "insert", 20, None, None)],
            {},
            "neither promises nor odds say how often Night fall",
        ),
        ([BASE, NIGHT], {"economics": Unknown("not yet")}, "not yet"),
    ],
)
def test_what_is_missing_is_said(boxed, lines, change, why):
    """Unknown, with the reason; never a zero."""
    assert CRITERION.ask_of(boxed(*lines, **change)) == Unknown(why)
