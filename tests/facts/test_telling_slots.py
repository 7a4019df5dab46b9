"""What is said of a break: each sentence by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from rating.facts.breaks import tell as telling_slots
from rating.facts.breaks.value import CONTENT, BreakCost, Pick, RandomBreak, Swap
from rating.facts.plain import Unknown
from rating.numerics.shares import concentration

COST = BreakCost(price=Decimal(200), landed=Decimal(210), total=Decimal(220))


@pytest.fixture
def found(broken, slot):
    """Four slots worth 110 of 220, of which the dearest has half the value."""
    slots = [
        ("Herons", 30, 60, 0.25),
        ("Rooks", 50, 100, 0.5),
        ("Foxes", 20, 40, 0.15),
        ("Bells", 10, 20, 0.1),
    ]
    made = (slot(name, worth, cost, share=share, tier="t") for name, worth, cost, share in slots)
    return replace(
        broken(*made),
        title="Deep Harbour",
        value=Decimal(110),
        cost=COST,
        concentration=concentration([30, 50, 20, 10]),
    )


def test_what_is_opened_is_said_in_cases_or_in_boxes(found):
    """And how it is cut."""
    assert telling_slots.heading(found) == "Deep Harbour: a break of 1 Hobby case (10 boxes), by team"
    loose = replace(found, cases=None, boxes=3, by="filters")
    assert telling_slots.heading(loose) == "Deep Harbour: a break of 3 Hobby boxes, by filters"
    assert telling_slots.heading(replace(loose, by="box")).endswith("3 Hobby boxes, whole boxes")


def test_the_cost_is_said_with_the_margin_where_there_is_one(found):
    """Or why it is not known."""
    assert telling_slots.cost(found) == (
        "The break costs $200.00; with tax and shipping it costs $210.00, and with the host's margin $220.00."
    )
    bare = replace(found, cost=replace(COST, total=Decimal(210)))
    assert telling_slots.cost(bare) == "The break costs $200.00; with tax and shipping it costs $210.00."
    untaxed = replace(found, cost=replace(COST, landed=Decimal(200)))
    assert telling_slots.cost(untaxed) == ("The break costs $200.00; with the host's margin, $220.00.")
    unknown = replace(found, cost=Unknown("there is no price"))
    assert telling_slots.cost(unknown) == "What it costs is not known: there is no price."


def test_worth_against_cost_says_of_how_many_slots_it_is_so(found):
    """All, some or none."""
    assert telling_slots.worth(found) == (
        "The cards of all slots together are expected to sell for about $110.00 after fees, against $220.00 "
        "paid; no slot is worth its share of the cost."
    )
    first, *others = found.slots
    some = replace(found, slots=(replace(first, worth=Decimal(70)), *others))
    assert "3 of 4 slots are worth less than their share of the cost" in telling_slots.worth(some)
    none = replace(found, slots=tuple(replace(one, worth=Decimal(500)) for one in found.slots))
    assert "every slot is worth its share of the cost" in telling_slots.worth(none)


def test_what_the_value_rests_on_and_what_the_host_keeps_is_said(found):
    """Shares that are nothing are left out."""
    resting = {"sold": Decimal("0.25"), "modelled": Decimal(0), "bulk": Decimal("0.75")}
    told = telling_slots.worth(replace(found, resting_on=resting, kept=Decimal(8)))
    assert "Of the total value of all cards, 25 % is known from sales and 75 % is bulk." in told
    assert "Cards worth $8.00 stay with the host." in told


def test_without_prices_it_says_that_content_stands_in(found):
    """What a slot is worth is not known then."""
    told = telling_slots.worth(replace(found, basis=CONTENT))
    assert told.startswith("No price of a card is known, so shares go by content: ")


def test_the_first_three_are_held_against_even_shares(found):
    """50, 25 and 15 %, where three even shares of four are 75."""
    assert telling_slots.spread(found) == (
        "Rooks, Herons and Foxes hold 90 % of the value; three average slots would hold 75 %. "
        "Sorting the slots into 1 tier accounts for 100 % of the differences in value between slots."
    )
    even = replace(found, slots=tuple(replace(one, share=0.25) for one in found.slots))
    assert telling_slots.spread(even) == ""


def test_the_furthest_above_its_limit_and_the_best_offer_are_named(found):
    """75 for 30 is 2.5 times, 24 for 20 is 20 % above, 15 a quarter below; nobody asked, nothing is said."""
    assert telling_slots.asked(found) == ""
    first, second, third, fourth = found.slots
    priced = replace(
        found,
        slots=(
            replace(first, asked=Decimal(75), over=Decimal("1.5")),
            second,
            replace(third, asked=Decimal(15), over=Decimal("-0.25")),
            fourth,
        ),
    )
    assert telling_slots.asked(priced) == (
        "2 slots are on offer, for $90.00 in all. Furthest above its limit: Herons at $75.00, 2.5 times its "
        "limit of $30.00. The best offer: Foxes at $15.00, 25 % below its limit of $20.00."
    )
    dear = replace(third, asked=Decimal(24), over=Decimal("0.2"))
    told = telling_slots.asked(replace(priced, slots=(*priced.slots[:2], dear, fourth)))
    assert told.endswith("Nearest to its limit: Foxes at $24.00, 20 % above its limit of $20.00.")
    alone = telling_slots.asked(replace(priced, slots=(dear,)))
    assert alone == (
        "1 slot is on offer, for $24.00 in all. Furthest above its limit: Foxes at $24.00, 20 % above its "
        "limit of $20.00."
    )
    even = telling_slots.asked(replace(priced, slots=(replace(dear, asked=Decimal(20), over=Decimal(0)),)))
    assert even == "1 slot is on offer, for $20.00 in all."


def test_a_random_slot_a_swap_a_move_and_a_pick_are_a_line_each(found):
    """As a host reads them out."""
    drawn = RandomBreak(
        price=Decimal(25), landed=Decimal(27), worth=Decimal("27.50"), at_least=Decimal("0.5")
    )
    told = telling_slots.drawn(replace(found, random=drawn))
    assert told == (
        "A random slot at $25.00 costs $27.00 with tax and shipping, and is worth $27.50 on average; 50 % of "
        "slots are worth what it costs."
    )
    bare = telling_slots.drawn(replace(found, random=replace(drawn, landed=Decimal(25))))
    assert bare.startswith("A random slot at $25.00 is worth $27.50 on average; ")
    assert telling_slots.drawn(found) == ""
    swap = Swap(have="Herons", take="Rooks", gain=Decimal(20))
    assert telling_slots.swaps(replace(found, swaps=(swap,))) == ["trade Herons for Rooks: +$20.00"]
    first, *others = found.slots
    moved = replace(first, tier="buoy", tier_by_value="beacon", moved="Half the league.")
    assert telling_slots.moves(replace(found, slots=(moved, *others))) == [
        "Herons is in buoy; by value it would be in beacon: Half the league."
    ]
    pick = Pick(aim="rookie hunter", under=Decimal(60), slot="Foxes", price=Decimal(40), why="four of them")
    assert telling_slots.pick(pick, "USD") == "rookie hunter under $60.00: Foxes at $40.00; four of them"
    safe = replace(pick, aim="never empty-handed", under=None)
    assert telling_slots.pick(safe, "USD").startswith("least likely to go empty-handed: Foxes at $40.00; ")
    none = replace(pick, under=None, slot="", price=None, why="there is none")
    assert telling_slots.pick(none, "USD") == "rookie hunter: none; there is none"


def test_a_limit_is_explained_where_there_is_one(found):
    """Without a cost and without worth there is nothing to follow."""
    assert telling_slots.limits(found).startswith("Don't bid past a slot's limit: ")
    bare = replace(found, slots=tuple(replace(one, limit=None) for one in found.slots))
    assert telling_slots.limits(bare) == ""
