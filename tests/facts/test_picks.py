"""Picks: the slot with most of what a buyer wants within a budget, by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from rating.facts.breaks.aims import AIMS
from rating.facts.breaks.picks import picks
from rating.facts.breaks.value import Expected


def some(**copies):
    """Copies to expect, none where nothing is said."""
    kinds = dict.fromkeys(Expected.__dataclass_fields__, 0) | copies
    return Expected(**{kind: Decimal(count) for kind, count in kinds.items()})


@pytest.fixture
def found(broken, slot):
    """Three slots: one with most of the set, a dear one with most of the rest, and a cheap one."""

    def made(name, worth, share, expected, none, base, subjects):
        one = slot(name, worth, share, expected=expected)
        counts = replace(one.counts, rookies=3, base=base, subjects=subjects)
        return replace(one, counts=counts, p_no_hit=Decimal(none))

    return broken(
        made("Herons", 30, 60, some(rookies=9, autographs=2, numbered=5, base=80), "0.1", 12, 9),
        made("Rooks", 50, 100, some(rookies=12, autographs=4, numbered=9, base=60), "0.02", 10, 7),
        made("Foxes", 20, 25, some(rookies=4, autographs=2, numbered=1, base="70.5"), "0.3", 5, 1),
    )


@pytest.mark.parametrize(
    ("aim", "under", "best", "said"),
    [
        (
            "rookie hunter",
            None,
            "Rooks",
            "expect 12.0 copies of 3 different rookie cards",
        ),
        ("rookie hunter", 61, "Herons", "expect 9.0 copies of 3 different rookie cards"),
        ("rookie hunter", 60, "Foxes", "expect 4.0 copies of 3 different rookie cards"),
        ("autograph buyer", 61, "Foxes", "expect 2.0 autographs"),  # as many as Herons, and cheaper
        ("never empty-handed", None, "Rooks", "the chance of no autograph and no relic is 1 in 50"),
        ("collector of numbered cards", None, "Rooks", "expect 9.0 numbered cards"),
        (
            "set completer",
            None,
            "Herons",
            "expect 80.0 copies of 12 different base cards",
        ),
        ("set completer", 60, "Foxes", "expect 70.5 copies of 5 different base cards"),
        ("team collector", None, "Herons", "9 of its players are on the checklist"),
        ("team collector", 60, "Foxes", "1 of its players is on the checklist"),
    ],
)
def test_the_slot_with_most_of_it_within_the_budget_is_picked(aim, under, best, said, found):
    """The budget is what a slot must cost less than."""
    (one,) = picks(found, [(aim, None if under is None else Decimal(under))])
    assert one.slot == best
    assert one.why.startswith(said)
    assert one.price == next(slot.cost_share for slot in found.slots if slot.slot == best)


def test_a_bargain_is_what_is_asked_less_for_than_for_others(found):
    """Landed, 30 for 24 is 125 %, 20 for 20 is 100 %; by cost shares all would be alike: none is named."""
    first, _, third, *_ = found.slots
    priced = replace(
        found,
        slots=(
            replace(first, asked=Decimal(20), landed=Decimal(24)),
            replace(third, asked=Decimal(16), landed=Decimal(20)),
        ),
    )
    (one,) = picks(priced, [("bargain hunter", None)])
    assert (one.slot, one.price) == ("Herons", Decimal(20))
    assert one.why == (
        "its cards sell for about $30.00, 125 % of the $24.00 that it costs with tax and shipping"
    )
    (none,) = picks(found, [("bargain hunter", None)])
    assert (none.slot, none.why) == ("", "no slot is listed with a price yet")


def test_no_slot_is_a_bargain_that_is_worth_less_than_it_costs(found):
    """30 of 60 landed: it is past its own limit, so the nearest is named and none is picked."""
    first, *others = found.slots
    priced = replace(found, slots=(replace(first, asked=Decimal(50), landed=Decimal(60)), *others))
    (one,) = picks(priced, [("bargain hunter", None)])
    assert (one.slot, one.price) == ("", None)
    assert one.why == (
        "no listed slot is worth what it costs; the nearest is Herons, whose cards sell for about $30.00, "
        "50 % of the $60.00 that it costs with tax and shipping"
    )


def test_what_is_asked_goes_before_the_cost_share(found):
    """Herons at 20 fit a budget that their share of 60 does not."""
    priced = replace(found, slots=(replace(found.slots[0], asked=Decimal(20)), *found.slots[1:]))
    (one,) = picks(priced, [("rookie hunter", Decimal(25))])
    assert (one.slot, one.price) == ("Herons", Decimal(20))


@pytest.mark.parametrize(
    ("changes", "aim", "under", "why"),
    [
        ({}, "rookie hunter", 5, "the cheapest slot is $25.00"),
        ({"cost_share": None}, "rookie hunter", 5, "no price for a slot is known, so a budget says nothing"),
        ({"expected": some()}, "rookie hunter", None, "no slot within the budget has a rookie card"),
    ],
)
def test_where_there_is_no_pick_it_says_why(changes, aim, under, why, found):
    """A blank slot, and a sentence."""
    changed = replace(found, slots=tuple(replace(one, **changes) for one in found.slots))
    (one,) = picks(changed, [(aim, None if under is None else Decimal(under))])
    assert (one.slot, one.price, one.why) == ("", None, why)


def test_there_is_a_pick_for_every_aim(found):
    """And no aim that nobody can pick for."""
    assert [one.aim for one in picks(found, [(aim, None) for aim in AIMS])] == list(AIMS)
    with pytest.raises(KeyError):
        picks(found, [("box smasher", None)])
