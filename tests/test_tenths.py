"""Exact tenths: reading, showing, sharing out and rounding halves up."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating import tenths

fractions = st.fractions(max_denominator=10**6).filter(lambda number: abs(number) < 10**9)


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
