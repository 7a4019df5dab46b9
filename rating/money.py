"""Exact money: decimals in, half-up cents out."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction
from typing import NamedTuple

CENT = Decimal("0.01")
# how a text that is the same in every season names its amount
HUNDRED = "100 spent"
_PLAIN = re.compile(r"\d{1,9}(?:\.\d{1,4})?\Z", re.ASCII)
# a blank at which no line is broken
_BLANK = "\u00a0"


class _Habit(NamedTuple):
    """How money of a currency is written: signs before and behind, the marks of thousands and decimals."""

    before: str = ""
    behind: str = ""
    thousands: str = ","
    decimal: str = "."
    places: int = 2


def _letters(currency: str) -> _Habit:
    """Money of which no habit is known goes by its letters."""
    return _Habit(before=f"{currency}{_BLANK}", places=0 if currency in _WHOLE else 2)


# money that has no smaller coin (ISO 4217)
_WHOLE = frozenset({"CLP", "ISK", "JPY", "KRW", "PYG", "UGX", "VND", "XAF", "XOF", "XPF"})
_HABITS = {
    "USD": _Habit("$"),
    "EUR": _Habit("€"),
    "GBP": _Habit("£"),
    "CAD": _Habit("C$"),
    "AUD": _Habit("A$"),
    "NZD": _Habit("NZ$"),
    "JPY": _Habit("¥", places=0),
    "KRW": _Habit("₩", places=0),
    "SEK": _Habit(behind=f"{_BLANK}kr", thousands=_BLANK, decimal=","),
    "NOK": _Habit(behind=f"{_BLANK}kr", thousands=_BLANK, decimal=","),
    "DKK": _Habit(behind=f"{_BLANK}kr.", thousands=".", decimal=","),
    "ISK": _Habit(behind=f"{_BLANK}kr.", thousands=".", places=0),
    "PLN": _Habit(behind=f"{_BLANK}zł", thousands=_BLANK, decimal=","),
    "CZK": _Habit(behind=f"{_BLANK}Kč", thousands=_BLANK, decimal=","),
    "HUF": _Habit(behind=f"{_BLANK}Ft", thousands=_BLANK, places=0),
    "CHF": _Habit(f"CHF{_BLANK}", thousands="’"),
    "BRL": _Habit(f"R${_BLANK}", thousands=".", decimal=","),
    "ZAR": _Habit("R", thousands=_BLANK, decimal=","),
}
_WIDE = Context(prec=50, rounding=ROUND_HALF_UP)


def read(text: str) -> Decimal:
    """The amount that a tidy text such as '164.95' stands for.

    Raises
    ------
    ValueError
        if it is no plain amount with a point as its decimal mark
    """
    stripped = text.strip()
    if not _PLAIN.match(stripped):
        raise ValueError(f"{text!r} is not an amount such as 164.95")
    return Decimal(stripped)


def cents(amount: Decimal | Fraction) -> Decimal:
    """An amount in whole cents, halves up."""
    if isinstance(amount, Fraction):
        doubled = 200 * abs(amount.numerator)
        size = Decimal((doubled + amount.denominator) // (2 * amount.denominator)) / 100
        return (size if amount >= 0 else -size).quantize(CENT)
    return amount.quantize(CENT, context=_WIDE)


def show(amount: Decimal | Fraction) -> str:
    """An amount as people read it: two places and thousands marked, '1,590.00'."""
    return f"{cents(amount):,.2f}"


def in_currency(words: str, currency: str) -> str:
    """Words that rubrics and criteria say of '100 spent', whatever the money, with the amount: 'per $100'."""
    return words.replace(HUNDRED, told(Decimal(100), currency, whole=True))


def told(amount: Decimal | Fraction, currency: str, *, whole: bool = False) -> str:
    """An amount as it is written where its money is at home: '$1,590.00', '¥17,800', '1 590,00 kr', '-$5.00'.

    Blanks in it are such that no line is broken there.

    Parameters
    ----------
    currency : its three letters
    whole : without cents, halves up
    """
    habit = _HABITS.get(currency) or _letters(currency)
    places = 0 if whole else habit.places
    rounded = cents(amount) if places else cents(Fraction(amount) / 100) * 100
    number = f"{abs(rounded):,.{places}f}".translate({ord(","): habit.thousands, ord("."): habit.decimal})
    return f"{'-' if rounded < 0 else ''}{habit.before}{number}{habit.behind}"
