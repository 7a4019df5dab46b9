"""Packs of different cards: every pack enumerated, scipy's laws, and means and variances from the theorem."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from fractions import Fraction

import numpy as np
import pytest
from scipy.stats import hypergeom

from rating.numerics.draws import Different, lost_spread, none_of, spread_of
from rating.numerics.sums import Category, distribution, moments

CARDS = [0, 1, 1, 4, 7, 7, 20]


def enumerated(values, size):
    """The sum of a pack of `size` of some cards, whole sets first, over all packs there are."""
    sets, over = divmod(size, len(values))
    packs = list(itertools.combinations(values, over))
    counted = Counter(sets * sum(values) + sum(pack) for pack in packs)
    return {total: Fraction(count, len(packs)) for total, count in counted.items()}


@pytest.mark.parametrize("size", range(17))
def test_a_pack_is_what_all_packs_say(size):
    """Sizes from none to twice the set: by power sums while small, card by card beyond."""
    found = distribution([Category(Different(1, size, 0.0), CARDS, [1.0] * 7)], 1)
    truth = enumerated(CARDS, size)
    for total, chance in truth.items():
        assert found.probabilities[total] == pytest.approx(float(chance), abs=1e-12)
    mean = sum(total * chance for total, chance in truth.items())
    spread = sum(total**2 * chance for total, chance in truth.items()) - mean**2
    assert found.mean == pytest.approx(float(mean))
    assert found.sd**2 == pytest.approx(float(spread), abs=1e-9)


def test_packs_of_two_sizes_are_independent_of_each_other():
    """Two packs, each of two cards or of three by 1 in 4: all pairs of packs."""
    one = Counter()
    for size, share in ((2, Fraction(3, 4)), (3, Fraction(1, 4))):
        for total, chance in enumerated(CARDS, size).items():
            one[total] += share * chance
    both = Counter()
    for first, second in itertools.product(one.items(), repeat=2):
        both[first[0] + second[0]] += first[1] * second[1]
    found = distribution([Category(Different(2, 2, 0.25), CARDS, [3.0] * 7)], 1)
    for total, chance in both.items():
        assert found.probabilities[total] == pytest.approx(float(chance), abs=1e-12)


def test_a_card_between_two_steps_counts_as_either():
    """Two in a pack of three cards worth 0.25, 1.5 and 3 steps: each way to round, with its chance."""
    values = [0.25, 1.5, 3.0]
    truth = Counter()
    for pack in itertools.combinations(values, 2):
        for ups in itertools.product((0, 1), repeat=2):
            parts = [value - math.floor(value) for value in pack]
            chance = math.prod(part if up else 1 - part for part, up in zip(parts, ups, strict=True))
            truth[sum(math.floor(value) + up for value, up in zip(pack, ups, strict=True))] += chance / 3
    found = distribution([Category(Different(1, 2, 0.0), values, [1.0] * 3)], 1)
    for total, chance in truth.items():
        assert found.probabilities[total] == pytest.approx(chance, abs=1e-12)
    mean = sum(total * chance for total, chance in truth.items())
    assert found.mean == pytest.approx(mean)
    assert found.sd**2 == pytest.approx(sum((total - mean) ** 2 * p for total, p in truth.items()))


@pytest.mark.parametrize(("cards", "size"), [(60, 14), (60, 15), (60, 16), (60, 59), (220, 40)])
def test_marked_cards_are_hypergeometric(cards, size):
    """Cards worth 1 and 0 on either side of where the way of counting changes, by scipy."""
    marked = cards // 3
    values = [1.0] * marked + [0.0] * (cards - marked)
    found = distribution([Category(Different(1, size, 0.0), values, [1.0] * cards)], 1).probabilities
    truth = hypergeom.pmf(range(size + 1), cards, marked, size)
    assert found[: min(len(found), size + 1)] == pytest.approx(truth[: len(found)], abs=1e-9)


def test_a_long_sum_may_be_cut_off():
    """A pack with a card far beyond the cells: chances below it stay, and what is cut off says so."""
    values = [*CARDS, 5000]
    whole = distribution([Category(Different(3, 2, 0.5), values, [1.0] * 8)], 1)
    cut = distribution([Category(Different(3, 2, 0.5), values, [1.0] * 8)], 1, longest=200)
    assert cut.probabilities == pytest.approx(whole.probabilities[: len(cut.probabilities)], abs=1e-6)
    assert cut.cut_off >= whole.probabilities[len(cut.probabilities) :].sum() - 1e-9


def test_how_many_and_how_much_less_spread():
    """2.25 a pack in four packs: 9 on average, spread 4 x 3/16; from 7 cards each pair takes 1/6 off."""
    draws = Different(4, 2, 0.25)
    assert moments(draws) == pytest.approx((9, 0.75))
    pairs = 4 * (0.75 * 2 + 0.25 * 6)
    assert lost_spread(draws, 7) == pytest.approx(pairs / 6)
    assert [spread_of(size, 1) for size in (0, 1, 5)] == [0, 0, 0]


def test_none_of_some_cards_by_scipy_and_of_a_card_in_part():
    """Hypergeometric at whole numbers; half of a card is a coin thrown for each pack that holds it."""
    for size, wanted in itertools.product(range(8), repeat=2):
        truth = hypergeom.pmf(0, 7, wanted, size)
        assert none_of(size, wanted, 7) == pytest.approx(truth, abs=1e-12)
    packs = list(itertools.combinations(range(5), 2))
    thrown = [math.prod({0: 0.0, 1: 0.5}.get(card, 1.0) for card in pack) for pack in packs]
    assert none_of(2, 1.5, 5) == pytest.approx(sum(thrown) / len(packs))
    assert none_of(9, 1, 5) == 0
    assert none_of(9, 0, 5) == 1


@pytest.mark.parametrize(
    ("draws", "weights", "message"),
    [
        (Different(1, 2, 0.0), [1, 2], "alike"),
        (Different(1, 2, 1.5), [1, 1], "above 1"),
        (Different(-1, 2, 0.0), [1, 1], "packs"),
        (Different(1, -2, 0.0), [1, 1], "cards a pack"),
    ],
)
def test_what_cannot_be_is_refused(draws, weights, message):
    """Packs below 0, more than a chance, and cards that are not as frequent as each other."""
    with pytest.raises(ValueError, match=message):
        distribution([Category(draws, [0.0, 1.0], weights)], 1)


def test_more_boxes_are_more_packs():
    """A category of three boxes."""
    one = Category(Different(4, 2, 0.5), CARDS, [1.0] * 7)
    assert one.times(3).draws == Different(12, 2, 0.5)
    assert np.sum(distribution([one.times(3)], 1).probabilities) == pytest.approx(1)
