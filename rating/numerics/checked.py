"""Numbers as the kernels need them: each is checked once, and a wrong one is named with its value."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from numbers import Integral, Real

Number = int | float | Fraction | Decimal


def number(value: object, what: str) -> float:
    """The value as a finite float.

    Raises
    ------
    ValueError
        if it is text, true or false, missing, infinite or not a number
    """
    if isinstance(value, bool) or not isinstance(value, Real | Decimal):
        # One class of error for every bad input, so that callers need to know only one.
        raise ValueError(f"{what} must be a number, got {value!r}")  # noqa: TRY004  (a value was wrong, not a type of ours)
    try:
        found = float(value)
    except OverflowError:
        found = math.inf
    if not math.isfinite(found):
        raise ValueError(f"{what} must be a finite number, got {value!r}")
    return found


def positive(value: object, what: str) -> float:
    """The value as a float above 0; ValueError otherwise."""
    found = number(value, what)
    if found <= 0:
        raise ValueError(f"{what} must be above 0, got {value!r}")
    return found


def not_negative(value: object, what: str) -> float:
    """The value as a float of 0 or more; ValueError otherwise."""
    found = number(value, what)
    if found < 0:
        raise ValueError(f"{what} must not be below 0, got {value!r}")
    return found


def whole(value: object, what: str, *, least: int = 0) -> int:
    """The value as a whole number of at least `least`; 24.0 is whole, 24.5 is refused with ValueError."""
    found = int(value) if isinstance(value, Integral) and not isinstance(value, bool) else None
    if found is None:
        as_float = number(value, what)
        if not as_float.is_integer():
            raise ValueError(f"{what} must be a whole number, got {value!r}")
        found = int(as_float)
    if found < least:
        raise ValueError(f"{what} must be at least {least}, got {value!r}")
    return found


def odds(value: object) -> float:
    """X of odds 1:X as a float above 0; ValueError for 0, text, infinity and NaN."""
    return positive(value, "odds 1:X need an X that")


def chance_between(value: object, what: str = "a chance") -> float:
    """The value as a chance strictly between 0 and 1; ValueError otherwise."""
    found = number(value, what)
    if not 0 < found < 1:
        raise ValueError(f"{what} must lie between 0 and 1, both excluded, got {value!r}")
    return found


def as_written(value: Number, what: str) -> Fraction:
    """The value as the exact fraction that its digits say: 0.1 is one tenth, not its binary neighbour."""
    found = number(value, what)
    if isinstance(value, int | Fraction | Decimal):
        return Fraction(value)
    return Fraction(repr(found))
