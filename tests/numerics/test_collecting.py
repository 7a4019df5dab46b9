"""Completing a set: exact fractions, enumeration, simulation, and money worked out by hand."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from itertools import combinations, product

import numpy as np
import pytest

from rating.numerics import collecting


def exact_expected(cards, mixture):
    """Expected packs from the chain of cards held, in fractions: no alternating sum is involved."""
    wait = {cards: Fraction(0)}
    for held in range(cards - 1, -1, -1):
        stay, rest = Fraction(0), Fraction(1)
        for size, share in mixture.items():
            for new in range(size + 1):
                ways = math.comb(cards - held, new) * math.comb(held, size - new)
                chance = share * Fraction(ways, math.comb(cards, size))
                if new == 0:
                    stay += chance
                elif chance:
                    rest += chance * wait[held + new]
        wait[held] = rest / (1 - stay)
    return wait[0]


def chain(cards, per_pack, packs):
    """Chances of 0, 1, … different cards after some packs: a chain of positive terms, so none cancels."""
    step = np.array(
        [
            [
                float(
                    Fraction(
                        math.comb(cards - held, new) * math.comb(held, per_pack - new),
                        math.comb(cards, per_pack),
                    )
                )
                for held in range(cards + 1)
            ]
            for new in range(per_pack + 1)
        ]
    )
    chances = np.eye(cards + 1)[0]
    for _ in range(packs):
        after = np.zeros(cards + 1)
        for new in range(per_pack + 1):
            after[new:] += (chances * step[new])[: cards + 1 - new]
        chances = after
    return chances


def variance(cards, per_pack, **reach):
    """Of the packs until the set is there: sum of (2t + 1) P(T > t), less the square of the mean."""
    open_still = [1 - collecting.completed_within(cards, per_pack, t, **reach) for t in range(600)]
    return math.fsum((2 * t + 1) * p for t, p in enumerate(open_still)) - math.fsum(open_still) ** 2


@pytest.mark.parametrize(("cards", "per_pack"), [(1, 1), (7, 7), (12, 1), (30, 4), (75, 5)])
def test_expected_packs_are_correctly_rounded(cards, per_pack):
    """The double nearest to the exact fraction of the chain, to the last bit."""
    assert collecting.expected_packs(cards, per_pack) == float(exact_expected(cards, {per_pack: Fraction(1)}))


def test_a_set_of_220_by_packs_of_five_is_correctly_rounded():
    """Where alternating sums of floats are off by dozens of powers of ten, every bit is right."""
    floats = math.fsum(
        (-1) ** (j + 1) * float(math.comb(220, j)) / (1 - math.comb(220 - j, 5) / math.comb(220, 5))
        for j in range(1, 221)
    )
    found = collecting.expected_packs(220, 5)
    assert found == float(exact_expected(220, {5: Fraction(1)}))
    assert abs(floats / found) > 1e10


@pytest.mark.parametrize(
    ("per_pack", "shares"),
    [
        (2.5, {2: Fraction(1, 2), 3: Fraction(1, 2)}),
        (2.3, {2: Fraction(7, 10), 3: Fraction(3, 10)}),
        (Decimal("1.75"), {1: Fraction(1, 4), 2: Fraction(3, 4)}),
        (0.4, {0: Fraction(3, 5), 1: Fraction(2, 5)}),
        ({1: 0.2, 4: 0.8}, {1: Fraction(1, 5), 4: Fraction(4, 5)}),
        ({5: 1, 2: 0}, {5: Fraction(1)}),
    ],
)
def test_packs_that_are_not_whole_are_a_mixture(per_pack, shares):
    """A mean between two sizes, or a mixture that is given, equals the chain of that mixture."""
    assert collecting.mixture(per_pack) == shares
    assert collecting.expected_packs(12, per_pack) == float(exact_expected(12, shares))


def test_enumerated_packs_of_a_mixture_complete_as_often():
    """Four cards, packs of one or two in equal shares, three packs: all weighted sequences."""
    packs = [
        (set(pack), Fraction(1, 2) / math.comb(4, k)) for k in (1, 2) for pack in combinations(range(4), k)
    ]
    reached = {3: Fraction(0), 4: Fraction(0)}
    for sequence in product(packs, repeat=3):
        held = len(set().union(*(pack for pack, _ in sequence)))
        weight = math.prod((share for _, share in sequence), start=Fraction(1))
        for reach in reached:
            reached[reach] += weight * (held >= reach)
    assert collecting.completed_within(4, 1.5, 3) == float(reached[4])
    assert collecting.completed_within(4, 1.5, 3, reach=3) == float(reached[3])


@pytest.mark.parametrize("packs", [43, 44, 60, 150, 333, 900])
def test_the_exact_chance_agrees_with_the_chain(packs):
    """Whole numbers with many bits against the positive chain, from 1e-200 up to 1 - 1e-7, for 220 cards."""
    exact = collecting.completed_within(220, 5, packs)
    assert exact == pytest.approx(chain(220, 5, packs)[-1], rel=1e-11, abs=0)


@pytest.mark.parametrize("reach", [1, 8, 12])
def test_the_mean_is_the_sum_of_the_chances_of_not_being_done(reach):
    """E[T] = sum over t of P(T > t)."""
    open_still = [1 - collecting.completed_within(12, 3, t, reach=reach) for t in range(200)]
    mean = math.fsum(open_still)
    assert collecting.expected_packs(12, 3, reach=reach) == pytest.approx(mean, rel=1e-12)


@pytest.mark.parametrize(
    ("cards", "per_pack", "packs", "exact"),
    [
        (1, 0.5, 54, 1 - Fraction(1, 2) ** 54),
        (2, 1, 55, 1 - Fraction(1, 2) ** 54),
        (2, 1, 54, 1 - Fraction(1, 2) ** 53),
        (2, 1, 56, 1 - Fraction(1, 2) ** 55),
    ],
)
def test_a_chance_midway_between_two_doubles_is_rounded_to_even(cards, per_pack, packs, exact):
    """Only packs all alike, or all empty, leave the set open: 1 - 2^-54 is midway to 1 and rounds to it."""
    assert collecting.completed_within(cards, per_pack, packs) == float(exact)


def test_means_midway_between_two_doubles_are_rounded_to_even():
    """One card that falls at a rate of a takes 1/a packs, in packs or boxes."""
    tie = 2**53 + 1
    rate = Fraction(1, tie)
    assert collecting.expected_packs(1, rate) == float(tie) == 2**53
    assert collecting.expected_boxes(1, rate, 1) == float(tie)


@pytest.mark.parametrize("chance", [0.01, 0.5, 0.9, 0.999])
def test_a_quantile_is_the_fewest_packs_with_that_chance(chance):
    """One pack less gives less than the wanted chance."""
    packs = collecting.packs_for_completion(220, 5, chance)
    assert collecting.completed_within(220, 5, packs) >= chance
    assert collecting.completed_within(220, 5, packs - 1) < chance


def test_too_few_packs_cannot_complete():
    """43 packs of 5 are 215 cards: never 220, and nothing at all in no packs."""
    assert collecting.completed_within(220, 5, 43) == 0
    assert collecting.completed_within(220, 5, 0) == 0
    assert collecting.completed_within(5, 5, 1) == 1
    assert collecting.packs_for_completion(5, 5, 0.9) == 1


def test_a_simulation_agrees_within_its_error():
    """4,000 seeded runs of 60 cards by packs of 4: mean within four standard errors of the exact one."""
    rng = np.random.default_rng(7)
    runs = 4000
    held, packs = np.zeros((runs, 60), dtype=bool), np.zeros(runs)
    while not held.all():
        packs += ~held.all(axis=1)
        drawn = rng.random((runs, 60)).argpartition(4, axis=1)[:, :4]
        np.put_along_axis(held, drawn, values=True, axis=1)
    error = math.sqrt(variance(60, 4) / runs)
    assert abs(packs.mean() - collecting.expected_packs(60, 4)) < 4 * error
    # The sampling error of a standard deviation is about sd / sqrt(2 runs), somewhat more for a skew one.
    assert packs.std() == pytest.approx(math.sqrt(variance(60, 4)), rel=0.08)


def test_chances_per_pack_agree_with_inclusion_and_exclusion():
    """Independent cards: E = sum over subsets of (-1)^(size + 1) / (1 - their joint chance of missing)."""
    rates = [Fraction(1, 3), Fraction(1, 2), Fraction(1, 40), Fraction(1, 40), Fraction(1)]
    exact = sum(
        (-1) ** (size + 1) / (1 - math.prod((1 - rate for rate in some), start=Fraction(1)))
        for size in range(1, len(rates) + 1)
        for some in combinations(rates, size)
    )
    assert collecting.expected_packs_by_rate(rates) == pytest.approx(float(exact), rel=1e-12)
    assert collecting.expected_packs_by_rate([1, 1.0]) == 1


@pytest.mark.parametrize("per_pack", [2, 1.5])
def test_boxes_of_independent_packs_are_whole_boxes(per_pack):
    """E[boxes] = sum over b of P(not done after b boxes of 3 packs)."""
    boxes = math.fsum(1 - collecting.completed_within(8, per_pack, 3 * b) for b in range(120))
    assert collecting.expected_boxes(8, per_pack, 3) == pytest.approx(boxes, rel=1e-12)


def test_boxes_without_duplicates_are_large_packs():
    """24 packs of 8 without duplicates are one pack of 192 of 280; a box with the whole set completes it."""
    collated = collecting.expected_boxes(280, 8, 24, no_duplicates=True)
    assert collated == collecting.expected_packs(280, 192)
    assert collated < collecting.expected_boxes(280, 8, 24)
    assert collecting.expected_boxes(100, 8, 24, no_duplicates=True) == 1


@pytest.mark.parametrize("no_duplicates", [False, True])
@pytest.mark.parametrize("chance", [0.5, 0.9])
def test_a_quantile_of_boxes_is_the_fewest_boxes(no_duplicates, chance):
    """280 cards, 24 packs of 8, counted in packs, or without duplicates in packs of 192."""
    boxes = collecting.boxes_for_completion(280, 8, 24, chance, no_duplicates=no_duplicates)
    done = {
        b: collecting.completed_within(280, 192, b)
        if no_duplicates
        else collecting.completed_within(280, 8, 24 * b)
        for b in (boxes - 1, boxes)
    }
    assert done[boxes - 1] < chance <= done[boxes]


def test_a_box_that_holds_the_set_is_enough():
    """192 different cards in a box complete a set of 100 at once, and with certainty."""
    assert collecting.boxes_for_completion(100, 8, 24, 0.999, no_duplicates=True) == 1


def test_money_of_two_cards_is_what_a_pencil_says():
    """Two cards, boxes of one pack of one card at 10, singles at 100: 10 b + 200 / 2^b."""
    plan = collecting.best_boxes_then_singles(2, 1, 1, box_price=10, single_price=100)
    assert [row.cost for row in plan.rows] == [200, 110, 70, 55, 52.5, 56.25]
    assert [row.missing for row in plan.rows] == [2, 1, 0.5, 0.25, 0.125, 0.0625]
    assert [row.complete for row in plan.rows] == [0, 0, 0.5, 0.75, 0.875, 0.9375]
    assert (plan.best.boxes, plan.best.cost) == (4, 52.5)
    # Two cards take three draws.
    assert plan.until_done == 30
    assert (plan.cheapest, plan.complete_set) == ("open until done", None)


@pytest.mark.parametrize(
    ("prices", "cheapest"),
    [
        ({"box_price": Decimal(10), "single_price": Decimal("0.50")}, "singles"),
        ({"box_price": 10, "single_price": 6}, "boxes, then singles"),
        ({"box_price": 10, "single_price": 99}, "open until done"),
        ({"box_price": 10, "single_price": 99, "set_price": 25}, "complete set"),
    ],
)
def test_the_cheapest_way_depends_on_the_prices(prices, cheapest):
    """Ten cards in boxes of four packs of two: cheap singles, middling ones, dear ones, a cheap set."""
    plan = collecting.best_boxes_then_singles(10, 2, 4, **prices)
    assert plan.cheapest == cheapest
    assert plan.best.cost == min(row.cost for row in plan.rows)


def test_rows_end_where_boxes_alone_cost_more_and_less_than_one_card_is_missing():
    """Ten cards, one a box: 10 b + 150 * 0.9^b is least at b = 4 with 138.4, so 13 boxes cost more alone.

    10 * 0.9^b is under 1 from b = 22 on, and whoever asks for 30 rows has them.
    """
    plan = collecting.best_boxes_then_singles(10, 1, 1, box_price=10, single_price=15)
    assert plan.best.boxes == 4
    assert plan.best.cost == pytest.approx(40 + 150 * 0.9**4)
    assert plan.rows[-1].boxes == 22
    more = collecting.best_boxes_then_singles(10, 1, 1, box_price=10, single_price=15, least_rows=30)
    assert more.rows[-1].boxes == 30


@pytest.mark.parametrize(("order", "postage"), [(0, 0), (7, 0), (0, 20), (40, 3), (200, 20)])
@pytest.mark.parametrize("single", [0.4, 3, 25])
def test_what_is_paid_once_is_counted_in_every_row(order, postage, single):
    """Six cards, two a box of two packs: every b to 60 by inclusion and exclusion; boxes cost 10."""

    def complete(packs):
        return sum((-1) ** j * math.comb(6, j) * ((6 - j) / 6) ** packs for j in range(7))

    plan = collecting.best_boxes_then_singles(
        6, 1, 2, box_price=10, single_price=single, order_price=order, singles_postage=postage
    )
    costs = [
        10 * b + order * (b > 0) + single * 6 * (5 / 6) ** (2 * b) + postage * (1 - complete(2 * b))
        for b in range(61)
    ]
    assert plan.best.cost == pytest.approx(min(costs), rel=1e-9)
    assert [row.cost for row in plan.rows] == pytest.approx(costs[: len(plan.rows)], rel=1e-9)


def test_the_best_number_of_boxes_may_lie_beyond_the_rows():
    """500 cards, one a box at 5, singles at 50,000: 5 b + 25e6 (499/500)^b is least where its slope is 0.

    The derivative vanishes at b = ln(25e6 ln(500/499) / 5) / ln(500/499) = 4602.1, far beyond 400 rows.
    """
    plan = collecting.best_boxes_then_singles(500, 1, 1, box_price=5, single_price=50_000)
    slope = math.log(500 / 499)
    assert abs(plan.best.boxes - math.log(25e6 * slope / 5) / slope) <= 1
    assert plan.best.cost == pytest.approx(5 * plan.best.boxes + 25e6 * (499 / 500) ** plan.best.boxes)
    assert len(plan.rows) == 401


@pytest.mark.parametrize("single", [0, 0.01, 0.4, 1, 3, 9.99, 10, 10.01, 25, 99, 400])
@pytest.mark.parametrize(("cards", "per_pack", "packs"), [(10, 1, 1), (10, 2, 4), (4, 4, 1), (1, 0.5, 3)])
def test_the_best_number_of_boxes_is_that_of_trying_all(cards, per_pack, packs, single):
    """Every b up to 300 is priced by hand; boxes cost 10, and the dearest singles leave 300 far behind."""
    plan = collecting.best_boxes_then_singles(cards, per_pack, packs, box_price=10, single_price=single)
    costs = [10 * b + single * cards * (1 - per_pack / cards) ** (b * packs) for b in range(301)]
    assert plan.best.cost == pytest.approx(min(costs), rel=1e-12)
    assert costs[plan.best.boxes] == pytest.approx(min(costs), rel=1e-12)
    assert plan.best in plan.rows
    assert 10 * len(plan.rows) > plan.best.cost


def test_sums_in_whole_numbers_enclose_the_exact_value():
    """1/3 - 1/7 in units of 1/2 lies between the two ends, one unit a term apart."""
    low, high = collecting._series([1, -1], [1, 1], [3, 7], 1)
    assert low <= 2 * (Fraction(1, 3) - Fraction(1, 7)) < high
    assert high - low == 2


MONEY = {"box_price": 10, "single_price": 1}


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: collecting.expected_packs(4, 5), "pack of 5 different cards cannot come from a set of 4"),
        (lambda: collecting.expected_packs(4, 4.5), "pack of 5 different cards cannot come from a set of 4"),
        (lambda: collecting.expected_packs(0, 1), "cards must be at least 1, got 0"),
        (lambda: collecting.expected_packs("220", 5), "cards must be a number, got '220'"),
        (lambda: collecting.expected_packs(220.5, 5), "cards must be a whole number, got 220.5"),
        (lambda: collecting.expected_packs(220, 0), "without a base card"),
        (lambda: collecting.expected_packs(220, {0: 1}), "without a base card"),
        (lambda: collecting.expected_packs(220, -5), "must not be below 0, got -5"),
        (lambda: collecting.expected_packs(220, math.nan), "finite number, got nan"),
        (lambda: collecting.expected_packs(220, {5: 0.5, 6: 0.6}), "sum to 1"),
        (lambda: collecting.expected_packs(220, {5: 1.5, 6: -0.5}), "0 to 1"),
        (lambda: collecting.expected_packs(220, {}), "sum to 1"),
        (lambda: collecting.expected_packs(220, {5.5: 1}), "cards a pack must be a whole number"),
        (
            lambda: collecting.expected_packs(10, 3, reach=11),
            "11 different cards cannot be reached in a set of 10",
        ),
        (lambda: collecting.completed_within(10, 3, -1), "packs must be at least 0, got -1"),
        (lambda: collecting.packs_for_completion(10, 3, 1), "between 0 and 1, both excluded, got 1"),
        (lambda: collecting.packs_for_completion(10, 3, 0), "between 0 and 1, both excluded, got 0"),
        (lambda: collecting.expected_packs_by_rate([0.5, 1.5]), "must not be above 1, got 1.5"),
        (lambda: collecting.expected_packs_by_rate([]), "no cards"),
        (lambda: collecting.expected_packs_by_rate([1e-9]), "too rare"),
        (lambda: collecting.best_boxes_then_singles(9, 3, 4, box_price=0, single_price=1), "price of a box"),
        (
            lambda: collecting.best_boxes_then_singles(9, 3, 4, **MONEY, set_price=-1),
            "a complete set must not be below 0",
        ),
        (lambda: collecting.best_boxes_then_singles(9, 3, 0, **MONEY), "packs per box must be at least 1"),
        (lambda: collecting.boxes_for_completion(9, 3, 4, 1), "between 0 and 1, both excluded, got 1"),
    ],
)
def test_wrong_calls_are_refused_with_a_sentence(call, match):
    """Each wrong call raises ValueError and names what was seen."""
    with pytest.raises(ValueError, match=match):
        call()
