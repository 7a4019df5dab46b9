"""The best of competing offers, and the price at which the choice turns."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating.numerics.offers import Offer, best, turning_price


def fixed(amount, buy="singles"):
    """An offer that goes by no price."""
    return Offer(buy=buy, cost=lambda _: Fraction(amount))


def box(price, each=1, rest=0, key="hobby"):
    """So many boxes and a rest."""
    return Offer(
        buy="box",
        of="box",
        format=key,
        price=None if price is None else Decimal(price),
        boxes=each,
        cost=lambda price: Fraction(price) * each + Fraction(rest),
    )


def test_the_cheapest_is_best_and_of_equal_ones_the_first():
    """What nobody offers is no choice."""
    assert best([]) is None
    assert best([box(None)]) is None
    assert best([fixed(10), box("10")]).buy == "singles"
    assert best([box("10"), fixed(10)]).buy == "box"
    assert best([fixed(10), box("9.99"), box(None)]).buy == "box"


def test_the_price_turns_where_costs_are_equal():
    """A box plus 4 against 10: chosen below 6; as the first of equals at 6 too, so below 6.01."""
    offers = [fixed(10), box("3", rest=4)]
    assert turning_price(offers, offers[1], ("box", "hobby")) == Decimal("6.00")
    first = [offers[1], offers[0]]
    assert turning_price(first, first[0], ("box", "hobby")) == Decimal("6.01")


def test_a_chosen_number_of_boxes_turns_to_fewer_before_it_turns_to_none():
    """Two boxes + 10 against one + 20, which comes first: equal at 10."""
    offers = [fixed(40), box("5", 1, 20), box("5", 2, 10)]
    assert best(offers).boxes == 2
    assert turning_price(offers, offers[2], ("box", "hobby")) == Decimal("10.00")
    # of none any number of boxes will do: one is as dear as none at 20, and none comes first
    assert turning_price(offers, offers[0], ("box", "hobby")) == Decimal("20.00")


def test_no_price_turns_what_is_dearer_for_nothing():
    """Nor is there a price of an article that is not offered, or an end where nothing else is."""
    offers = [fixed(10), box("3", rest=11)]
    assert turning_price(offers, offers[0], ("box", "hobby")) is None
    assert turning_price(offers, offers[0], ("case", "hobby")) is None
    alone = [box("3")]
    assert turning_price(alone, alone[0], ("box", "hobby")) is None


@given(
    st.lists(st.tuples(st.integers(1, 6), st.integers(0, 90)), min_size=1, max_size=5),
    st.integers(1, 100),
    st.integers(1, 4000),
)
def test_a_cent_below_the_price_and_at_it_decide_differently(ways, other, now):
    """For any number of ways to use boxes."""
    price = Decimal(now) / 100

    def at(price):
        return [fixed(other), *(box(price, each, rest) for each, rest in ways)]

    offers = at(price)
    chosen = best(offers)
    found = turning_price(offers, chosen, ("box", "hobby"))
    if found is None:
        assert best(at(Decimal("0.00"))).buy == "singles"
        return
    under, there = best(at(found - Decimal("0.01"))), best(at(found))
    if chosen.of:
        assert found > price
        assert (under.boxes, under.cost(Decimal(0))) == (chosen.boxes, chosen.cost(Decimal(0)))
        assert (there.boxes, there.cost(Decimal(0))) != (chosen.boxes, chosen.cost(Decimal(0)))
    else:
        assert found <= price
        assert (under.buy, there.buy) == ("box", "singles")


@pytest.mark.parametrize("cents", ["0.01", "12.34", "99999.99"])
def test_any_amount_of_cents_is_found(cents):
    """By bisection over all of them."""
    offers = [fixed(Decimal(cents)), box("0")]
    assert turning_price(offers, offers[0], ("box", "hobby")) == Decimal(cents)
