"""Exact tenths: grades and points are whole numbers of tenths, and text is made from integers.

A measure from floating arithmetic is told, stored and hashed in steps that no processor's last bits reach:
six digits (`six_digits`), or six places where next to nothing is 0 (`six_places`); whole numbers by
`nearest`, `whole_below` and `whole_above`. What is kept of the sample differs between kinds of processors by
less than a thousandth of these steps before they are taken.

`round()` and `%.1f` round halves to even, and to the binary neighbour at that, so no published number
goes through them. Halves are rounded up (away from zero for a negative change).
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Context, Decimal, DivisionByZero, InvalidOperation, Overflow
from fractions import Fraction

_TENTHS = re.compile(r"(\d{1,6})(?:[.,](\d))?0*\Z", re.ASCII)
_TENTH = Decimal("0.1")
# the last bits of floating arithmetic lie below these, so that an exact half goes one way everywhere
_SETTLED = Context(prec=12)
_NINE_PLACES = Decimal("1e-9")
_LAST_BITS = 1e-9
# no traps: a number too large for 28 digits becomes NaN, which equals nothing
_QUIET = Context(prec=28, traps=[])
# remainders nearer to each other than this are the same but for the noise of floats
_REMAINDER_PLACES = 10**9
_SIX_DIGITS = Context(prec=6, rounding=ROUND_HALF_EVEN)


def show(tenths: int) -> str:
    """A number of tenths as text with one place: 625 is '62.5', -5 is '-0.5'."""
    sign = "-" if tenths < 0 else ""
    whole, tenth = divmod(abs(tenths), 10)
    return f"{sign}{whole}.{tenth}"


def show_points(tenths: int) -> str:
    """Points as a person writes them: 130 is '13', 125 is '12.5'."""
    text = show(tenths)
    return text.removesuffix(".0")


def read(text: str) -> int:
    """The tenths that a text such as '12.5' or '12' stands for.

    Raises
    ------
    ValueError
        if it is no number of whole tenths from 0 up
    """
    match = _TENTHS.match(text.strip())
    if match is None:
        raise ValueError(f"{text!r} is not a number of whole tenths, such as 12 or 12.5")
    return int(match[1]) * 10 + int(match[2] or 0)


def from_decimal(number: Decimal) -> int:
    """The tenths of a decimal number that has at most one place.

    Raises
    ------
    ValueError
        if it has more places, is negative or is no number
    """
    if not number.is_finite() or number < 0 or number.quantize(_TENTH, context=_QUIET) != number:
        raise ValueError(f"{number} is not a number of whole tenths from 0 up")
    return int(number * 10)


def half_up(number: Fraction) -> int:
    """The nearest whole number, halves away from zero."""
    doubled = 2 * abs(number.numerator)
    size = (doubled + number.denominator) // (2 * number.denominator)
    return size if number >= 0 else -size


def shared_out(weights: Sequence[float | Fraction | Decimal], total: int = 1000) -> tuple[int, ...]:
    """Whole tenths in proportion to weights that sum to exactly `total`: by largest remainder.

    Parameters
    ----------
    weights : n numbers of any scale, from 0 up
    total : whole tenths; 1000 are 100 points

    Returns
    -------
    n whole tenths, each within one of its exact share; of equal remainders the first is rounded up

    Raises
    ------
    ValueError
        if a weight is negative or not finite, all are 0, or the total is negative
    """
    if not all(math.isfinite(weight) and weight >= 0 for weight in weights) or not any(weights):
        raise ValueError(f"weights must be finite, not negative and not all 0, got {list(map(str, weights))}")
    if total < 0:
        raise ValueError(f"a total is not negative, got {total}")
    exact = [Fraction(weight) for weight in weights]
    whole = sum(exact)
    # to nine places, so that equal weights stay equal where they came from floats
    quotas = [
        Fraction(half_up(weight * total / whole * _REMAINDER_PLACES), _REMAINDER_PLACES) for weight in exact
    ]
    parts = [math.floor(quota) for quota in quotas]
    by_remainder = sorted(range(len(parts)), key=lambda place: parts[place] - quotas[place])
    for place in by_remainder[: total - sum(parts)]:
        parts[place] += 1
    return tuple(parts)


def fixed(number: Fraction | Decimal | int, places: int = 2) -> str:
    """A number as text with so many places, halves up, made from whole numbers: 1/8 is '0.13'."""
    size = half_up(Fraction(number) * 10**places)
    whole, rest = divmod(abs(size), 10**places)
    sign = "-" if size < 0 else ""
    return f"{sign}{whole}.{rest:0{places}d}" if places else f"{sign}{whole}"


def about(number: Fraction | Decimal | int) -> str:
    """A large number as one says it, to three digits: 19,004 is '19,000'; below a thousand it stays whole."""
    whole = half_up(Fraction(number))
    step = 10 ** max(len(str(abs(whole))) - 3, 0)
    return f"{half_up(Fraction(whole, step)) * step:,}"


def percent(share: Fraction | Decimal) -> int:
    """A share as a whole number of hundredths, halves up: 1/8 is 13."""
    return half_up(Fraction(share) * 100)


# what is rarer nobody tells apart, and no model is that exact
_RAREST = Fraction(1, 1_000_000)
UNDER_THE_RAREST = "under 1 in a million"


def share(chance: Fraction | Decimal) -> str:
    """A chance as one says it: '63 %', '1 in 430', and neither 0 nor 100 % where it is not quite.

    From a twentieth up it is a percentage; below it is one in so many, down to one in a million.
    """
    exact = Fraction(chance)
    if exact in {0, 1}:
        return f"{int(exact) * 100} %"
    if exact >= Fraction(199, 200):
        return "over 99 %"
    if exact >= Fraction(1, 20):
        return f"{percent(exact)} %"
    return UNDER_THE_RAREST if exact < _RAREST else f"1 in {half_up(1 / exact):,}"


def share_in_places(chance: Decimal) -> str:
    """As `share`, of a chance kept in six places, of which 0 says no more than that it is smaller."""
    return share(chance) if chance else UNDER_THE_RAREST


# how decimals are reckoned everywhere, whatever a module of somebody else has set for itself
STANDARD = Context(
    prec=28,
    rounding=ROUND_HALF_EVEN,
    Emin=-999999,
    Emax=999999,
    capitals=1,
    clamp=0,
    flags=[],
    traps=[InvalidOperation, DivisionByZero, Overflow],
)


def six_digits(number: float | Fraction | Decimal) -> Decimal:
    """A measure as it is kept and scored from: six significant digits, as an exact decimal.

    Raises
    ------
    ValueError
        if it is NaN or infinite
    """
    if isinstance(number, Fraction):
        exact = Context(prec=40).divide(Decimal(number.numerator), Decimal(number.denominator))
    else:
        exact = settled(number) if isinstance(number, float) else Decimal(number)
    if not exact.is_finite():
        raise ValueError(f"a measure must be a finite number, got {number}")
    rounded = _SIX_DIGITS.plus(exact)
    return Decimal(plain(rounded))


def six_places(number: float | Fraction | Decimal) -> Decimal:
    """A chance or a count with at most six decimal places, so that next to nothing is 0."""
    exact = Decimal(number).quantize(_NINE_PLACES) if isinstance(number, float) else number
    return Decimal(plain(Decimal(half_up(Fraction(exact) * 10**6)) / 10**6))


def settled(number: float) -> Decimal:
    """A number without the last bits of floating arithmetic: twelve digits."""
    return _SETTLED.plus(Decimal(number))


def nearest(number: float) -> int:
    """The nearest whole number; what is a half but for its last bits goes up."""
    return math.floor(number + 0.5 + _hair(number))


def whole_below(number: float) -> int:
    """The whole number that is not above a number but for its last bits."""
    return math.floor(number + _hair(number))


def whole_above(number: float) -> int:
    """The whole number that is not below a number but for its last bits."""
    return math.ceil(number - _hair(number))


def _hair(number: float) -> float:
    return _LAST_BITS * max(1.0, abs(number))


def plain(number: Decimal) -> str:
    """A decimal without exponent or trailing zeros: Decimal('1E+2') is '100', '0.50' is '0.5'."""
    text = f"{number:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text
