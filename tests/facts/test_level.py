"""How sure a sum of values is: against the theory of the mean, and people of whom no sale speaks."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from scipy import stats

from rating.facts.worth.card_model import Seen, Traits, price_model
from rating.facts.worth.level import Level


def level(sums, *, strangers=0.0, of_few=0.0, of_strangers=0.0, apart=0.0):
    """One card that would be worth e to so much by the fit without each part."""
    sums = np.array(sums)
    model = SimpleNamespace(
        of_few=of_few, of_strangers=of_strangers, freedom=len(sums) - 1, fit=SimpleNamespace(scale=0.4)
    )
    return Level(
        model=model,
        strangers=np.array([strangers]),
        by_parts=np.exp(sums)[:, None],
        values=np.ones(1),
        sold=np.zeros(1, dtype=bool),
        bulk=np.zeros(1, dtype=bool),
        sales=np.zeros(1),
        whatever=0.0,
        apart=apart,
    )


@pytest.mark.parametrize("number", [5, 20])
def test_the_doubt_of_a_mean_is_that_of_the_theory(number):
    """Nine in ten of a mean's errors lie within t standard errors, s over the root of n, of n - 1 degrees."""
    y = np.random.default_rng(number).normal(size=number)
    without = [np.delete(y, i).mean() for i in range(number)]
    low, high = stats.t.interval(0.9, number - 1, loc=y.mean(), scale=stats.sem(y))
    found = 1.645 * level(without).error(np.array([7.0]))
    assert (y.mean() - found, y.mean() + found) == pytest.approx((low, high), rel=1e-9)


def test_what_no_sale_speaks_of_is_added():
    """Half of a sum is of people never sold, whose mean is off by 0.6; the level of lenders is off by 0.4."""
    found = level([0.0, 0.0, 0.0], strangers=0.5, of_strangers=0.36, apart=0.4)
    assert found.error(np.ones(1)) == pytest.approx(0.5)


def test_nothing_has_no_doubt():
    """A box of nothing."""
    assert level([0.0, 1.0, 2.0]).error(np.zeros(1)) == 0.0


def sold(counts):
    """Base cards of a person each, sold so many times at 5 to 40."""
    rng, found = np.random.default_rng(3), []
    for i, count in enumerate(counts):
        effect = rng.normal(0, 0.7)
        traits = Traits("base", 100.0, False, (f"subject {i}",))
        found += [Seen(traits, math.exp(2.5 + effect + rng.normal(0, 0.3)), 0.0, False) for _ in range(count)]
    return found


@pytest.mark.parametrize(("unsold", "were_on_offer"), [(20, True), (60, True), (61, False), (200, False)])
def test_who_was_not_on_offer_may_differ_as_much_as_people_do(unsold, were_on_offer):
    """Four sold once and one twice: by Chao 4 x 3 / (2 x 2) = 3 are unsold by chance, a twentieth of 60."""
    model = price_model(sold([1, 1, 1, 1, 2, 8, 9, 9, 10, 12]), unsold)
    assert model.columns.were_on_offer == were_on_offer
    assert (model.of_strangers > 0) == (not were_on_offer)
    assert model.were_on_offer == were_on_offer


@pytest.mark.parametrize(("were_on_offer", "share"), [(True, 0.0), (False, 0.35)])
def test_a_sum_tells_how_much_of_it_is_of_people_who_were_not_on_offer(were_on_offer, share):
    """3 of 10 are of one never sold, 1 of two of whom one was: 3 + 1 / 2 of 10, of bulk or sold none."""
    model = SimpleNamespace(were_on_offer=were_on_offer)
    found = Level(
        model=model,
        strangers=np.array([1.0, 0.5, 0.0, 1.0, 0.0]),
        by_parts=np.ones((2, 5)),
        values=np.ones(5),
        sold=np.array([False, False, True, False, False]),
        bulk=np.array([False, False, False, True, False]),
        sales=np.zeros(5),
        whatever=0.0,
    )
    assert found.never_on_offer(np.array([3.0, 1.0, 2.0, 1.0, 3.0])) == pytest.approx(share)
    assert found.never_on_offer(np.zeros(5)) == 0.0


@pytest.mark.parametrize("counts", [[5, 5, 5, 5], [1] * 20])
def test_of_somebody_never_sold_few_people_tell_less_than_many_sales(counts):
    """By Student's t of 4 - 1 people where 20 sales are of four; of twenty people each sale tells as much."""
    model = price_model(sold(counts))
    known, never = Traits("base", 100.0, False, ("subject 0",)), Traits("base", 100.0, False, ("nobody",))
    found = model.foretold([known, never], 0.0)
    people = len(counts)
    by_few = model.fit.scale**2 * (1 / people - 1 / 20)
    wider = stats.t.ppf(0.95, people - 1) / stats.t.ppf(0.95, 19)
    assert found.spread[1] == pytest.approx(wider * math.hypot(found.spread[0], math.sqrt(by_few)))
