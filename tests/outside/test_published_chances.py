"""Published and textbook values for packs, chances and completing a set.

The numbers are those of the sources named beside them; nothing here comes from our own output.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from rating.numerics import chances, collecting
from rating.numerics import packs as scarcity

# Coupon collector: de Moivre, Laplace; Feller, vol. 1, chapter IX.


@pytest.mark.parametrize(
    ("cards", "draws"),
    [
        (2, 3),
        (3, 5.5),
        (5, 11.4166666667),
        (6, 14.7),
        (10, 29.2896825397),
        (50, 224.9602669165),
        (100, 518.737751764),
        (200, 1175.6061896243),
    ],
)
def test_single_draws_take_n_times_the_harmonic_number(cards, draws):
    """n equally likely cards take n H_n draws; 518.74 for 100 is widely printed. Packs of one agree."""
    assert collecting.expected_draws(cards) == pytest.approx(draws, abs=1e-8)
    assert collecting.expected_packs(cards, 1) == pytest.approx(draws, abs=1e-8)


@pytest.mark.parametrize(("cards", "variance"), [(6, 38.99), (10, 125.687090577), (100, 15831.101250085)])
def test_the_variance_of_single_draws_is_the_textbook_one(cards, variance):
    """Variance of the collector's time for single draws; Feller, vol. 1, chapter IX."""
    assert collecting.variance_of_packs(cards, 1) == pytest.approx(variance, abs=1e-7)


@pytest.mark.parametrize(
    ("cards", "per_pack", "packs"),
    [
        (4, 2, 19 / 5),
        (5, 2, 671 / 126),
        (6, 2, 97 / 14),
        (10, 2, 961349 / 68068),
        (10, 3, 8241679 / 911064),
        (10, 5, 4.9339808962),
        (20, 5, 13.2709395994),
        (52, 5, 45.7440346705),
        (200, 8, 144.7969938001),
    ],
)
def test_packs_of_different_cards_take_as_many_as_stadje_says(cards, per_pack, packs):
    """Group drawings of different cards. Stadje (1990), Advances in Applied Probability 22, 866-882."""
    assert collecting.expected_packs(cards, per_pack) == pytest.approx(packs, abs=1e-8)


@pytest.mark.parametrize(
    ("cards", "per_pack", "packs", "chance"),
    [(5, 2, 3, 9 / 50), (5, 2, 4, 54 / 125), (6, 3, 4, 103820 / 160000)],
)
def test_completing_within_some_packs_matches_enumeration(cards, per_pack, packs, chance):
    """All sequences of packs enumerated: 9/50, 54/125 and 103820/160000."""
    assert collecting.completed_within(cards, per_pack, packs) == pytest.approx(chance, abs=1e-12)
    assert collecting.distinct_counts(cards, per_pack, packs)[-1] == pytest.approx(chance, abs=1e-12)


@pytest.mark.parametrize(
    ("cards", "per_pack", "packs", "distinct", "duplicates"),
    [
        (10, 3, 5, 8.3193, 6.6807),
        (100, 10, 20, 87.8423345409, 112.1576654591),
        (200, 10, 36, 168.4441570423, 191.5558429577),
    ],
)
def test_different_cards_and_duplicates_follow_from_linearity(cards, per_pack, packs, distinct, duplicates):
    """n (1 - (1 - k/n)^p) different cards, the rest duplicates."""
    found = collecting.expected_distinct(cards, per_pack, packs)
    assert (found.distinct, found.duplicates) == pytest.approx((distinct, duplicates), abs=1e-8)
    assert found.missing == pytest.approx(cards - distinct, abs=1e-8)


def test_the_whole_distribution_of_different_cards_is_that_of_the_chain():
    """Five packs of 3 from 10: chances of 6 to 10 different cards, and their variance (occupancy)."""
    counts = collecting.distinct_counts(10, 3, 5)
    assert counts[6:] == pytest.approx(
        [0.0220719763, 0.155218316, 0.3881445313, 0.3456114969, 0.0879840856], abs=1e-9
    )
    mean = sum(d * p for d, p in enumerate(counts))
    variance = sum((d - mean) ** 2 * p for d, p in enumerate(counts))
    assert variance == pytest.approx(0.8478882507, abs=1e-9)


@pytest.mark.parametrize(("reach", "packs"), [(9, 6.0715833355), (8, 4.5785674771)])
def test_the_last_card_costs_a_third_of_the_packs(reach, packs):
    """Packs of 3 until 9 or 8 of 10 are there (Markov chain); all 10 take 9.05."""
    assert collecting.expected_packs(10, 3, reach=reach) == pytest.approx(packs, abs=1e-8)


def test_short_prints_take_longer_than_equal_cards():
    """Chances 1/2, 1/3, 1/6 take 7.3 draws, not 5.5. Von Schelling (1954), Amer. Math. Monthly 61."""
    chances_of_draw = [Fraction(1, 2), Fraction(1, 3), Fraction(1, 6)]
    assert collecting.expected_draws_unequal(chances_of_draw) == pytest.approx(7.3, abs=1e-12)


@pytest.mark.parametrize(
    ("one_in", "packs", "chance"),
    [
        (24, 24, 0.6399206107),
        (288, 24, 0.0800889929),
        (12, 24, 0.8760990779),
        (100, 100, 0.6339676587),
        (1440, 288, 0.1813261276),
    ],
)
def test_at_least_one_is_the_binomial_complement(one_in, packs, chance):
    """1 - (1 - 1/N)^n for independent packs."""
    assert chances.at_least_one(one_in, packs) == pytest.approx(chance, abs=1e-9)


@pytest.mark.parametrize(("chance", "packs"), [(0.5, 17), (0.9, 55), (0.95, 71), (0.99, 109)])
def test_packs_for_a_chance_invert_the_odds(chance, packs):
    """ceil(ln(1 - q) / ln(1 - 1/24))."""
    assert chances.packs_for_chance(24, chance) == packs


def test_collation_matters_in_a_case():
    """12 hits in a case of 288 packs, 24 opened: hypergeometric, binomial, and one guaranteed per box."""
    by_model = chances.by_model(288, 12, 24)
    assert by_model[chances.FINITE] == pytest.approx(0.6554680376, abs=1e-9)
    assert by_model[chances.INDEPENDENT] == pytest.approx(0.6399206107, abs=1e-9)
    # One per box: the box of 24 draws one of the 12 hits of the case, whichever it is.
    assert chances.from_pool(12, 12, 1, "finite").at_least_one == 1
    assert chances.counts_in_run(288, 12, 24)[1] == pytest.approx(0.3921944869, abs=1e-9)
    assert chances.hit_counts([1 / 24] * 24)[1] == pytest.approx(0.3757350149, abs=1e-9)


def test_a_box_without_duplicates_holds_a_given_card_more_often():
    """192 cards of a set of 280, in 24 packs of 8: all different, independent packs, single cards."""
    box = collecting.chance_in_box(280, 8, 24)
    assert (box.all_different, box.independent_packs, box.single_cards) == pytest.approx(
        (0.6857142857, 0.5012752232, 0.4968876122), abs=1e-9
    )


@pytest.mark.parametrize(("packs", "exact", "rule"), [(24, 0.1173461562, 0.125), (100, 0.0295130496, 0.03)])
def test_no_hits_bound_the_chance_from_above(packs, exact, rule):
    """1 - 0.05^(1/n) and the rule of three. Hanley and Lippman-Hand (1983), JAMA 249, 1743-1745."""
    assert chances.upper_bound(0, packs) == pytest.approx(exact, abs=1e-9)
    assert chances.rule_of_three(packs) == pytest.approx(rule, abs=1e-9)


@pytest.mark.parametrize(
    ("hits", "packs", "interval"),
    [
        (81, 263, (0.2553, 0.3662)),
        (15, 148, (0.0624, 0.1605)),
        (0, 20, (0, 0.1611)),
        (1, 29, (0.0061, 0.1718)),
    ],
)
def test_wilson_intervals_are_those_of_newcombe(hits, packs, interval):
    """Newcombe (1998), Statistics in Medicine 17, 857-872, table I, method 3."""
    assert chances.wilson(hits, packs) == pytest.approx(interval, abs=6e-5)


@pytest.mark.parametrize(
    ("hits", "packs", "interval"),
    [
        (81, 263, (0.2527, 0.3676)),
        (15, 148, (0.0578, 0.1617)),
        (0, 20, (0, 0.1684)),
        (1, 29, (0.0009, 0.1776)),
    ],
)
def test_exact_intervals_are_those_of_newcombe(hits, packs, interval):
    """Newcombe (1998), table I, method 5 (Clopper and Pearson)."""
    assert chances.clopper_pearson(hits, packs) == pytest.approx(interval, abs=6e-5)


# Arithmetic of print runs: packs = X x run x subjects, X known to its rounding.

FIVE_PARALLELS = [(5, 49900), (24, 9900), (96, 2500), (240, 1000), (2400, 100)]


@pytest.mark.parametrize(
    ("rounding", "low", "high"),
    [("nearest", 232650, 242550), ("floor", 237600, 247500), ("ceiling", 227700, 237600)],
)
def test_one_parallel_gives_an_interval_of_packs(rounding, low, high):
    """1:24 of 100 subjects numbered to 99, under three conventions of rounding."""
    packs = scarcity.packs_from_lines([(24, 9900)], rounding=rounding)
    assert (packs.low, packs.high) == pytest.approx((low, high), rel=1e-12)
    assert packs.estimate == pytest.approx((low + high) / 2, rel=1e-12)  # 237,600 where X is to the nearest
    assert scarcity.odds_of_copies(237600, 9900) == 24


@pytest.mark.parametrize(
    ("one_in", "half_width"),
    [(5, 0.1), (12, 1 / 24), (24, 1 / 48), (96, 1 / 192), (240, 1 / 480), (2400, 1 / 4800)],
)
def test_rounding_leaves_half_over_x(one_in, half_width):
    """The relative half-width from rounding is 0.5 / X."""
    packs = scarcity.packs_from_lines([(one_in, 100)])
    assert (packs.high - packs.low) / (packs.high + packs.low) == pytest.approx(half_width, abs=1e-9)


def test_intervals_intersect_where_the_mean_of_the_points_does_not_lie():
    """Five parallels leave 239,950 to 240,050; the mean of their points, 241,420, is outside."""
    points = [one_in * copies for one_in, copies in FIVE_PARALLELS]
    assert points == [249500, 237600, 240000, 240000, 240000]
    assert sum(points) / 5 == 241420
    packs = scarcity.packs_from_lines(FIVE_PARALLELS)
    assert (packs.low, packs.high) == (239950, 240050)
    assert packs.consistent
    assert packs.set_aside == []
    assert not packs.low <= 241420 <= packs.high


def test_least_squares_on_the_odds_gives_estimate_and_error():
    """Inverse-variance weights with rounding variance (copies)^2 / 12."""
    packs = scarcity.packs_from_lines(FIVE_PARALLELS)
    assert packs.estimate == pytest.approx(239999.7956713656, abs=1e-5)
    assert packs.error == pytest.approx(28.7000203184, abs=1e-5)


def test_boxes_and_cases_say_when_they_do_not_divide():
    """240,000 packs are 10,000 boxes of 24: 1,000 cases of 10, but no whole number of cases of 12."""
    twelve, ten = scarcity.boxes_from_packs(240000, 24, 12), scarcity.boxes_from_packs(240000, 24, 10)
    assert (twelve.boxes, ten.boxes, ten.cases) == (10000, 10000, 1000)
    assert twelve.cases == pytest.approx(833.3333333333, abs=1e-8)
    assert (twelve.divides, ten.divides) == (False, True)
    assert (twelve.remark, ten.remark) == ("10000 boxes do not fill cases of 12: 833.33 cases", "")


def test_copies_of_a_base_card_follow_from_the_packs():
    """240,000 packs of 7 base cards over 200 subjects are 8,400 copies of each."""
    assert scarcity.base_copies(240000, 7, 200) == 8400


def test_odds_add_as_rates():
    """1:24, 1:96 and 1:240 together are 0.05625 a pack, 1:17.78; a run of 50 for 80 subjects is 1:60."""
    assert scarcity.odds_of_copies(240000, 50 * 80) == 60
    any_of_them = scarcity.combined_odds([24, 96, 240])
    assert (any_of_them.rate, any_of_them.one_in, any_of_them.at_least_one) == pytest.approx(
        (0.05625, 17.7777777778, 0.0556007668), abs=1e-9
    )


@pytest.mark.parametrize(("one_in", "per_box"), [(24, 1), (20, 1.2), (12, 2), (8, 3)])
def test_odds_of_a_pack_are_hits_per_box(one_in, per_box):
    """24 packs a box at 1:20 are 1.2 hits, which contradicts "one per box"."""
    against = scarcity.guarantee_against_odds(1, [one_in], 24)
    assert against.implied == pytest.approx(per_box, abs=1e-12)
    assert against.agrees == (one_in == 24)


def test_a_small_poisson_binomial_is_its_enumeration():
    """Chances 1/2, 1/3, 1/4: the 8 outcomes give 6/24, 11/24, 6/24, 1/24."""
    expected = [6 / 24, 11 / 24, 6 / 24, 1 / 24]
    assert list(chances.hit_counts([Fraction(1, 2), Fraction(1, 3), Fraction(1, 4)])) == expected
    assert chances.hit_counts([1 / 2, 1 / 3, 1 / 4]) == pytest.approx(expected, abs=1e-15)


@pytest.mark.parametrize(
    ("wanted", "pool", "model", "none"),
    [
        (2, 80, "independent", 0.5446415584),
        (2 * 99, 80 * 99, "finite", 0.5441541345),
        (2, 80, "finite", 0.4873417722),
    ],
)
def test_a_team_can_leave_empty_handed_under_three_models(wanted, pool, model, none):
    """24 autographs, a team with 2 of 80 subjects: independent, a run of 99 each, all different."""
    outlook = chances.from_pool(wanted, pool, 24, model)
    assert outlook.none == pytest.approx(none, abs=1e-8)
    assert outlook.expected == pytest.approx(0.6, abs=1e-12)


@pytest.mark.parametrize(("draws", "empty"), [(24, 3.3996218843), (40, 1.2105174063)])
def test_teams_left_empty_follow_from_occupancy(draws, empty):
    """16 equal teams: 16 (15/16)^k of them get none of k hits."""
    assert chances.expected_without([1 / 16] * 16, draws) == pytest.approx(empty, abs=1e-8)
