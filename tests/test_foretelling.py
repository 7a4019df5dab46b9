"""What a launch review foretells: quantiles by kind, of a box, and of what boxes return on average."""

from __future__ import annotations

import math
from datetime import date
from decimal import Decimal

import numpy as np
import pytest
from scipy import stats

from rating import review as reviews
from rating.facts.values.valuation import VALUATION
from rating.facts.values.value import Asked
from rating.foretelling import foretold
from rating.review import FORETOLD_LEVELS
from rating.season.season import Season

LAUNCH = date(2031, 3, 12)
LEVELS = np.array(FORETOLD_LEVELS) / 100


@pytest.fixture(scope="module")
def facts(sample_season):
    """Halyard on the day it came out."""
    return Season.open(sample_season).facts("halyard", as_of=LAUNCH)


def kinds(found):
    """The quantiles of each kind."""
    return {one.kind: [Decimal(amount) for amount in one.quantiles] for one in found.prices}


def test_prices_of_a_kind_are_those_of_any_of_its_cards(facts):
    """Two kinds of log-normal prices: of one card by its law, of two cards against draws from both."""
    errors = stats.norm.ppf((np.arange(2000) + 0.5) / 2000)
    asked = Asked(
        kinds=("base", "autograph", "", "autograph"),
        middle=np.array([0.5, 3.0, 9.0, 5.0]),
        spread=np.array([0.4, 0.5, 0.1, 0.2]),
        errors=errors,
        least=1.2,
    )
    worth = facts.of(VALUATION)
    changed = facts.replaced(
        valuation=worth.__class__(
            values=worth.values, subjects=worth.subjects, lines=worth.lines, asked=asked
        )
    )
    found = kinds(foretold(changed, "launch"))
    law = np.exp(0.5 + 0.4 * stats.norm.ppf(LEVELS))
    # nobody sells below the least price that many sales share
    assert [float(one) for one in found["base"]] == pytest.approx(np.maximum(law, 1.2), abs=0.01)
    rng = np.random.default_rng(3)
    drawn = [rng.lognormal(middle, spread, 400_000) for middle, spread in ((3.0, 0.5), (5.0, 0.2))]
    expected = np.quantile(np.concatenate(drawn), LEVELS)
    # half of all lie below the one law and above the other, where hardly anything lies: the middle is loose
    for place in (0, 1, 3, 4):
        assert float(found["autograph"][place]) == pytest.approx(expected[place], rel=0.02)
    assert set(found) == {"base", "autograph"}


def test_a_box_is_told_by_its_luck_and_its_mean_by_the_doubt_of_all_prices(facts):
    """The mean times e to so many errors of the level: 1.645 of them leave 5 in 100 on either side."""
    found = foretold(facts, "launch")
    box = facts.returns.formats["hobby"].box
    assert found.box == tuple(map(str, (box.q05, box.q25, box.median, box.q75, box.q95)))
    error = float(facts.values.level_error)
    means = [float(box.mean) * math.exp(error * z) for z in (-1.645, -0.6745, 0, 0.6745, 1.645)]
    assert [float(one) for one in found.box_mean] == pytest.approx(means, rel=1e-3)
    assert found.as_of == "2031-03-12"


def test_only_a_launch_review_foretells(sample_season, facts):
    """And those of the sample season keep it, by the day they carried prices over."""
    assert foretold(facts, "in-hand") is None
    season = Season.open(sample_season)
    entries = [one for one in season.recorded.of("halyard") if not one.withdrawn]
    by_stage = {one.stage: season.recorded.ledger.review(one.id).foretold for one in entries}
    assert by_stage["launch"] == foretold(facts, "launch")
    assert {stage for stage, told in by_stage.items() if told} == {"launch"}
    review = season.recorded.ledger.review(next(one.id for one in entries if one.stage == "launch"))
    plain = reviews.as_plain(review)["foretold"]
    assert {one["kind"] for one in plain["prices"]} >= {"base", "autograph", "relic"}
    assert all(len(one["quantiles"]) == len(FORETOLD_LEVELS) for one in plain["prices"])
    assert all(one["quantiles"] == sorted(one["quantiles"], key=Decimal) for one in plain["prices"])
