"""`signatures`: autographs per 100 spent, and how they are signed."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from criteria.signatures import CRITERION
from rating.criterion import Unknown


def test_the_measure_weighs_stickers_less(facts, scored):
    """3 x 100 / 150 = 2 for 100; (30 + 0.7 x 10) / 40 = 0.925; 2 x 0.925 = 1.85.

    50 + 50 ln(1.85 / 1.2) / ln(5) = 63.4.
    """
    found = CRITERION.ask_of(facts(main={"box_price": Decimal("150.00")}))
    assert found.measure == Fraction(185, 100)
    assert scored(CRITERION, found).score == 63
    assert found.reason == (
        "$100, before tax and shipping, gets you 2.0 autographs. Of those on the checklist, 75 % are signed "
        "on the card. "
        "25 different people sign."
    )


@pytest.mark.parametrize(
    ("card", "sticker", "unsaid", "quality", "words"),
    [
        (40, 0, 0, "1", "all signed on the card"),
        (0, 40, 0, "0.7", "all signed on stickers"),
        (0, 0, 40, "0.85", "the checklist does not say whether on the card or on stickers"),
        (10, 10, 20, "0.85", "Of the 20 of which the checklist says how, 50 % are signed on the card"),
    ],
)
def test_how_it_is_signed_counts(facts, card, sticker, unsaid, quality, words):
    """On the card whole, on a sticker seven tenths, not said half-way between."""
    found = CRITERION.ask_of(
        facts(
            main={"box_price": Decimal("150.00")},
            content={"signed_on_card": card, "signed_on_stickers": sticker, "signed_unknown": unsaid},
        )
    )
    assert found.measure == 2 * Fraction(quality)
    assert words in found.reason


def test_nobody_signing_is_a_zero_and_no_gap(facts, scored):
    """Absence is a fault here by the declared rule, and sure."""
    found = CRITERION.ask_of(
        facts(
            content={"has_signatures": False, "signed_on_card": 0, "signed_on_stickers": 0},
            main={"autographs_per_box": None},
        )
    )
    assert (found.measure, found.spread) == (0, 0)
    assert (scored(CRITERION, found).score, scored(CRITERION, found).capped) == (0, "low")
    assert found.reason == "Nobody signs in this release."


def test_odds_are_less_sure_than_a_promise(facts):
    """Counts made from odds carry more doubt."""
    promised, odds = (
        CRITERION.ask_of(facts(main={"counts_from": source})).spread
        for source in ("guarantees", "guarantees and odds")
    )
    assert promised < odds


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (
            {"main": {"autographs_per_box": None}},
            "neither guarantees nor odds say how many autographs a Hobby box holds",
        ),
        ({"main": {"box_price": None}}, "there is no price for a Hobby box yet"),
        ({"content": Unknown("there is no checklist yet")}, "there is no checklist yet"),
        ({"economics": Unknown("not yet")}, "not yet"),
    ],
)
def test_what_is_missing_is_said(facts, change, why):
    """Unknown, with the reason; never a zero."""
    assert CRITERION.ask_of(facts(**change)) == Unknown(why)


def test_signers_whom_everybody_wants_count_half_as_much_again(facts):
    """Demand 100 makes 1.5, 50 makes 1, 0 makes a half; unknown counts as typical."""
    measures = [
        CRITERION.ask_of(facts(people={"signer_demand": demand})).measure for demand in (None, 50, 100, 0)
    ]
    assert [one / measures[0] for one in measures] == [1, 1, Fraction(3, 2), Fraction(1, 2)]
    wanted = CRITERION.ask_of(facts(people={"signer_demand": Decimal(80)}))
    assert wanted.reason.endswith("25 different people sign; they are more wanted than the typical player.")
