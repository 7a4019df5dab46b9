"""`outlay`: what a box, a card and a hit cost, landed, against what is usual in the class."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from criteria.outlay import CRITERION
from rating.criterion import Unknown


def test_the_measure_is_the_mean_of_three_ratios(facts, scored):
    """180 / 150 = 1.2; 180 / 120 cards = 1.50, over 1.50 = 1; 180 / 3 hits = 60, over 40 = 1.5; mean 37/30.

    50 - 50 ln(37/30) / ln(2.5) = 38.6.
    """
    found = CRITERION.ask_of(facts())
    assert found.measure == Fraction(37, 30)
    assert scored(CRITERION, found).score == 39
    assert found.reason == (
        "Landed it costs 180.00 a box, 1.50 a card, 60.00 a hit: 23 % more than usual for the class middle."
    )
    assert found.evidence[2] == "hit: 60.00 landed, 1.50 times the usual of its class"


def test_a_box_without_hits_is_held_to_box_and_card(facts):
    """(1.2 + 1) / 2 = 1.1."""
    found = CRITERION.ask_of(facts(main={"hits_per_box": None}))
    assert found.measure == Fraction(11, 10)
    assert "hit" not in found.reason


@pytest.mark.parametrize(
    ("landed", "score"),
    [
        ("60.00", 100),  # 0.4 times the usual
        ("150.00", 50),
        ("375.00", 0),  # 2.5 times
        ("94.87", 75),  # the square root of 0.4, half-way up
        ("237.17", 25),  # the square root of 2.5
    ],
)
def test_the_scale_is_the_same_both_ways(facts, scored, landed, score):
    """Two and a half times the usual loses what two fifths of it gain."""
    main = {"landed_box": Decimal(landed), "cards_per_box": None, "hits_per_box": None}
    assert scored(CRITERION, CRITERION.ask_of(facts(main=main))).score == score


@pytest.mark.parametrize(
    ("landed", "words"),
    [("153.00", "2 %"), ("154.50", "3 % more than usual"), ("100.50", "33 % less than usual")],
)
def test_the_reason_compares_in_words(facts, landed, words):
    """Under three per cent it is what is usual."""
    main = {"landed_box": Decimal(landed), "cards_per_box": None, "hits_per_box": None}
    reason = CRITERION.ask_of(facts(main=main)).reason
    assert ("about what is usual" if words == "2 %" else words) in reason


def test_a_list_price_is_less_sure_than_a_street_price(facts):
    """A maker's price is not yet what a viewer pays."""
    street, listed = (
        CRITERION.ask_of(facts(main={"price_kind": kind})).spread for kind in ("street", "list")
    )
    assert street < listed


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"main": {"landed_box": None}}, "there is no price of a Hobby box yet"),
        ({"economics": {"price_class": "gone"}}, "season.toml declares no price class for it"),
        (
            {"economics": {"price_class": "everyday"}},
            "season.toml declares no typical amounts for the class everyday",
        ),
        ({"economics": Unknown("not yet")}, "not yet"),
    ],
)
def test_what_is_missing_is_said(facts, change, why):
    """Unknown, with the reason; never a zero."""
    assert CRITERION.ask_of(facts(**change)) == Unknown(why)
