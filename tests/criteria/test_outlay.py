"""`outlay`: what a box, a card and a hit cost, landed, against what is usual at its price."""

from __future__ import annotations

from decimal import Decimal

import pytest

from criteria.outlay import CRITERION
from rating.criterion import Unknown


def test_the_measure_is_the_geometric_mean_of_three_ratios(facts, scored):
    """180 / 150 = 1.2; 180 / 120 cards = 1.50, over 1.50 = 1; 180 / 3 hits = 60, over 40 = 1.5.

    1.8^(1/3) = 1.21644; 60 - 30 ln(1.21644) / ln(2) = 51.5.
    """
    found = CRITERION.ask_of(facts())
    assert found.kept == Decimal("1.21644")
    assert scored(CRITERION, found).score == 52
    assert found.reason == (
        "With tax and shipping a box costs $180.00, a card $1.50 and a hit $60.00. "
        "Overall, that is 22 % more than usual in this price range."
    )
    assert (
        found.evidence[2] == "hit: $60.00 with tax and shipping, 1.50 times what is usual in this price range"
    )


def test_a_box_without_hits_is_held_to_box_and_card(facts):
    """The square root of 1.2."""
    found = CRITERION.ask_of(facts(main={"hits_per_box": None}))
    assert found.kept == Decimal("1.09545")
    assert "hit" not in found.reason


def test_one_rare_hit_does_not_drown_what_a_card_costs(facts, scored):
    """A plain retail box of 25 landed, 30 cards, a hit in 16 boxes: 25 / 150, 0.83 / 1.50 and 400 / 40.

    (1/6 x 0.5556 x 10)^(1/3) = 0.9747, which is usual; the arithmetic mean, 3.6, would be far off the usual.
    """
    main = {"landed_box": Decimal(25), "cards_per_box": Decimal(30), "hits_per_box": Decimal("0.0625")}
    found = CRITERION.ask_of(facts(main=main))
    assert found.kept == Decimal("0.974673")
    assert scored(CRITERION, found).score == 61


@pytest.mark.parametrize(
    ("landed", "score"),
    [
        ("75.00", 100),  # half of the usual
        ("106.07", 80),  # the square root of a half, half-way up
        ("150.00", 60),
        ("300.00", 30),
        ("519.62", 15),  # the geometric middle of 2 and 6
        ("900.00", 0),
    ],
)
def test_the_goalposts_of_the_scale(facts, scored, landed, score):
    """Each, and the geometric middle between them."""
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
    assert ("That is usual" if words == "2 %" else words) in reason


def test_a_list_price_is_less_sure_than_a_street_price(facts):
    """A maker's price is not yet what a viewer pays."""
    street, listed = (
        CRITERION.ask_of(facts(main={"price_kind": kind})).spread for kind in ("street", "list")
    )
    assert street < listed


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"main": {"landed_box": None}}, "there is no price for a Hobby box yet"),
        ({"season": {"classes": ()}}, "season.toml declares no typical amounts for its classes"),
        ({"economics": Unknown("not yet")}, "not yet"),
    ],
)
def test_what_is_missing_is_said(facts, change, why):
    """Unknown, with the reason; never a zero."""
    assert CRITERION.ask_of(facts(**change)) == Unknown(why)
