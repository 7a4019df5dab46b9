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


def returns(*, factor="1", **changes):
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
        factor=Decimal(factor),
    )
    return {"returns": Returns(formats={"hobby": hobby}), "values": VALUES}


def test_the_measure_is_the_mean_of_three_shares(facts, scored):
    """(0.2 + 97.5/150 + 37.5/150) / 3 = 0.366667: 50 + 50 ln(0.366667 / 0.3) / ln(0.8 / 0.3) = 60.2."""
    found = CRITERION.ask_of(facts(**returns()))
    assert found.measure == Fraction(11, 30)
    assert scored(CRITERION, found).score == 60
    assert found.reason == (
        "A Hobby box at $150.00 is expected to return $97.50; 20 % of boxes return their price, and the "
        "worst quarter return $37.50 or less."
    )


@pytest.mark.parametrize(
    ("changes", "score"),
    [
        ({"p_return": Decimal(0), "mean": Decimal(9), "q25": Decimal(3)}, 0),
        ({"p_return": Decimal(0), "mean": Decimal(30), "q25": Decimal(15)}, 26),
        ({"p_return": Decimal("0.6"), "mean": Decimal(165), "q25": Decimal(105)}, 100),
    ],
)
def test_the_scale_tells_plain_boxes_apart(facts, scored, changes, score):
    """0.08 / 3 = 0.027 is nothing, 2.4 / 3 = 0.8 all; 0.3 / 3 = 0.1 is 50 ln(0.1 / 0.03) / ln 10 = 26.1."""
    assert scored(CRITERION, CRITERION.ask_of(facts(**returns(**changes)))).score == score


def test_the_doubt_is_what_the_score_moves_by_within_the_values_own_error(facts):
    """All cards at half or at twice their worth, with chances of 0.02 and 0.6.

    Half: (0.02 + 0.325 + 0.125) / 3 = 0.1567 scores 50 ln(0.1567 / 0.03) / ln 10 = 35.9; twice: (0.6 + 1.3 +
    0.5) / 3 = 0.8 scores 100. Half of 64, and 4 for all else.
    """
    changes = {"p_low": Decimal("0.02"), "p_high": Decimal("0.6")}
    assert CRITERION.ask_of(facts(**returns(factor=2, **changes))).spread == 36


def test_surer_values_leave_less_doubt(facts):
    """A tenth: (0.17 + 0.5909 + 0.2273) / 3 = 0.3294 scores 55, (0.24 + 0.715 + 0.275) / 3 = 0.41 scores 66.

    Half of 11, rounded up, and 4.
    """
    given = returns(factor="1.1", p_low=Decimal("0.17"), p_high=Decimal("0.24"))
    assert CRITERION.ask_of(facts(**given)).spread == 10


def test_without_any_error_a_little_doubt_stays(facts):
    """Boxes are not filled quite as packing and odds say."""
    assert CRITERION.ask_of(facts(**returns())).spread == 4


def test_carried_over_prices_are_told(facts):
    """In the reason, and from which releases in the evidence."""
    given = returns()
    given["values"] = replace(VALUES, carried_over=Decimal(1), carried_from=("Halyard 2030", "Oakum 2031"))
    found = CRITERION.ask_of(facts(**given))
    assert found.reason.startswith("Going by other releases' prices, a Hobby box at $150.00 is")
    assert "prices borrowed from Halyard 2030, Oakum 2031" in found.evidence


def test_what_is_missing_is_said(facts):
    """No sales, or no price."""
    dark = facts(values=Unknown("there are no sales"), returns=Unknown("there are no sales"))
    assert CRITERION.ask_of(dark) == Unknown("there are no sales")
    bare = CRITERION.ask_of(facts(**returns(price=None, p_return=None)))
    assert bare == Unknown("there is no price for a Hobby box yet")
