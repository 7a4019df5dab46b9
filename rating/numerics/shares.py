"""Slots of a break as numbers: tiers by natural breaks, shares of a cost that sum exactly, concentration."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

import numpy as np

from rating.numerics.checked import Number, as_written, number, whole


@dataclass(frozen=True, slots=True, kw_only=True)
class Tiers:
    """Values in tiers, 0 the highest.

    tier
        of each value, in the order given
    lowest
        the least value of each tier, from the highest tier down
    fit
        goodness of variance fit, 0 to 1: the share of all squared deviations that the tiers explain; it rises
        with their number, so it cannot choose it
    """

    tier: tuple[int, ...]
    lowest: tuple[float, ...]
    fit: float


def tiers(values: Sequence[Number], count: int) -> Tiers:
    """The values in so many tiers of least squared deviation (Fisher-Jenks natural breaks).

    There are never more tiers than different values, and equal values share a tier. All values equal are one
    tier, which explains all there is.

    Raises
    ------
    ValueError
        without values, for one that is no finite number, or for fewer than one tier

    References
    ----------
    Fisher (1958), On grouping for maximum homogeneity, JASA 53, 789-798; Jenks (1967).
    """
    given = [number(value, "a value") for value in values]
    if not given:
        raise ValueError("no values: there is nothing to put into tiers")
    # the breaks are looked for from 0 to 1, where squares keep their digits
    lowest, width = min(given), max(given) / 2 - min(given) / 2
    scaled = [(value / 2 - lowest / 2) / width if width else 0.0 for value in given]
    upper = _upper_ends(scaled, whole(count, "the number of tiers", least=1))
    # the first bound that a value does not exceed; the bounds rise and the last is the greatest value
    rising = [int(np.searchsorted(upper, value)) for value in scaled]
    groups = [[v for v, place in zip(scaled, rising, strict=True) if place == k] for k in range(len(upper))]
    whole_spread = _squares([scaled])
    return Tiers(
        tier=tuple(len(upper) - 1 - place for place in rising),
        lowest=tuple(
            min(value for value, place in zip(given, rising, strict=True) if place == k)
            for k in reversed(range(len(upper)))
        ),
        fit=1 - _squares(groups) / whole_spread if whole_spread else 1.0,
    )


def _upper_ends(values: Sequence[float], count: int) -> list[float]:
    """The greatest value of each tier, rising; fewer than asked for where fewer values differ."""
    different = sorted(set(values))
    if count >= len(different):
        return different
    if count == 1:
        return different[-1:]
    import jenkspy

    return [float(end) for end in jenkspy.jenks_breaks(values, n_classes=count)[1:]]


def _squares(groups: Sequence[Sequence[float]]) -> float:
    """The squared deviations of all values from the means of their groups."""
    return math.fsum(
        (value - math.fsum(group) / len(group)) ** 2 for group in groups if group for value in group
    )


def cost_shares(values: Sequence[Number], total: Number, places: int = 2) -> tuple[Decimal, ...]:
    """Each value's share of a cost in whole steps of so many decimal places, re-summing exactly to the cost.

    Every share is rounded down, and what is left goes step by step to the largest remainders (Hamilton), of
    equal ones to the first.

    Raises
    ------
    ValueError
        for values below 0 or all 0, a cost below 0 or with more places than asked for

    References
    ----------
    Balinski and Young (1982), Fair Representation, on the method of largest remainders.
    """
    each = [as_written(value, "a value") for value in values]
    if any(one < 0 for one in each):
        raise ValueError(f"values must not be below 0, got {float(min(each)):g}")
    whole_value = sum(each, Fraction(0))
    if not whole_value:
        raise ValueError("all values are 0, so no share of a cost follows from them")
    unit = Fraction(1, 10 ** whole(places, "places"))
    steps = as_written(total, "a cost") / unit
    if steps < 0 or steps.denominator != 1:
        raise ValueError(f"a cost is from 0 up with at most {places} places, got {total}")
    exact = [one * steps / whole_value for one in each]
    down = [math.floor(one) for one in exact]
    left = int(steps) - sum(down)
    order = sorted(range(len(each)), key=lambda i: (-(exact[i] - down[i]), i))
    for i in order[:left]:
        down[i] += 1
    return tuple(Decimal(one).scaleb(-places) for one in down)


@dataclass(frozen=True, slots=True, kw_only=True)
class Concentration:
    """How much of the whole hangs on a few: Herfindahl index 0 to 10,000, and Gini coefficient 0 to 1."""

    herfindahl: float
    gini: float


def concentration(values: Sequence[Number]) -> Concentration:
    """The concentration of values from 0 up, by squared percentage shares and by mean absolute difference.

    Raises
    ------
    ValueError
        without values, for one below 0, or where all are 0

    References
    ----------
    US Department of Justice and FTC (2010), Horizontal Merger Guidelines, 5.3; Gini (1912).
    """
    each = sorted(number(value, "a value") for value in values)
    if not each:
        raise ValueError("no values: there is nothing to concentrate")
    if each[0] < 0:
        raise ValueError(f"values must not be below 0, got {each[0]:g}")
    total = math.fsum(each)
    if not total:
        raise ValueError("all values are 0, so nothing is concentrated")
    n = len(each)
    ranked = math.fsum((2 * i - n - 1) * value for i, value in enumerate(each, start=1))
    return Concentration(
        herfindahl=math.fsum((100 * value / total) ** 2 for value in each), gini=ranked / (n * total)
    )
