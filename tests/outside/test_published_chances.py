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
    """n equally likely cards take n H_n draws; 518.74 for 100 is widely printed."""
    assert collecting.expected_packs(cards, 1) == pytest.approx(draws, abs=1e-8)


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


@pytest.mark.parametrize(("reach", "packs"), [(9, 6.0715833355), (8, 4.5785674771)])
def test_the_last_card_costs_a_third_of_the_packs(reach, packs):
    """Packs of 3 until 9 or 8 of 10 are there (Markov chain); all 10 take 9.05."""
    assert collecting.expected_packs(10, 3, reach=reach) == pytest.approx(packs, abs=1e-8)


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
    assert 1 - chances.none_in_packs(one_in, packs) == pytest.approx(chance, abs=1e-9)


def test_collation_matters_in_a_case():
    """12 hits in a case of 288 packs, 24 opened: hypergeometric and binomial."""
    assert 1 - chances.counts_in_run(288, 12, 24)[0] == pytest.approx(0.6554680376, abs=1e-9)
    assert 1 - chances.none_in_packs(24, 24) == pytest.approx(0.6399206107, abs=1e-9)
    assert chances.counts_in_run(288, 12, 24)[1] == pytest.approx(0.3921944869, abs=1e-9)
    assert chances.hit_counts([1 / 24] * 24)[1] == pytest.approx(0.3757350149, abs=1e-9)


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


def packs_of(lines, **rounding):
    """The packs of a single format, of which all lines agree, from pairs (X of 1:X, copies)."""
    found = scarcity.packs_by_format([(copies, {"a": x}) for x, copies in lines], ["a"], **rounding)
    assert found.consistent
    assert found.set_aside == []
    return found.packs["a"]


@pytest.mark.parametrize(
    ("rounding", "low", "high"),
    [("nearest", 232650, 242550), ("floor", 237600, 247500), ("ceiling", 227700, 237600)],
)
def test_one_parallel_gives_an_interval_of_packs(rounding, low, high):
    """1:24 of 100 subjects numbered to 99, under three conventions of rounding."""
    packs = packs_of([(24, 9900)], rounding=rounding)
    assert (packs.low, packs.high) == pytest.approx((low, high), rel=1e-9)
    assert packs.estimate == pytest.approx((low + high) / 2, rel=1e-9)  # 237,600 where X is to the nearest


@pytest.mark.parametrize(
    ("one_in", "half_width"),
    [(5, 0.1), (12, 1 / 24), (24, 1 / 48), (96, 1 / 192), (240, 1 / 480), (2400, 1 / 4800)],
)
def test_rounding_leaves_half_over_x(one_in, half_width):
    """The relative half-width from rounding is 0.5 / X."""
    packs = packs_of([(one_in, 100)])
    assert (packs.high - packs.low) / (packs.high + packs.low) == pytest.approx(half_width, abs=1e-9)


def test_intervals_intersect_where_the_mean_of_the_points_does_not_lie():
    """Five parallels leave 239,950 to 240,050; the mean of their points, 241,420, is outside."""
    points = [one_in * copies for one_in, copies in FIVE_PARALLELS]
    assert points == [249500, 237600, 240000, 240000, 240000]
    assert sum(points) / 5 == 241420
    packs = packs_of(FIVE_PARALLELS)
    assert (packs.low, packs.high) == pytest.approx((239950, 240050), rel=1e-9)
    assert not packs.low <= 241420 <= packs.high


def test_least_squares_on_the_odds_gives_estimate_and_error():
    """Inverse-variance weights with rounding variance (copies)^2 / 12."""
    packs = packs_of(FIVE_PARALLELS)
    assert packs.estimate == pytest.approx(239999.7956713656, abs=1e-5)
    assert packs.error == pytest.approx(28.7000203184, abs=1e-5)


def test_boxes_and_cases_say_when_they_do_not_divide():
    """240,000 packs are 10,000 boxes of 24: 1,000 cases of 10, but no whole number of cases of 12."""
    twelve, ten = scarcity.boxes_from_packs(240000, 24, 12), scarcity.boxes_from_packs(240000, 24, 10)
    assert (twelve.boxes, ten.boxes, ten.cases) == (10000, 10000, 1000)
    assert twelve.cases == pytest.approx(833.3333333333, abs=1e-8)
    assert (twelve.remark, ten.remark) == ("10000 boxes do not fill cases of 12: 833.33 cases", "")


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
