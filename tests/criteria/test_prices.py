"""With the same content no criterion scores a dearer box higher, from 20 to 1,000 over all classes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest

from rating import grading
from rating.facts import returns, values
from rating.facts.economics.compute import economics
from rating.facts.values.valuation import VALUATION
from rating.season.season import Season

SAMPLE = Path(__file__).resolve().parents[2] / "sample_ratings"
DAY = date(2031, 7, 15)
# close together at the borders of the classes, 60 and 250, before and after tax and shipping
PRICES = ("20", "35", "52", "59.99", "60", "61", "120", "229", "235", "248", "249.99", "250", "252", "400")
PRICES += ("700", "1000")


@pytest.fixture(scope="module")
def season():
    """The sample's files, without a ledger: no class is frozen."""
    return Season.open(SAMPLE)


@pytest.fixture(scope="module", params=["halyard", "market-waltz", "ropewalk", "kittiwake", "lantern-room"])
def scores(request, season):
    """What each criterion scores of a release at each rising price of a box; the maker's goes along."""
    slug = request.param
    release, facts = season.files.release(slug), season.facts(slug, as_of=DAY)
    found = []
    for price in PRICES:
        street = Decimal(price)
        prices = tuple(
            one._replace(price=street if one.kind == "street" else street * Decimal("0.9"))
            for one in release.prices
            if one.kind in {"list", "street"} and one.unit == "box" and one.format == facts.headline
        )
        costs = economics(replace(release, prices=prices), season.files.context, as_of=DAY)
        dearer = facts.replaced(economics=costs)
        # prices that are carried over follow the price of the box
        dearer = dearer.replaced(valuation=VALUATION.compute(dearer))
        dearer = dearer.replaced(values=values.SECTION.compute(dearer))
        dearer = dearer.replaced(returns=returns.SECTION.compute(dearer))
        graded = grading.grade(dearer, season.rubric, season.files.modules, {}, stage="launch")
        found.append({one.score.criterion: one.score.score for one in graded.contributions})
    return found


def test_no_criterion_rises_with_the_price(scores):
    """Those that money has no part in stay where they are."""
    for before, after in pairwise(scores):
        assert before.keys() == after.keys()
        assert {key: (before[key], after[key]) for key in before if after[key] > before[key]} == {}


def test_a_dearer_box_is_worse_in_what_counts_for_money(scores):
    """The test above would also hold where price had no part in anything."""
    first, last = scores[0], scores[-1]
    falling = {"outlay", "chase", "returns"} | ({"signatures"} if first["signatures"] else set())
    assert {key for key in first if last[key] < first[key]} >= falling
    assert first["outlay"] - last["outlay"] >= 30
    # no cliff: from a cent below a border to it hardly anything changes
    by_price = dict(zip(PRICES, scores, strict=True))
    for below, at in (("59.99", "60"), ("249.99", "250")):
        assert all(by_price[below][key] - by_price[at][key] <= 1 for key in first)
