"""What a box returns: chances against enumeration in fractions, direct convolution, scipy and simulation."""

from __future__ import annotations

import itertools
from collections import Counter
from fractions import Fraction
from math import comb, sqrt

import numpy as np
import pytest
from scipy import stats

from rating.numerics.sums import Category, Counts, distribution, without_replacement

# own exactly enumerable example: one hit worth 5, 20 or 100, a bonus of 40 in a quarter, commons worth 10
BOX = [(1, [5, 20, 100], [0.6, 0.3, 0.1]), (("binomial", 1, 0.25), [40], [1]), (1, [10], [1])]


def test_a_small_box_is_exact():
    """[C01] mean 39, variance 1074, median 30, and 13 boxes of 40 return 50."""
    found = distribution(BOX, 1)
    assert found.mean == pytest.approx(39, abs=1e-12)
    assert found.sd == pytest.approx(sqrt(1074), abs=1e-10)
    assert (found.median, found.at_least(50)) == (30, pytest.approx(13 / 40, abs=1e-12))
    # losses below 50: 15 (.45), 30 (.225); 35, 20 each short of it
    assert found.loss_given_loss(50) == pytest.approx((0.45 * 35 + 0.225 * 20) / 0.675, abs=1e-10)


def test_the_normal_approximation_is_wrong_here():
    """[C02] it says 0.3686 where the truth is 0.325."""
    found = distribution(BOX, 1)
    assert stats.norm.sf(50, found.mean, found.sd) == pytest.approx(0.3685662727, abs=1e-9)
    assert found.at_least(50) == pytest.approx(0.325, abs=1e-12)


def test_a_heavy_tail_is_fair_on_average_and_loses_nearly_always():
    """[C04] 20, or 10,020 once in a thousand; of a hundred boxes 9.52 in 100 return 3,000."""
    one = Category(1, [20, 10_020], [0.999, 0.001])
    found = distribution([one], 10)
    assert (found.mean, found.at_least(30)) == (pytest.approx(30), pytest.approx(0.001, abs=1e-14))
    assert found.sd == pytest.approx(316.0696125856, abs=1e-8)
    hundred = distribution([one.times(100)], 20)
    assert hundred.at_least(3000) == pytest.approx(1 - 0.999**100, abs=1e-10)
    assert found.price_of_even_chance == 20


def enumerated(draws):
    """Every outcome of draws that are lists of (value, chance), in fractions."""
    chances = Counter()
    for outcome in itertools.product(*draws):
        chance = Fraction(1)
        for _, share in outcome:
            chance *= share
        chances[sum(value for value, _ in outcome)] += chance
    return chances


@pytest.mark.parametrize("seed", range(12))
def test_boxes_agree_with_enumeration_in_fractions(seed):
    """Two or three categories of up to three draws each."""
    rng = np.random.default_rng(seed)
    categories, draws = [], []
    for _ in range(int(rng.integers(2, 4))):
        values = [int(v) for v in rng.integers(0, 30, 3)]
        weights = [int(w) for w in rng.integers(1, 9, 3)]
        count = int(rng.integers(1, 4))
        categories.append((count, values, weights))
        draws += [[(v, Fraction(w, sum(weights))) for v, w in zip(values, weights, strict=True)]] * count
    exact = enumerated(draws)
    found = distribution(categories, 1)
    expected = np.zeros(len(found.probabilities))
    for value, chance in exact.items():
        expected[value] = float(chance)
    assert np.abs(found.probabilities - expected).max() < 1e-14
    assert found.mean == pytest.approx(float(sum(v * c for v, c in exact.items())), rel=1e-12)


def test_a_large_box_agrees_with_direct_convolution():
    """Four categories, 15 draws, 4,000 cells: no chance of at most an amount is off by 1e-12."""
    rng = np.random.default_rng(7)
    categories = [(count, rng.integers(0, 4000, 40), rng.random(40)) for count in (1, 2, 4, 8)]
    found = distribution(categories, 1)
    direct = np.ones(1)
    for count, values, weights in categories:
        one = np.bincount(values, weights=weights / weights.sum())
        for _ in range(count):
            direct = np.convolve(direct, one)
    below = np.cumsum(found.probabilities)[: len(direct)]
    assert np.abs(below - np.cumsum(direct)).max() < 1e-12


@pytest.mark.parametrize(
    ("draws", "law"),
    [(("poisson", 3.2), stats.poisson(3.2)), (("binomial", 14, 1 / 6), stats.binom(14, 1 / 6))],
)
def test_a_random_number_of_equal_cards_is_its_own_law(draws, law):
    """So many cards worth 5 each."""
    found = distribution([(draws, [5], [1])], 5)
    counts = np.arange(12)
    assert found.probabilities[:12] == pytest.approx(law.pmf(counts), abs=1e-14)
    assert (found.mean, found.sd) == (pytest.approx(5 * law.mean()), pytest.approx(5 * law.std()))


def test_a_simulation_of_the_same_box_agrees_within_its_error():
    """200,000 boxes, four standard errors."""
    rng = np.random.default_rng(31)
    values, weights = [0.4, 3, 12, 250], [60, 30, 9, 1]
    found = distribution([(("poisson", 2.5), values, weights), (3, [1, 2, 30], [5, 4, 1])], 0.1)
    n = 200_000
    counts = rng.poisson(2.5, n)
    drawn = rng.choice(values, counts.sum(), p=np.array(weights) / 100)
    sums = np.bincount(np.repeat(np.arange(n), counts), weights=drawn, minlength=n)
    sums += rng.choice([1, 2, 30], (n, 3), p=[0.5, 0.4, 0.1]).sum(axis=1)
    for amount in (5, 20, 60, 250):
        p = found.at_least(amount)
        assert (sums >= amount - 1e-9).mean() == pytest.approx(p, abs=4 * sqrt(p * (1 - p) / n))


def test_amounts_on_the_grid_are_not_lost_to_float_noise():
    """0.1 x 3 is 0.30000000000000004, and 0.3 is still returned."""
    found = distribution([(1, [0.3], [1])], 0.1)
    assert found.at_least(0.1 * 3) == found.at_least(0.3) == pytest.approx(1)
    assert (found.at_least(0.31), found.at_least(0), found.at_least(-5)) == (0, 1, 1)
    assert found.quantile(0.5) == pytest.approx(0.3)


def test_a_support_too_long_for_the_memory_is_tilted_and_says_so():
    """A card of 90,000 on a grid of cents, drawn once in a thousand: the chance of a small box is right."""
    found = distribution([(("poisson", 8), [1, 90_000], [999, 1]), (2, [5], [1])], 0.01)
    # any card of 90,000 lies beyond the last cell, at 41,943.03; at most e^-16 comes back damped
    beyond = 1 - np.exp(-8 / 1000)
    assert beyond <= found.cut_off <= beyond + np.exp(-16)
    # no dear card among Poisson(8 x 0.999) cheap ones, and at least five cheap ones make 15
    dear = np.exp(-0.008)
    assert found.at_least(15) == pytest.approx(1 - dear * stats.poisson(7.992).cdf(4), abs=1e-6)
    assert found.at_least(50_000) == pytest.approx(1 - dear, abs=1e-6)


@pytest.mark.parametrize(("copies", "draws"), [((6, 3, 3), 2), ((20, 8, 4), 5), ((30, 1, 9), 8)])
def test_a_finite_run_agrees_with_enumeration(copies, draws):
    """The multivariate hypergeometric law, counted in whole numbers."""
    values = (0, 7, 40)
    found = without_replacement(values, copies, draws, 1)
    expected = Counter()
    for taken in itertools.product(*(range(min(c, draws) + 1) for c in copies)):
        if sum(taken) == draws:
            ways = np.prod([comb(c, t) for c, t in zip(copies, taken, strict=True)], dtype=object)
            expected[sum(v * t for v, t in zip(values, taken, strict=True))] += Fraction(
                int(ways), comb(sum(copies), draws)
            )
    for amount, chance in expected.items():
        assert found.probabilities[amount] == pytest.approx(float(chance), abs=1e-12)
    assert found.mean == pytest.approx(float(sum(a * c for a, c in expected.items())))
    variance = sum(a * a * c for a, c in expected.items()) - sum(a * c for a, c in expected.items()) ** 2
    assert found.sd == pytest.approx(sqrt(float(variance)))


def test_a_large_run_differs_little_from_independent_draws():
    """Under 2e-4 while less than about one card in a hundred is opened."""
    values, copies = [1, 5, 60], [8000, 1500, 500]
    finite = without_replacement(values, copies, 60, 1)
    free = distribution([(60, values, copies)], 1)
    apart = np.cumsum(finite.probabilities) - np.cumsum(free.probabilities)
    assert 0 < np.abs(apart).max() < 4e-3
    ten = without_replacement(values, copies, 10, 1), distribution([(10, values, copies)], 1)
    assert np.abs(np.cumsum(ten[0].probabilities) - np.cumsum(ten[1].probabilities)).max() < 4e-4


@pytest.mark.parametrize(
    ("category", "why"),
    [
        ((1, [], []), "no values"),
        ((1, [1, 2], [1]), "as many weights"),
        ((1, [-1], [1]), "not below 0"),
        ((1, [float("nan")], [1]), "finite"),
        ((1, [1], [-1]), "weights must be"),
        ((1, [1], [0]), "weights must be"),
        ((-1, [1], [1]), "at least 0"),
        ((1.5, [1], [1]), "whole number"),
        ((True, [1], [1]), "draws are a whole number"),
        ((("geometric", 1), [1], [1]), "draws are a whole number"),
        ((("poisson", -1), [1], [1]), "not be below 0"),
        ((("binomial", 3, 1.2), [1], [1]), "not be above 1"),
        ((1, [1]), "draws, values and weights"),
    ],
)
def test_what_is_no_category_is_refused(category, why):
    """With what is wrong."""
    with pytest.raises(ValueError, match=why):
        distribution([category], 1)


def test_grids_prices_and_quantiles_that_cannot_be_are_refused():
    """A price of 0 has no loss, a quantile of 1 no end."""
    with pytest.raises(ValueError, match="above 0"):
        distribution(BOX, 0)
    with pytest.raises(ValueError, match="above 0"):
        distribution(BOX, 1).loss_given_loss(0)
    with pytest.raises(ValueError, match="between 0 and 1"):
        distribution(BOX, 1).quantile(1)
    with pytest.raises(ValueError, match="coarser grid"):
        distribution([(1, [1e15], [1])], 0.01)
    with pytest.raises(ValueError, match="a quarter"):
        without_replacement([1], [7], 2, 1)


def test_nothing_drawn_is_nothing_returned():
    """An empty box, and a category of no draws."""
    assert distribution([], 1).at_least(1) == 0
    empty = distribution([(0, [5], [1])], 1)
    assert (empty.mean, empty.at_least(0.5), empty.loss_given_loss(3)) == (0, 0, 3)


def test_a_card_worth_a_fortune_takes_no_more_memory():
    """One in a thousand boxes holds a card of 10^11 steps; the others are as they were."""
    found = distribution([(1, [5, 1e11], [999, 1])], 1)
    assert len(found.probabilities) < 1e7
    assert found.median == 5
    assert found.at_least(6) == pytest.approx(0.001, abs=1e-6)
    assert found.mean == pytest.approx(5 * 0.999 + 1e8)


def test_whole_numbers_of_other_libraries_are_draws():
    """Three of numpy's are three."""
    for draws in (np.int64(3), 3):
        assert distribution([(draws, [2], [1])], 1).mean == 6
        assert Category(draws, [2], [1]).times(2).draws == 6


def test_a_run_without_copies_is_refused():
    """Not even nothing can be drawn from it."""
    with pytest.raises(ValueError, match="without copies"):
        without_replacement([5], [0], 0, 1)


def test_a_number_of_draws_by_its_chances_is_scipys_hypergeometric():
    """Three cards worth 1 in different ones of thirty packs, of which five are opened, and twice so."""
    law = stats.hypergeom.pmf(range(4), 30, 3, 5)
    one = Category(Counts(tuple(law)), [1], [1])
    assert distribution([one], 1).probabilities == pytest.approx(law)
    assert distribution([one.times(2)], 1).probabilities == pytest.approx(np.convolve(law, law))
    assert distribution([one], 1).mean == pytest.approx(0.5)
    with pytest.raises(ValueError, match="must sum to 1"):
        distribution([Category(Counts((0.5, 0.4)), [1], [1])], 1)
