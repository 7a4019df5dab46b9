"""What is said of returns since launch, where prices were carried over then."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest

from rating.facts.context import Buying, SeasonContext
from rating.facts.facts import Facts, KeptFacts
from rating.facts.plain import NOT_ASKED, Unknown
from rating.facts.returns import SECTION
from rating.facts.returns.value import FormatReturns, Payout, Returns
from rating.facts.values.value import Effect, Values

SEASON = SeasonContext(
    name="Trial", currency="USD", teams=(), rookies=None, classes=(), buying=Buying(), aliases={}
)
VALUES = Values(**dict.fromkeys(Values.__dataclass_fields__, ()) | {"sales": 854, "as_of": None})
PLAIN = dict.fromkeys(Payout.__dataclass_fields__, Decimal(0))
BOX = Payout(**PLAIN | {"mean": Decimal("87.81"), "p_return": Decimal("0.07"), "price": Decimal("178.00")})
ZERO = Decimal(0)
HOBBY = FormatReturns(
    name="Hobby",
    box=BOX,
    case=None,
    left_out=(),
    grid=ZERO,
    grid_error=ZERO,
    cut_off=ZERO,
    box_share=None,
    case_share=None,
    finite=(),
)
FACTS = Facts(headline="hobby", season=SEASON, values=VALUES, returns=Returns(formats={"hobby": HOBBY}))
CARRIED = replace(VALUES, carried_from=("Halyard 2030", "Oakum 2030"), carried_on=date(2031, 3, 13))


def launch(mean="107.69", p_return="0.09", price="179.95", **changes):
    """The facts of a launch review, when prices were carried over."""
    then = [None if one is None else Decimal(one) for one in (mean, p_return, price)]
    box = replace(BOX, mean=then[0], p_return=then[1], price=then[2])
    section = Returns(formats={"hobby": replace(HOBBY, box=box)})
    return KeptFacts(**{"headline": "hobby", "values": CARRIED, "returns": section} | changes)


def test_then_and_now_stand_beside_each_other():
    """With the releases, the money, the chances and the prices of both days."""
    assert SECTION.told_since(FACTS, launch()) == (
        "At launch, prices carried over from Halyard 2030 and Oakum 2030 said that a Hobby box returns "
        "$107.69 on average, and 9 % of boxes return their price of $179.95. Now 854 sales of its own say "
        "$87.81 on average, and 7 % of boxes return their price of $178.00."
    )


def test_a_fall_of_prices_and_the_day_of_a_price_are_named():
    """By half in a week: exp(-0.6931) is 0.5, and five errors from nothing; a quarter of 107.69 is 26.92."""
    week = Effect(name="week", value=Decimal("-0.693147"), error=Decimal("0.1"))
    main = SimpleNamespace(main=SimpleNamespace(price_day=date(2031, 3, 13)))
    falling = FACTS.replaced(values=replace(VALUES, effects=(week,), as_of=date(2031, 3, 27)))
    told = SECTION.told_since(falling, launch(economics=main))
    assert "and 9 % of boxes return their price of $179.95 (2031-03-13). Now 854 sales" in told
    assert told.endswith(
        " Its cards lost 50.0 % of their price a week, 75 % in the 14 days from "
        "2031-03-13 to its last sale on 2031-03-27: on that day, the launch figure comes to about $26.92."
    )


def test_without_a_price_it_is_about_money_alone():
    """Then and now."""
    assert "returns $107.69 on average. Now 854" in SECTION.told_since(
        FACTS, launch(p_return=None, price=None)
    )


@pytest.mark.parametrize(
    ("kept", "changes"),
    [
        ({"values": NOT_ASKED, "returns": NOT_ASKED}, {}),
        ({"values": Unknown("no sales"), "returns": Unknown("no sales")}, {}),
        ({"values": VALUES}, {}),
        ({}, {"values": Unknown("no sales")}),
        ({}, {"values": CARRIED}),
        ({}, {"returns": Unknown("no prices")}),
    ],
)
def test_nothing_is_said_where_there_is_nothing_to_compare(kept, changes):
    """No launch review of that kind, own sales even then, or carried over still."""
    assert SECTION.told_since(FACTS.replaced(**changes), launch(**kept)) == ""


@pytest.mark.parametrize(
    ("returned", "landed", "said"),
    [
        ("0.000001", "0", "Practically no box returns its price of $178.00, let alone tax and shipping."),
        ("0.284", "0.28", "28 % of boxes return their price of $178.00; with tax and shipping, 28 % do."),
        (
            "0.07",
            "0",
            "7 % of boxes return their price of $178.00; with tax and shipping, practically no box",
        ),
    ],
)
def test_what_a_box_costs_landed_is_told_beside_its_price(returned, landed, said):
    """Shortly where neither is ever returned, and only there."""
    box = replace(BOX, p_return=Decimal(returned), p_landed=Decimal(landed))
    facts = FACTS.replaced(returns=Returns(formats={"hobby": replace(HOBBY, box=box)}))
    assert said in SECTION.told(facts)
