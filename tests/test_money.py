"""Exact money: decimals in, half-up cents out."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating import money

amounts = st.fractions(-(10**9), 10**9, max_denominator=10**5)


@pytest.mark.parametrize(
    ("written", "amount"),
    [
        ("164.95", "164.95"),
        (" 4 ", "4"),
        ("0.001", "0.001"),
        ("999999999.9999", "999999999.9999"),
        ("007.50", "7.5"),
    ],
)
def test_plain_amounts_are_read_exactly(written, amount):
    """Digits, a point and up to four places."""
    assert money.read(written) == Decimal(amount)


@pytest.mark.parametrize(
    "written",
    [
        "",
        "-1",
        "+1",
        "1,5",
        "1.590,00",
        "1,590.00",
        "$5",
        "5 USD",
        "1e3",
        "NaN",
        "inf",
        ".5",
        "5.",
        "٣",
        "1_0",
        "1.23456",
        "1234567890",
    ],
)
def test_what_is_no_plain_amount_is_refused(written):
    """A comma may mean two things, so nothing is guessed."""
    with pytest.raises(ValueError, match="amount such as"):
        money.read(written)


@given(amounts)
def test_cents_of_a_fraction_agree_with_decimal(amount):
    """ROUND_HALF_UP of the decimal module at fifty digits."""
    with localcontext() as context:
        context.prec = 50
        exact = Decimal(amount.numerator) / Decimal(amount.denominator)
        expected = exact.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)
    assert money.cents(amount) == expected


@given(st.decimals(-(10**9), 10**9, allow_nan=False, places=5))
def test_cents_of_a_decimal_and_of_its_fraction_are_the_same(amount):
    """The kind of number makes no difference."""
    assert money.cents(amount) == money.cents(Fraction(amount))


@pytest.mark.parametrize(
    ("amount", "cents"),
    [("0.005", "0.01"), ("2.675", "2.68"), ("1.004999", "1.00"), ("-0.005", "-0.01"), ("3", "3.00")],
)
def test_half_a_cent_goes_up(amount, cents):
    """2.675 is the example of Python's documentation of round(), which gives 2.67 for the float."""
    assert str(money.cents(Decimal(amount))) == cents


@pytest.mark.parametrize(
    ("amount", "shown"),
    [("1590", "1,590.00"), ("0.005", "0.01"), ("1234567.894", "1,234,567.89"), ("-5.5", "-5.50")],
)
def test_an_amount_is_shown_with_two_places_and_thousands(amount, shown):
    """As people read it."""
    assert money.show(Decimal(amount)) == shown


def test_a_third_of_a_case_is_shown_in_cents():
    """A fraction shows like a decimal: 100/3 is 33.33."""
    assert money.show(Fraction(100, 3)) == "33.33"


@pytest.mark.parametrize(
    ("amount", "currency", "told"),
    [
        ("1590", "USD", "$1,590.00"),
        ("-5.5", "USD", "-$5.50"),
        ("-0.004", "EUR", "€0.00"),
        ("17800.5", "JPY", "¥17,801"),
        ("1590", "SEK", "1 590,00 kr"),
        ("-1234567.891", "PLN", "-1 234 567,89 zł"),
        ("1590.5", "DKK", "1.590,50 kr."),
        ("1234.5", "HUF", "1 235 Ft"),
        ("1590", "CHF", "CHF 1’590.00"),
        ("1234.5", "CLP", "CLP 1,235"),
        ("1590", "XYZ", "XYZ 1,590.00"),
    ],
)
def test_money_is_told_in_its_own_habit(amount, currency, told):
    """As the money is written at home; blanks do not break, so that an amount stays on one line."""
    assert money.told(Decimal(amount), currency) == told.replace(" ", "\u00a0")


def test_whole_amounts_are_told_without_cents():
    """Halves up, for estimates."""
    assert money.told(Decimal("82.5"), "USD", whole=True) == "$83"
    assert money.told(Decimal("1590.4"), "SEK", whole=True) == "1\u00a0590\u00a0kr"
