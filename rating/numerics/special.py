"""The few functions of statistics that everyday commands ask for, without scipy.

`scipy.special` takes longer to load than most releases take to reckon; what is asked for is the normal law,
which Python's own library knows, and one quantile of Student's t.
"""

from __future__ import annotations

import math
from functools import cache
from statistics import NormalDist
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

Floats: TypeAlias = npt.NDArray[np.float64]

_ERFC = np.frompyfunc(math.erfc, 1, 1)
_NORMAL = NormalDist()
_QUANTILE = np.frompyfunc(_NORMAL.inv_cdf, 1, 1)
# from here down the normal law is taken from its continued fraction, before the error function underflows
_FAR = -12.0
_TERMS = 40
# of the rule of Gauss and Legendre, and until the bits of a float are used up
_NODES, _HALVINGS = 40, 60


def ndtr(z: Floats) -> Floats:
    """The chance that a standard normal value is at most z."""
    return np.asarray(0.5 * _ERFC(np.multiply(z, -math.sqrt(0.5))), dtype=np.float64)


def ndtri(chances: Floats) -> Floats:
    """The value that a standard normal one is at most with a chance strictly between 0 and 1.

    Wichura (1988), Applied Statistics 37, 477-484, algorithm AS 241.
    """
    return np.asarray(_QUANTILE(chances), dtype=np.float64)


def log_ndtr(z: Floats) -> Floats:
    """The logarithm of the chance that a standard normal value is at most z, however small.

    Far below 0 by the continued fraction of Laplace, Abramowitz and Stegun (1964), 26.2.14.
    """
    near = np.log(ndtr(np.maximum(z, _FAR)))
    below = np.minimum(z, _FAR)
    fraction = np.zeros_like(below)
    for k in range(_TERMS, 0, -1):
        fraction = k / (fraction - below)
    far = -0.5 * below**2 - 0.5 * math.log(2 * math.pi) - np.log(fraction - below)
    return np.where(np.asarray(z) < _FAR, far, near)


@cache
def student_quantile(chance: float, freedom: float) -> float:
    """The value that one of Student's t is at most, with a chance above a half and below 1.

    With t = tan(angle) sqrt(freedom) the chance of 0 to t is a share of the integral of cos^(freedom - 1) up
    to the angle, which is smooth: the rule of Gauss and Legendre gives all its digits, and bisection says
    where it is reached.

    Parameters
    ----------
    freedom : at least 1, whole or not
    """
    if not 0.5 <= chance < 1 or freedom < 1:
        raise ValueError(
            f"a chance from a half to below 1, and freedom from 1 up, not {chance} and {freedom}"
        )
    nodes, weights = np.polynomial.legendre.leggauss(_NODES)
    log_all = 0.5 * math.log(math.pi) + math.lgamma(freedom / 2) - math.lgamma((freedom + 1) / 2)

    def reached(angle: float) -> float:
        half = angle / 2
        logs = (freedom - 1) * np.log(np.cos(half * (nodes + 1)))
        return half * float(weights @ np.exp(logs - log_all))

    low, high = 0.0, 1 / math.sqrt(freedom + 1)
    while high < math.pi / 2 and reached(high) < chance - 0.5:
        low, high = high, min(2 * high, math.pi / 2)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if reached(middle) < chance - 0.5 else (low, middle)
    return math.tan((low + high) / 2) * math.sqrt(freedom)


def poisson_end(mean: float, tail: float) -> int:
    """The least number that a Poisson count exceeds with at most a chance, which is far below a half."""
    if not mean:
        return 0
    start = math.floor(mean)
    more = np.arange(start + 1, start + _room(mean))
    first = start * math.log(mean) - mean - math.lgamma(start + 1)
    return start + _seldom_passed(first, np.log(mean / more), tail)


def binomial_end(trials: int, chance: float, tail: float) -> int:
    """The least number that a binomial count exceeds with at most a chance, which is far below a half."""
    if chance in {0, 1}:
        return int(trials * chance)
    mean = trials * chance
    start = min(trials, math.floor(mean))
    more = np.arange(start + 1, min(trials + 1, start + _room(mean)))
    ways = math.lgamma(trials + 1) - math.lgamma(start + 1) - math.lgamma(trials - start + 1)
    first = ways + start * math.log(chance) + (trials - start) * math.log1p(-chance)
    odds = chance / (1 - chance)
    return start + _seldom_passed(first, np.log((trials - more + 1) / more * odds), tail)


def _room(mean: float) -> int:
    """So many numbers from the mean up hold all that is not vanishing."""
    return 70 + math.ceil(10 * math.sqrt(mean))


def _seldom_passed(first: float, ratios: Floats, tail: float) -> int:
    """How far above a first number the chances of more sum to at most the tail.

    Parameters
    ----------
    first : the logarithm of its chance
    ratios : (k,) logarithms of each further chance over the one before
    """
    chances = np.exp(first + np.cumsum(ratios))
    beyond = np.append(np.cumsum(chances[::-1])[::-1], 0.0)
    return int(np.argmax(beyond <= tail))
