"""Exact money: decimals in, half-up cents out."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

CENT = Decimal("0.01")
_PLAIN = re.compile(r"\d{1,9}(?:\.\d{1,4})?\Z", re.ASCII)
# how money of a currency is written before the amount; any other by its letters
_SIGNS = {"USD": "$", "EUR": "€", "GBP": "£", "JPY": "¥", "CAD": "C$", "AUD": "A$", "NZD": "NZ$"}
# money that has no smaller coin (ISO 4217)
_WHOLE = frozenset({"CLP", "ISK", "JPY", "KRW", "PYG", "UGX", "VND", "XAF", "XOF", "XPF"})
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


def told(amount: Decimal | Fraction, currency: str, *, whole: bool = False) -> str:
    """An amount with its currency, as it is said in a sentence: '$1,590.00', '¥17,800', 'SEK 120.00'.

    Parameters
    ----------
    currency : its three letters
    whole : without cents, halves up
    """
    sign = _SIGNS.get(currency, f"{currency} ")
    if whole or currency in _WHOLE:
        rounded = cents(Fraction(amount) / 100) * 100
        return f"{sign}{int(rounded):,}"
    return f"{sign}{show(amount)}"
