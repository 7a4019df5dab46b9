"""What the model says of a market that was drawn, in which who is wanted sells more often."""

import numpy as np
import pytest

from rating.facts.worth import card_model
from rating.facts.worth.card_model import Rows, Seen, Traits, price_model

SUBJECTS, NOISE, APART = 400, 0.4, 0.5


def version(subject):
    return Traits(kind="base", copies=100.0, rookie=False, subjects=(f"subject {subject}",))


def market(seed):
    """Who is wanted by how much, sold as often as a Poisson number with a mean of e to that, at prices of it.

    An effect is 0.6 x what sells it + its own part; the mean of the counts is about 3.
    """
    rng = np.random.default_rng(seed)
    rate = 0.6 + rng.normal(0, 0.9, SUBJECTS)
    effect = 0.6 * rate + rng.normal(0, APART, SUBJECTS)
    times = rng.poisson(np.exp(rate))
    sold = np.repeat(np.arange(SUBJECTS), times)
    prices = np.exp(2 + effect[sold] + rng.normal(0, NOISE, len(sold)))
    seen = [
        Seen(version(who), float(price), 0.0, False) for who, price in zip(sold.tolist(), prices, strict=True)
    ]
    return price_model(seen), effect, times, rate, rng


@pytest.mark.parametrize("seed", range(3))
def test_who_sells_seldom_is_not_taken_for_typical(seed):
    """Without the number of sales, those never sold are foretold at the mean of those sold, 0.6 too high."""
    model, effect, times, _, _ = market(seed)
    middle, _ = model.middle([version(who) for who in range(SUBJECTS)], 0.0)
    error = middle - 2 - effect
    for group in (times == 0, (times > 0) & (times < 3), times >= 3):
        # what a count leaves open has a deviation of about 0.7; the straight line in its logarithm bends
        assert abs(error[group].mean()) < 0.15 + 3 * 0.7 / np.sqrt(group.sum())


@pytest.mark.parametrize("is_sold", [True, False])
def test_nine_in_ten_prices_lie_in_their_limits(is_sold):
    """New sales as those known, over several markets; who was never sold is as unknown as subjects differ."""
    inside = []
    for seed in range(4):
        model, effect, times, rate, rng = market(seed)
        who = rng.choice(SUBJECTS, 400, p=np.exp(rate) / np.exp(rate).sum())
        who = who[(times[who] > 0) == is_sold]
        middle, spread = model.middle([version(each) for each in who.tolist()], 0.0)
        new = 2 + effect[who] + rng.normal(0, NOISE, len(who))
        low, high = model.ends
        inside += ((middle + low * spread <= new) & (new <= middle + high * spread)).tolist()
    assert np.mean(inside) == pytest.approx(0.9, abs=3 * np.sqrt(0.9 * 0.1 / len(inside)))


@pytest.mark.parametrize("number", [20, 40, 98, 850])
def test_ends_of_errors_are_within_two_places_of_those_of_crepes(number):
    """Nine in ten by an independent library of conformal prediction, of lopsided errors; never outside."""
    crepes = pytest.importorskip("crepes", exc_type=ImportError)
    errors = np.sort(np.random.default_rng(number).gumbel(size=number))
    theirs = crepes.ConformalPredictiveSystem()
    theirs.fit(residuals=errors)
    [[low, high]] = theirs.predict_int(y_hat=np.zeros(1), confidence=0.9)
    at_low, at_high = np.searchsorted(errors, [low, high])
    ours = card_model._ends(errors)
    assert low <= ours[0] <= errors[at_low + 2]
    assert errors[at_high - 2] <= ours[1] <= high


def test_a_sale_does_not_say_how_often_its_own_subject_sells():
    """Held out, a subject sold twice is one that was sold once."""
    model, *_ = market(0)
    columns, design = model.columns, model.seen
    sales = design[:, columns.first_subject :] @ np.array(columns.sales)
    once, twice = (int(np.flatnonzero(sales == times)[0]) for times in (1, 2))
    first = columns.first_subject
    rows = Rows(design[:, :first], np.arange(len(design)), design[:, first:])
    others = columns.by_others(rows, design[np.arange(len(design)) != twice]).design
    place = columns.place("how often subjects are sold")
    assert design[twice, place] > design[once, place]
    assert others[twice, place] == others[once, place]


def test_rows_with_people_apart_say_what_the_design_in_whole_says():
    """Of a model with subjects, in every column: against the plain products of the fit."""
    model, *_ = market(0)
    traits = [
        Traits("base", copies, rookie, people, demand)
        for copies in (None, 5.0, 299.0, 4000.0)
        for rookie, people, demand in (
            (False, (), ()),
            (True, ("subject 1",), (70.0,)),
            (False, ("subject 1", "subject 2", "nobody"), (None, 20.0, None)),
        )
    ]
    rows = model.columns.rows(traits, [1.5] * len(traits))
    assert rows.design.shape == (12, len(model.fit.effects))
    assert rows.people.shape[0] == 3
    assert rows.middle(model.fit) == pytest.approx(model.fit.middle(rows.design), rel=1e-12)
    assert rows.spread(model.fit) == pytest.approx(model.fit.spread(rows.design), rel=1e-12)
