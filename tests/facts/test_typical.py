"""What is typical at a price: a curve through what the classes declare, never steeper than the price."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating.facts.context import PriceClass
from rating.facts.typical import too_steep, typical

amounts = st.decimals(min_value="0.10", max_value="2000", places=2)
# the same box: so many cards and hits in it, whatever it costs
contents = st.tuples(st.integers(1, 400), st.integers(1, 60))


def classes(*amounts):
    """A class each for (typical box, card, hit), the dearest without an end."""
    return tuple(
        PriceClass(
            name=f"class {i}",
            below=None,
            typical_box=None if box is None else Decimal(box),
            typical_card=None if card is None else Decimal(card),
            typical_hit=None if hit is None else Decimal(hit),
        )
        for i, (box, card, hit) in enumerate(amounts)
    )


TWO = classes(("100", "1", "50"), ("400", "2", "50"))


@pytest.mark.parametrize(
    ("landed", "card"),
    [("100", 1), ("400", 2), ("200", math.sqrt(2)), ("141.42", 2**0.25), ("20", 1), ("1000", 2)],
)
def test_a_curve_is_straight_in_logarithms_between_two_classes(landed, card):
    """Twice the card for four times the box: its square root on the way; level beyond the ends."""
    found = typical(TWO, Decimal(landed))
    assert found["card"] == pytest.approx(card, rel=1e-4)
    assert found["hit"] == pytest.approx(50)
    assert found["box"] == pytest.approx(min(400, max(100, float(landed))))


def test_an_amount_that_rises_faster_than_its_box_is_held_back():
    """Three times the box, ten times the card: taken for three times, and from there on again no faster."""
    steep = classes(("160", "1.60", "42"), ("480", "16", "95"), ("960", "17", None))
    assert typical(steep, Decimal(480))["card"] == pytest.approx(4.8)
    assert typical(steep, Decimal(960))["card"] == pytest.approx(9.6)
    assert too_steep(steep) == [
        ("class 1", "card", Decimal("4.8")),
        ("class 2", "card", Decimal("9.6")),
    ]
    assert too_steep(TWO) == []


def test_a_class_that_declares_nothing_leaves_the_curve_to_the_others():
    """Without any, nothing is typical."""
    assert typical(classes((None, "1", "50")), Decimal(100)) == {}
    assert typical(classes(("100", None, None), (None, "3", "3")), Decimal(50)) == {"box": pytest.approx(100)}


@given(
    st.lists(st.tuples(amounts, amounts, amounts), min_size=1, max_size=4),
    contents,
    st.tuples(st.integers(20, 1000), st.integers(20, 1000)),
)
def test_the_same_content_never_looks_cheaper_for_costing_more(declared, content, prices):
    """Whatever the classes declare, what a box, a card or a hit costs over what is typical does not fall."""
    low, high = (Decimal(one) for one in sorted(prices))
    made = classes(*declared)
    parts = dict(zip(("box", "card", "hit"), (1, *content), strict=True))
    for cost, number in parts.items():
        before, after = (float(landed) / number / typical(made, landed)[cost] for landed in (low, high))
        assert before <= after * (1 + 1e-9)
