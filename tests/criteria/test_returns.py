"""`returns`: chance of returning the price, expected return and the bad quarter, as shares of the price."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from criteria.returns import CRITERION
from rating.criterion import FormatReturns, Payout, Returns, Unknown, Values

BOX = Payout(
    price=Decimal("150.00"),
    mean=Decimal("97.50"),
    sd=Decimal(60),
    median=Decimal(80),
    q05=Decimal(20),
    q25=Decimal("37.50"),
    q75=Decimal(120),
    q95=Decimal(220),
    p_return=Decimal("0.2"),
    loss_given_loss=Decimal(70),
    even_price=Decimal(80),
)
VALUES = Values(
    **dict.fromkeys(Values.__dataclass_fields__, ())
    | {"modelled_share": Decimal("0.5"), "carried_over": Decimal(0)}
)


def returns(**changes):
    """The section with one format."""
    hobby = FormatReturns(
        name="Hobby",
        box=replace(BOX, **changes),
        case=None,
        left_out=(),
        grid=Decimal("0.05"),
        grid_error=Decimal(0),
        cut_off=Decimal(0),
        box_share=None,
        case_share=None,
        finite=(),
    )
    return {"returns": Returns(formats={"hobby": hobby}), "values": VALUES}


def test_the_measure_is_the_mean_of_three_shares(facts, scored):
    """(0.2 + 97.5/150 + 37.5/150) / 3 = 0.366667: 50 x 0.246667 / 0.25 = 49.3."""
    found = CRITERION.ask_of(facts(**returns()))
    assert found.measure == Fraction(11, 30)
    assert scored(CRITERION, found).score == 49
    assert found.reason == (
        "A Hobby box at 150.00 is expected to return 97.50; 20 of 100 return what they cost, "
        "and a bad one in four brings 37.50 or less."
    )


@pytest.mark.parametrize(
    ("changes", "score"),
    [
        ({"p_return": Decimal("0.02"), "mean": Decimal(40), "q25": Decimal(6)}, 0),
        ({"p_return": Decimal("0.6"), "mean": Decimal(165), "q25": Decimal(90)}, 100),
    ],
)
def test_the_ends_of_the_scale(facts, scored, changes, score):
    """(0.02 + 0.267 + 0.04) / 3 = 0.109 is nothing; (0.6 + 1.1 + 0.6) / 3 = 0.767 is all."""
    assert scored(CRITERION, CRITERION.ask_of(facts(**returns(**changes)))).score == score


@pytest.mark.parametrize(
    ("modelled", "carried", "spread"), [("0", "0", 6), ("0.5", "0", 9), ("1", "0", 12), ("0", "1", 20)]
)
def test_what_the_values_rest_on_is_the_doubt(facts, modelled, carried, spread):
    """Sold prices are the surest, carried-over ones the least sure."""
    given = returns()
    given["values"] = replace(VALUES, modelled_share=Decimal(modelled), carried_over=Decimal(carried))
    assert CRITERION.ask_of(facts(**given)).spread == spread


def test_what_is_missing_is_said(facts):
    """No sales, or no price."""
    dark = facts(values=Unknown("there are no sales"), returns=Unknown("there are no sales"))
    assert CRITERION.ask_of(dark) == Unknown("there are no sales")
    bare = CRITERION.ask_of(facts(**returns(price=None, p_return=None)))
    assert bare == Unknown("there is no price of a Hobby box yet")
