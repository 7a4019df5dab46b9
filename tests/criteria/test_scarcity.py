"""`scarcity`: in how many copies the middle one of a box's cards exists, base apart."""

from __future__ import annotations

from dataclasses import replace

import pytest

from criteria.scarcity import CRITERION
from rating.criterion import Unknown

BASE = ("Base", "", "base", 100, None, None)
# 100 cards of 100 copies at 1:2 are 20,000 packs, 2,000 boxes: five a box
GREEN = ("Base", "Green", "base", 100, 100, 2)
# 20 cards at 1:4: 5,000 copies, 250 of each, two and a half a box
NIGHT = ("Night", "", "insert", 20, None, 4)
BLACK = ("Base", "Black", "base", 100, 10, 20)


def test_the_middle_card_of_a_box_decides(boxed, scored):
    """Of 8 a box that are not base, half a card is one of 10, five are one of 100: the middle is 100.

    50 + 50 ln(400 / 100) / ln(400 / 10) = 68.8.
    """
    found = CRITERION.ask_of(boxed(BASE, GREEN, NIGHT, BLACK))
    assert found.measure == 100
    assert scored(CRITERION, found).score == 69
    assert found.reason == (
        "About 2,000 Hobby boxes exist. Base cards aside, half of the cards you pull exist in 100 copies or "
        "fewer."
    )


def test_unnumbered_cards_count_by_the_copies_that_odds_imply(boxed):
    """With eight of them a box the middle is theirs: 20,000 packs / 1.25 = 16,000 of 20 cards, 800 each."""
    found = CRITERION.ask_of(boxed(BASE, GREEN, ("Night", "", "insert", 20, None, "1.25")))
    assert float(found.measure) == pytest.approx(800, rel=0.01)
    assert found.spread > CRITERION.ask_of(boxed(BASE, GREEN, NIGHT)).spread >= 4


def test_what_most_of_a_box_is_must_be_known(boxed):
    """Five numbered cards a box are less than half of what is not base, and of the rest nothing is known."""
    given = boxed(BASE, GREEN, ("Night", "", "insert", 20, None, "1.6"))
    lines = list(given.scarcity.lines)
    lines[2] = replace(lines[2], copies=replace(lines[2].copies, estimate=None))
    dark = given.replaced(scarcity=replace(given.scarcity, lines=tuple(lines)))
    assert "more than half" in CRITERION.ask_of(dark).why


@pytest.mark.parametrize(
    ("lines", "change", "why"),
    [
        ([BASE], {}, "there are no odds, so there is no way to tell how many packs exist"),
        ([BASE, NIGHT], {}, "no card is numbered, so there is no way to tell how many packs exist"),
        ([BASE, GREEN], {"scarcity": Unknown("not yet")}, "not yet"),
        (
            [BASE, GREEN],
            {"collations": {}},
            "how a box is packed is not known, so neither is what one pulls from it",
        ),
    ],
)
def test_what_is_missing_is_said(boxed, lines, change, why):
    """Unknown, with the reason; never a zero."""
    assert CRITERION.ask_of(boxed(*lines, **change)) == Unknown(why)
