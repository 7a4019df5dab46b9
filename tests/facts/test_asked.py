"""What others ask for slots, held against cost shares and worth: all by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from rating.facts.breaks.asked import swaps, with_asked
from rating.facts.breaks.value import RandomBreak, Swap
from rating.facts.context import Buying, SeasonContext
from rating.release.market import SlotPrice

NONE = Decimal(0)
SEASON = SeasonContext(
    name="Trial",
    currency="USD",
    teams=(),
    rookies=None,
    classes=(),
    buying=Buying(tax=Decimal("0.1"), shipping=Decimal(5)),
    aliases={},
)


@pytest.fixture
def found(broken, slot):
    """Four slots, worth half of what they should cost."""
    return broken(
        slot("Herons", 30, 60), slot("Rooks", 50, 100), slot("Foxes", 20, 40), slot("Bells", 10, 20)
    )


def price(name, amount, day=1, how="fixed", cases=None, currency="", packed="hobby", row=2):
    return SlotPrice(date(2031, 4, day), packed, name, Decimal(amount), how, cases, currency, "a shop", row)


def test_the_latest_price_of_a_slot_counts_against_its_limit(found):
    """75 asked where 30 is the limit is one and a half over, 15 where it is 20 a quarter under."""
    priced = with_asked(found, [price("Herons", 75, 5), price("herons", 90, 3), price("Foxes", 15)], SEASON)
    told = {one.slot: (one.asked, one.over) for one in priced.slots}
    assert told["Herons"] == (Decimal("75.00"), Decimal("1.5"))
    assert told["Foxes"] == (Decimal("15.00"), Decimal("-0.25"))
    assert told["Rooks"] == (None, None)
    # (75 + 5) x 1.1, and (15 + 5) x 1.1: each slot is an order of its own
    assert {one.slot: one.landed for one in priced.slots if one.landed} == {
        "Herons": Decimal("88.00"),
        "Foxes": Decimal("22.00"),
    }


def test_of_two_prices_on_a_day_the_later_row_counts(found):
    """As people add to the end of a list."""
    priced = with_asked(found, [price("Herons", 80, row=9), price("Herons", 70, row=3)], SEASON)
    assert priced.slots[0].asked == Decimal("80.00")


def test_prices_of_other_breaks_are_left_out_and_told(found):
    """Two cases, another currency; another format says nothing here at all."""
    others = [
        price("Herons", 75, cases=Decimal(2)),
        price("Herons", 75, currency="EUR"),
        price("Herons", 75, packed="retail"),
        price("Owls", 75),
    ]
    priced = with_asked(found, others, SEASON)
    assert {one.asked for one in priced.slots} == {None}
    assert priced.remarks == (
        "2 asked prices of another number of cases or currency than this break",
        "asked for, but no slot here: Owls",
    )
    assert with_asked(found, [price("Herons", 75, cases=Decimal(1))], SEASON).slots[0].asked == 75


def test_an_even_swap_gains_where_others_ask_no_more_for_what_is_worth_more(found):
    """Herons at 75 for Rooks at 70: 20 more in worth. For Bells at 30 none is to be had."""
    asked = {"Herons": 75, "Rooks": 70, "Foxes": 72, "Bells": 30}
    priced = with_asked(found, [price(name, amount) for name, amount in asked.items()], SEASON)
    assert priced.swaps == (
        Swap(have="Foxes", take="Rooks", gain=Decimal(30)),
        Swap(have="Herons", take="Rooks", gain=Decimal(20)),
    )


def test_nobody_swaps_where_prices_follow_worth(found):
    """What is worth more costs more."""
    priced = with_asked(found, [price(one.slot, one.cost_share) for one in found.slots], SEASON)
    assert priced.swaps == swaps(priced.slots) == ()


def test_a_random_slot_is_held_against_the_mean_worth(found):
    """At 25 a slot of 27.50 on average; landed it costs (25 + 5) x 1.1, which one of the four is worth."""
    priced = with_asked(found, [price("", 40, 1, "random"), price("", 25, 2, "random")], SEASON)
    assert priced.random == RandomBreak(
        price=Decimal("25.00"), landed=Decimal("33.00"), worth=Decimal("27.50"), at_least=Decimal("0.25")
    )


def test_without_worth_a_random_break_says_nothing(found):
    """What a slot is worth is not known without prices of cards."""
    bare = replace(found, slots=tuple(replace(one, worth=None) for one in found.slots))
    assert with_asked(bare, [price("", 25, 2, "random")], SEASON).random is None


@pytest.mark.parametrize("limit", [None, NONE])
def test_without_a_limit_nothing_is_over_or_under(limit, found):
    """What is asked is told all the same."""
    bare = replace(found, slots=tuple(replace(one, limit=limit) for one in found.slots))
    one = with_asked(bare, [price("Herons", 75)], SEASON).slots[0]
    assert (one.asked, one.over) == (Decimal("75.00"), None)


def test_a_random_price_is_that_of_a_team(found):
    """By division nobody sold a slot at it."""
    priced = with_asked(replace(found, by="division"), [price("", 25, 2, "random")], SEASON)
    assert priced.random is None
    assert "the price of a random slot is that of one team, which no slot here is" in priced.remarks
