"""A hundred random sets of prices of Halyard's slots: which slot is advised, and when to wait."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from rating.facts.advice import best_slot as best
from rating.facts.advice.compute import advice
from rating.facts.breaks.asked import with_asked
from rating.facts.breaks.compute import broken_down
from rating.release.market import SlotPrice
from rating.season.season import Season

SAMPLE = Path(__file__).resolve().parents[2] / "sample_ratings"
DAY = date(2031, 7, 15)


@pytest.fixture(scope="module")
def facts():
    """Halyard's, without a ledger."""
    return Season.open(SAMPLE).facts("halyard", as_of=DAY)


def landed(price):
    """With the sample's shipping of 6.50 for an order, and 6 % tax on both."""
    return (Fraction(price) + Fraction("6.50")) * Fraction("1.06")


def price_sets(slots, count):
    """Each slot at up to 2.2 times what its cards are worth, in steps of five dollars, bargains in half."""
    rng = np.random.default_rng(31)
    for _ in range(count):
        times = rng.uniform(rng.choice([0.4, 0.95]), 2.2, len(slots))
        yield {
            slot.slot: Decimal(max(5, 5 * round(float(slot.worth) * one / 5)))
            for slot, one in zip(slots, times, strict=True)
        }


def test_the_slot_that_returns_most_for_what_it_lands_at_is_advised(facts, monkeypatch):
    """By worth over landed price, exactly; nobody is told to wait beside a slot that returns all."""
    whole = broken_down(facts)
    monkeypatch.setattr(best, "broken_down", lambda _: whole)
    waits = 0
    for prices in price_sets(whole.slots, 100):
        rows = tuple(
            SlotPrice(DAY, "hobby", name, price, "fixed", None, "", "shop", 2 + i)
            for i, (name, price) in enumerate(prices.items())
        )
        asked = facts.replaced(files=replace(facts.files, slots=rows))
        returned = {slot.slot: Fraction(slot.worth) / landed(prices[slot.slot]) for slot in whole.slots}
        chosen = best.best_slot(asked)
        assert returned[chosen.slot] == max(returned.values())
        told = next(one for one in advice(asked.replaced(best_slot=chosen)).aims if one.aim == "break buyer")
        assert chosen.slot in told.why
        # no box and no case of the sample returns half of what it costs
        assert told.buy == ("slot" if max(returned.values()) >= 1 else "wait")
        waits += told.buy == "wait"
    # both answers were tried
    assert 20 <= waits <= 80


def test_over_agrees_with_the_limit_and_with_what_is_paid(facts):
    """Above its limit a slot costs more than it is worth, landed; at the limit or under it does not."""
    whole = broken_down(facts)
    seen = set()
    for prices in price_sets(whole.slots, 20):
        rows = [
            SlotPrice(DAY, "hobby", name, price, "fixed", None, "", "shop", 2 + i)
            for i, (name, price) in enumerate(prices.items())
        ]
        for slot in with_asked(whole, rows, facts.rules).slots:
            if not slot.limit:
                assert slot.over is None
                continue
            assert float(slot.over) == pytest.approx(float(prices[slot.slot] / slot.limit) - 1, rel=1e-5)
            assert (slot.over > 0) == (landed(prices[slot.slot]) > slot.worth)
            seen.add(slot.over > 0)
    assert seen == {True, False}
