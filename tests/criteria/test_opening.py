"""`opening`: the share of packs with something other than base; the feel of it is a person's."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from criteria.opening import CRITERION
from rating.criterion import Unknown
from rating.release.sheet import Guarantee

BASE = ("Base", "", "base", 100, None, None)
NIGHT = ("Night", "", "insert", 20, None, 2)
FUN = "how much fun it is to open is left to your judgement"
TIDE = ("Tide", "", "insert", 20, None, 5)
MIST = ("Base", "Mist", "base", 100, None, None)
PROMISE = Guarantee(what="parallel", count=Decimal(1), per="pack", hard=True, parallel="Mist")


def test_the_measure_is_the_share_of_packs_with_something(boxed, scored):
    """1 - (1 - 1/2)(1 - 1/5) = 0.6 of packs; 50 (0.6 - 0.35) / 0.31 = 40.3."""
    found = CRITERION.ask_of(boxed(BASE, NIGHT, TIDE))
    assert found.measure == Fraction(6, 10)
    assert scored(CRITERION, found).score == 40
    assert found.spread == 15
    assert found.reason.startswith(
        "60 % of packs hold more than base cards. In a box, "
        "the longest run of packs with only base cards is 2."
    )
    assert found.reason.endswith("How much fun that is to open is left to your judgement.")


def test_what_every_pack_has_counts_half(boxed):
    """A Mist in each: 1 and 0.6, in the middle 0.8, and no wait."""
    found = CRITERION.ask_of(boxed(BASE, MIST, NIGHT, TIDE, guarantees=(PROMISE,)))
    assert found.measure == Fraction(8, 10)
    assert (
        "Every pack holds more than base cards: each has a Base Mist card, and 60 % hold something else as "
        "well." in found.reason
    )
    assert "wait" not in found.reason


def test_lines_that_nothing_speaks_of_are_told(boxed):
    """They are not in the share."""
    found = CRITERION.ask_of(boxed(BASE, MIST, NIGHT))
    assert found.measure == Fraction(1, 2)
    assert "not counted, as their odds are not stated: Base Mist" in found.evidence


@pytest.mark.parametrize(
    ("lines", "change", "why"),
    [
        ([], {}, "there is no checklist yet"),
        ([BASE, NIGHT], {"opening": Unknown("not yet")}, "not yet"),
        ([BASE, NIGHT], {"headline": "retail"}, "no format is described yet"),
        (
            [BASE, NIGHT],
            {"packs": 1},
            "a box is a single pack, so how much fun it is to open is left to your judgement",
        ),
        (
            [BASE, NIGHT],
            {"packs": 2},
            "a box is two packs, so how much fun it is to open is left to your judgement",
        ),
        ([BASE], {}, "there are no odds yet, so how many packs hold something is not known"),
    ],
)
def test_what_is_missing_is_said(boxed, lines, change, why):
    """Unknown, with the reason; a box of one pack has no pack by pack."""
    assert CRITERION.ask_of(boxed(*lines, **change)) == Unknown(why)
