"""Odds as they are printed: what the true X of 1:X can be, and how many copies a pack that makes.

Without arrays, so that a look-up need load none.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from rating.numerics.checked import as_written, number, odds

Rounding = Literal["nearest", "floor", "ceiling"]

# What the true X can be, relative to the printed one.
_LEEWAY: dict[str, tuple[Fraction, Fraction]] = {
    "nearest": (Fraction(-1, 2), Fraction(1, 2)),
    "floor": (Fraction(0), Fraction(1)),
    "ceiling": (Fraction(-1), Fraction(0)),
}


def leeway(rounding: str) -> tuple[Fraction, Fraction]:
    """How far the true X can lie below and above the printed one; ValueError for an unknown rounding."""
    if rounding not in _LEEWAY:
        raise ValueError(f"rounding is one of {', '.join(_LEEWAY)}, got {rounding!r}")
    return _LEEWAY[rounding]


def odds_interval(one_in: float, rounding: Rounding = "nearest") -> tuple[float, float]:
    """The lowest and highest true X that print as the stated one; never below 0."""
    low, high = leeway(rounding)
    stated = stated_exactly(one_in)
    return float(max(Fraction(0), stated + low)), float(stated + high)


def stated_exactly(one_in: float) -> Fraction:
    """X as its digits say it; ValueError where it cannot be the X of odds."""
    odds(one_in)
    return as_written(one_in, "odds")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """Copies of a line in a pack, and between which ends it lies; `high` is infinite where odds set none."""

    low: float
    estimate: float
    high: float


def rate_by_odds(one_in: float, rounding: Rounding = "nearest") -> Rate:
    """Copies a pack by stated odds alone, which are known to their rounding."""
    x_low, x_high = odds_interval(odds(one_in), rounding)
    middle = float(sum(leeway(rounding))) / 2
    return Rate(
        low=1 / x_high,
        estimate=1 / (number(one_in, "odds") + middle),
        high=1 / x_low if x_low > 0 else math.inf,
    )
