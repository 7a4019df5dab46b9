"""Exact tenths: reading, showing, rounding halves up, and the published grade."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating import tenths
from rating.core.exact import grade_tenths, half_width_tenths

fractions = st.fractions(max_denominator=10**6).filter(lambda number: abs(number) < 10**9)
scored = st.lists(st.tuples(st.integers(0, 100), st.integers(0, 1000)), min_size=1, max_size=20)


def in_decimal(number: Fraction, step: str) -> Decimal:
    """The independent library: decimal's own rounding of an exact number of up to 60 digits."""
    with localcontext() as context:
        context.prec = 60
        exact = Decimal(number.numerator) / Decimal(number.denominator)
        return exact.quantize(Decimal(step), rounding=ROUND_HALF_UP)


@pytest.mark.parametrize(
    ("number", "shown"),
    [(0, "0.0"), (5, "0.5"), (-5, "-0.5"), (-10, "-1.0"), (625, "62.5"), (1000, "100.0"), (-1234, "-123.4")],
)
def test_tenths_are_shown_with_one_place(number, shown):
    """The text comes from the digits of the whole number, with its sign."""
    assert tenths.show(number) == shown


@given(st.integers(-(10**9), 10**9))
def test_shown_tenths_are_the_number_over_ten(number):
    """Decimal reads the text as exactly a tenth of the number."""
    assert Decimal(tenths.show(number)) * 10 == number
    assert len(tenths.show(number).split(".")[1]) == 1


@pytest.mark.parametrize(
    ("number", "shown"), [(130, "13"), (125, "12.5"), (0, "0"), (1000, "100"), (5, "0.5")]
)
def test_points_are_shown_as_a_person_writes_them(number, shown):
    """Whole points have no place after the mark."""
    assert tenths.show_points(number) == shown


@given(st.integers(0, 9_999_999))
def test_what_is_shown_is_read_back(number):
    """Showing and reading are each other's opposite."""
    assert tenths.read(tenths.show(number)) == number
    assert tenths.read(tenths.show_points(number)) == number


@pytest.mark.parametrize(
    ("written", "number"),
    [("12", 120), ("12.5", 125), ("12,5", 125), (" 7.50 ", 75), ("0.0", 0), ("12.500", 125)],
)
def test_points_are_read_as_people_write_them(written, number):
    """A comma, trailing zeros and blanks around make no difference."""
    assert tenths.read(written) == number


@pytest.mark.parametrize(
    "written",
    [
        "",
        " ",
        "-1",
        "12.55",
        "1e2",
        "nan",
        "inf",
        "1_000",
        "٣",
        "12.",
        ".5",
        "1,2,3",
        "12 5",
        "9999999",
        "+5",
        "0x1",
    ],
)
def test_what_is_no_number_of_tenths_is_refused(written):
    """A slip of the pen raises, with the text in the message."""
    with pytest.raises(ValueError, match="whole tenths"):
        tenths.read(written)


@pytest.mark.parametrize(
    ("number", "expected"), [("12", 120), ("12.5", 125), ("0", 0), ("1E+1", 100), ("12.50000", 125)]
)
def test_decimals_become_tenths(number, expected):
    """Exponents and trailing zeros change nothing."""
    assert tenths.from_decimal(Decimal(number)) == expected


@pytest.mark.parametrize(
    "number",
    ["12.55", "-0.1", "NaN", "sNaN", "Infinity", "1E-999999", f"12.5{'0' * 40}1", "0.05", "1E+70"],
)
def test_decimals_that_are_no_tenths_are_refused(number):
    """However far behind the mark the odd digit stands."""
    with pytest.raises(ValueError, match="whole tenths"):
        tenths.from_decimal(Decimal(number))


@given(fractions)
def test_half_up_agrees_with_decimal(number):
    """ROUND_HALF_UP of the decimal module rounds halves away from zero."""
    assert tenths.half_up(number) == in_decimal(number, "1")


@given(st.integers(-(10**12), 10**12))
def test_an_exact_half_goes_away_from_zero(whole):
    """The case in which round() goes to the even number."""
    number = Fraction(2 * whole + 1, 2)
    expected = whole + 1 if whole >= 0 else whole
    assert tenths.half_up(number) == expected


@given(fractions, st.integers(0, 6))
def test_fixed_places_agree_with_decimal(number, places):
    """The text has exactly so many places and the digits of decimal's own rounding; no '-0.00'."""
    rounded = in_decimal(number, f"1E-{places}")
    expected = f"{rounded:f}" if rounded else f"{abs(rounded):f}"
    assert tenths.fixed(number, places) == expected


@given(st.fractions(0, 10, max_denominator=1000))
def test_a_share_in_hundredths_agrees_with_decimal(share):
    """1/8 is 13 per cent, as half up says."""
    assert tenths.percent(share) == in_decimal(share * 100, "1")


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**15), max_value=10**15))
def test_a_measure_keeps_six_digits(number):
    """Six significant digits, as decimal's own context of precision six gives."""
    with localcontext() as context:
        context.prec, context.rounding = 6, ROUND_HALF_EVEN
        expected = +number
    assert tenths.six_digits(number) == expected


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=1e-6, max_value=1e12))
def test_a_float_is_kept_to_a_millionth_of_itself(number):
    """Half a unit in the sixth digit is at most 5e-6 of the number."""
    kept = tenths.six_digits(number)
    assert abs(Fraction(kept) - Fraction(number)) <= Fraction(number) * Fraction(5, 10**6)
    assert len(kept.normalize().as_tuple().digits) <= 6


@pytest.mark.parametrize("number", [float("nan"), float("inf"), Decimal("NaN"), Decimal("-Infinity")])
def test_a_measure_must_be_finite(number):
    """NaN and infinity raise."""
    with pytest.raises(ValueError, match="finite"):
        tenths.six_digits(number)


@pytest.mark.parametrize(
    ("number", "shown"), [("1E+2", "100"), ("0.50", "0.5"), ("-0", "0"), ("-0.0", "0"), ("1E-7", "0.0000001")]
)
def test_a_plain_decimal_has_no_exponent(number, shown):
    """Nor trailing zeros, nor a negative nought."""
    assert tenths.plain(Decimal(number)) == shown


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**9), max_value=10**9, places=8))
def test_a_plain_decimal_is_the_same_number(number):
    """Only the way of writing changes."""
    assert Decimal(tenths.plain(number)) == number


@given(scored)
def test_a_grade_is_the_exact_mean_rounded_half_up(pairs):
    """(20 N + D) // (2 D) against the mean as a fraction, rounded by the decimal module."""
    scores, weights = zip(*pairs, strict=True)
    total = sum(weights)
    if total == 0:
        assert grade_tenths(scores, weights) is None
        return
    mean = Fraction(sum(w * s for s, w in pairs), total)
    assert grade_tenths(scores, weights) == int(in_decimal(mean * 10, "1"))
    weighted = sum(w * s for s, w in pairs)
    assert grade_tenths(scores, weights) == (20 * weighted + total) // (2 * total)


def test_a_grade_on_an_exact_half_goes_up_where_round_would_not():
    """62 and 63 weighed 11 to 9 give 62.45, hence 62.5; 0 and 1 weighed 95 to 5 give 0.05, hence 0.1."""
    assert grade_tenths([62, 63], [11, 9]) == 625
    assert grade_tenths([0, 1], [95, 5]) == 1
    assert Decimal("0.05").quantize(Decimal("0.1"), rounding=ROUND_HALF_EVEN) == 0


@given(scored, st.integers(1, 50))
def test_only_the_ratio_of_weights_matters(pairs, factor):
    """Multiplying all weights by a whole number changes no grade."""
    scores, weights = zip(*pairs, strict=True)
    assert grade_tenths(scores, [w * factor for w in weights]) == grade_tenths(scores, weights)


@given(scored, st.data())
def test_a_better_score_never_lowers_a_grade(pairs, data):
    """Raising one score, whichever it is, leaves the grade or lifts it."""
    scores, weights = map(list, zip(*pairs, strict=True))
    place = data.draw(st.integers(0, len(scores) - 1))
    before = grade_tenths(scores, weights)
    scores[place] = data.draw(st.integers(scores[place], 100))
    after = grade_tenths(scores, weights)
    assert (before is None and after is None) or after >= before


@given(scored, st.randoms())
def test_the_order_of_criteria_is_irrelevant(pairs, order):
    """Whole numbers add up alike in any order, where floats would not."""
    shuffled = list(pairs)
    order.shuffle(shuffled)
    assert grade_tenths(*zip(*shuffled, strict=True)) == grade_tenths(*zip(*pairs, strict=True))


@given(st.lists(st.tuples(st.integers(0, 50), st.integers(0, 500)), min_size=1, max_size=12))
def test_a_half_width_agrees_with_fifty_digits(pairs):
    """10 √(Σ(w s)²) / D by decimal's square root, halves up."""
    spreads, weights = zip(*pairs, strict=True)
    total = sum(weights)
    if total == 0:
        assert half_width_tenths(spreads, weights) is None
        return
    with localcontext() as context:
        context.prec = 50
        root = Decimal(sum((w * s) ** 2 for s, w in pairs)).sqrt()
        expected = (10 * root / total).quantize(Decimal(1), rounding=ROUND_HALF_UP)
    assert half_width_tenths(spreads, weights) == int(expected)


def test_a_half_width_adds_spreads_in_quadrature():
    """sqrt((3*4)^2 + (4*4)^2) / 7 = 20/7, 2.9; one criterion keeps its spread; no spread, no width."""
    assert half_width_tenths([4, 4], [3, 4]) == 29
    assert half_width_tenths([6], [125]) == 60
    assert half_width_tenths([0, 0], [1, 2]) == 0


@given(
    st.lists(st.tuples(st.integers(0, 50), st.integers(1, 200)), min_size=1, max_size=14),
    st.integers(1, 9),
    st.randoms(),
)
def test_a_half_width_knows_neither_order_nor_size_of_weights(pairs, factor, order):
    """The same width in any order and at any scale; never above the widest spread."""
    width = half_width_tenths([s for s, _ in pairs], [w for _, w in pairs])
    shuffled = list(pairs)
    order.shuffle(shuffled)
    assert half_width_tenths([s for s, _ in shuffled], [w * factor for _, w in shuffled]) == width
    assert 0 <= width <= 10 * max(s for s, _ in pairs)


@pytest.mark.parametrize(
    ("chance", "said"),
    [
        ("0", "0 %"),
        ("1", "100 %"),
        ("0.999999", "over 99 %"),
        ("0.995", "over 99 %"),
        ("0.994", "99 %"),
        ("0.625", "63 %"),
        ("0.05", "5 %"),
        ("0.0499", "1 in 20"),
        ("0.000345", "1 in 2,899"),
        ("0.000001", "1 in 1,000,000"),
        ("0.00000099", "under 1 in a million"),
    ],
)
def test_a_chance_is_said_as_people_say_it(chance, said):
    """In hundredths, or one in so many; the ends are kept for what is certain."""
    assert tenths.share(Decimal(chance)) == said


@pytest.mark.parametrize(
    ("number", "expected"),
    [
        (1e-17, "0"),
        (-1e-17, "0"),
        (0.1, "0.1"),
        (Fraction(1, 3), "0.333333"),
        (Fraction(-2, 3), "-0.666667"),
        (12, "12"),
    ],
)
def test_a_chance_keeps_six_places(number, expected):
    """So that next to nothing is 0, without a sign."""
    assert str(tenths.six_places(number)) == expected


@given(
    st.lists(st.floats(0, 1e12) | st.fractions(0, 1000) | st.decimals(0, 1000, places=3), min_size=1).filter(
        any
    ),
    st.integers(0, 3000),
)
def test_tenths_sum_exactly_and_are_within_one_of_their_share(given_weights, total):
    """What largest remainder promises."""
    found = tenths.shared_out(given_weights, total)
    assert sum(found) == total
    whole = sum(map(Fraction, given_weights))
    for one, weight in zip(found, given_weights, strict=True):
        assert abs(one - Fraction(weight) * total / whole) < 1
        assert one >= 0


@pytest.mark.parametrize(
    ("given_weights", "expected"),
    [
        ([1, 1, 1], (334, 333, 333)),
        ([Fraction(1, 7)] * 7, (143,) * 6 + (142,)),
        ([0.1 + 0.2, 0.3, 0.3], (334, 333, 333)),
        ([0.3, 0.1 + 0.2, 0.3], (334, 333, 333)),
        ([Decimal("12.5"), Decimal("37.5"), 50], (125, 375, 500)),
        ([0, 5], (0, 1000)),
        ([1e-320, 1e-320], (500, 500)),
    ],
)
def test_the_first_of_equal_remainders_is_rounded_up(given_weights, expected):
    """Equal but for the noise of floats too: 0.1 + 0.2 is no more than 0.3."""
    assert tenths.shared_out(given_weights) == expected


@pytest.mark.parametrize("given_weights", [[], [0, 0], [-1, 2], [math.nan, 1], [math.inf], [Decimal("NaN")]])
def test_no_points_come_from_what_are_no_weights(given_weights):
    """Negative, not finite, all 0 or none at all."""
    with pytest.raises(ValueError, match="weights must be finite"):
        tenths.shared_out(given_weights)
    with pytest.raises(ValueError, match="a total is not negative"):
        tenths.shared_out([1], -1)


@pytest.mark.parametrize("number", [0.001953125, 12.34565, 7.0000005, 1234.5675])
def test_last_bits_decide_no_half(number):
    """A number whose next digit is a five is kept as one whatever the last bits of a float say."""
    bits = [number * (1 + k * 2.0**-52) for k in range(-8, 9)]
    assert len({tenths.six_digits(one) for one in bits}) == 1
    assert len({tenths.six_places(one) for one in bits}) == 1
    assert len({tenths.settled(one) for one in bits}) == 1


def test_last_bits_decide_no_whole_number():
    """87,000 and a half of it, as products of floats that end a little lower or higher."""
    for bits in (-9e-12, 0.0, 9e-12):
        assert tenths.nearest(86999.5 + bits) == 87000
        assert tenths.whole_below(87000 + bits) == 87000
        assert tenths.whole_above(87000 + bits) == 87000
    assert (tenths.nearest(2.49), tenths.whole_below(2.99), tenths.whole_above(2.01)) == (2, 2, 3)


def test_a_chance_kept_as_zero_is_told_as_under_one_in_a_million():
    """Six places know no more than that."""
    assert tenths.share_in_places(Decimal(0)) == "under 1 in a million"
    assert tenths.share_in_places(Decimal("0.000002")) == "1 in 500,000"
