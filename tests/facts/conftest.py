"""What tests of breaks share: slots and a break of which only money is told."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from rating.facts.breaks.value import PRICES, Break, Counts, Expected, Slot
from rating.facts.plain import Unknown
from rating.numerics.shares import concentration

NONE = Decimal(0)
NOTHING = Counts(base=0, rookies=0, inserts=0, autographs=0, relics=0, numbered=0, subjects=0)
EMPTY = Expected(base=NONE, rookies=NONE, inserts=NONE, autographs=NONE, relics=NONE, numbered=NONE)


def _slot(name, worth, cost_share, **changes):
    """A slot of which only money is told."""
    plain = Slot(
        slot=name,
        counts=NOTHING,
        expected=EMPTY,
        value=Decimal(worth),
        deviation=NONE,
        share=0.25,
        share_low=None,
        share_high=None,
        p_no_autograph=NONE,
        p_no_hit=NONE,
        p_only_base=NONE,
        cost_share=Decimal(cost_share),
        worth=Decimal(worth),
        limit=Decimal(worth),
    )
    return replace(plain, **changes)


_BREAK = Break(
    release="r",
    title="R",
    product_format="hobby",
    name="Hobby",
    by="team",
    cases=1,
    boxes=10,
    boxes_per_case=10,
    basis=PRICES,
    currency="USD",
    resting_on={},
    cost=Unknown("not here"),
    value=NONE,
    kept=NONE,
    slots=(),
    fit=1.0,
    concentration=concentration([1]),
    remarks=(),
)


@pytest.fixture
def slot():
    """Makes a slot from its name, worth and cost share; the rest by keyword."""
    return _slot


@pytest.fixture
def broken():
    """Makes a break of some slots."""
    return lambda *slots: replace(_BREAK, slots=slots)
