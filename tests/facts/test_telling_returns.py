"""What is said of returns since launch, where prices were carried over then."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import SimpleNamespace

import pytest

from rating.facts.plain import Unknown
from rating.facts.returns.tell import since_launch
from rating.facts.returns.value import FormatReturns, Payout, Returns
from rating.facts.values.value import Values

KEPT = {
    "values": {"carried_from": ["Halyard 2030", "Oakum 2030"]},
    "returns": {"formats": {"hobby": {"box": {"mean": "107.69", "p_return": "0.09", "price": "179.95"}}}},
}
VALUES = Values(**dict.fromkeys(Values.__dataclass_fields__, ()) | {"sales": 854})
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
FACTS = SimpleNamespace(headline="hobby", values=VALUES, returns=Returns(formats={"hobby": HOBBY}))


def test_then_and_now_stand_beside_each_other():
    """With the releases, the money, the chances and the prices of both days."""
    assert since_launch(KEPT, FACTS) == (
        "At launch, prices carried over from Halyard 2030 and Oakum 2030 said that a Hobby box returns "
        "107.69 on average, with 9 % returning the price of 179.95; 854 sales of its own now say "
        "87.81 on average, with 7 % returning the price of 178.00."
    )


def test_without_a_price_it_is_about_money_alone():
    """Then and now."""
    box = {"mean": "107.69", "p_return": None, "price": None}
    kept = KEPT | {"returns": {"formats": {"hobby": {"box": box}}}}
    assert "returns 107.69 on average; 854" in since_launch(kept, FACTS)


@pytest.mark.parametrize(
    ("kept", "changes"),
    [
        ({}, {}),
        ({"values": {"unknown": "no sales"}, "returns": {"unknown": "no sales"}}, {}),
        (KEPT | {"values": {"carried_from": []}}, {}),
        (KEPT, {"values": Unknown("no sales")}),
        (KEPT, {"values": replace(VALUES, carried_from=("Halyard 2030",))}),
        (KEPT, {"returns": Unknown("no prices")}),
    ],
)
def test_nothing_is_said_where_there_is_nothing_to_compare(kept, changes):
    """No launch review of that kind, own sales even then, or carried over still."""
    assert since_launch(kept, SimpleNamespace(**vars(FACTS) | changes)) == ""
