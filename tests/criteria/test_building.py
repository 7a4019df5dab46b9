"""`building`: boxes until nine of ten base cards are there, between two models of a box."""

from __future__ import annotations

from fractions import Fraction

import pytest

from criteria.building import CRITERION
from rating.criterion import NotApplicable, Unknown

BASE = ("Base", "", "base", 100, None, None)
NIGHT = ("Night", "", "insert", 20, None, 2)


def crossing(share, draws_a_box):
    """Boxes until a tenth is missing when a draw brings a share of the set, straight between draws."""
    left, draws = Fraction(1), 0
    while left * (1 - share) > Fraction(1, 10):
        left, draws = left * (1 - share), draws + 1
    return (draws + (left - Fraction(1, 10)) / (left * share)) / draws_a_box


def test_the_measure_lies_midway_between_the_models(boxed, scored):
    """45 of 100 base cards a box, 4.5 a pack: independent packs 5.00 boxes, no card twice in a box 3.74."""
    slow, fast = crossing(Fraction(45, 1000), 10), crossing(Fraction(45, 100), 1)
    found = CRITERION.ask_of(boxed(BASE, NIGHT))
    assert float(found.measure) == pytest.approx(float((slow + fast) / 2), rel=1e-4)
    scores = [CRITERION.scale.place(one).score for one in (fast, slow)]
    assert min(scores) < scored(CRITERION, found).score < max(scores)
    assert found.spread == 4 - (min(scores) - max(scores)) // 2
    assert found.reason == (
        f"It takes between {float(fast):.1f} and {float(slow):.1f} boxes to get 90 % of the 100 base cards; "
        "one box gets you about 37 of them and 8 duplicates."
    )


@pytest.mark.parametrize(("cards", "better"), [(20, 60), (300, 60)])
def test_neither_a_gift_nor_a_chore_is_best(boxed, scored, cards, better):
    """60 cards at 45 a box beat both 20, which one box nearly has, and 300."""
    one, two = (
        CRITERION.ask_of(boxed(("Base", "", "base", number, None, None), NIGHT)) for number in (cards, better)
    )
    assert scored(CRITERION, one).score < scored(CRITERION, two).score


def test_without_odds_the_doubt_is_wider(boxed):
    """Inserts and parallels take room in a pack that nobody knows of yet."""
    known, dark = CRITERION.ask_of(boxed(BASE, NIGHT)), CRITERION.ask_of(boxed(BASE))
    assert dark.spread > known.spread
    assert "there are no odds, so packs are taken to hold no inserts or parallels" in dark.evidence


def test_a_release_without_a_base_set_is_not_asked(boxed):
    """Absent by design."""
    given = boxed(NIGHT)
    assert CRITERION.ask_of(given) == NotApplicable("the release has no base set, by design")


def test_a_box_of_one_pack_has_one_model(boxed):
    """Nothing to choose between, so the spread is the least."""
    assert CRITERION.ask_of(boxed(BASE, NIGHT, packs=1)).spread == 4


@pytest.mark.parametrize(
    ("lines", "change", "why"),
    [
        ([], {}, "there is no checklist yet"),
        ([BASE], {"completing": Unknown("not yet")}, "not yet"),
        ([BASE], {"headline": "retail"}, "no format is described yet"),
    ],
)
def test_what_is_missing_is_said(boxed, lines, change, why):
    """Unknown, with the reason; never a zero."""
    assert CRITERION.ask_of(boxed(*lines, **change)) == Unknown(why)
