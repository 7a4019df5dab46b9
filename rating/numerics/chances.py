"""Chances of pulling something: from odds, from guaranteed cards, from boxes really opened.

Packs are independent of each other (`none_in_packs`, `hit_counts`) or leave a finite run for good
(`counts_in_run`). Sums have only positive terms, so nothing cancels.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import NormalDist
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rating.numerics.checked import (
    Number,
    chance_between,
    not_negative,
    number,
    odds,
    positive,
    whole,
)
from rating.numerics.rates import Rounding, odds_interval

Array = NDArray[np.float64]
Verdict = Literal["fits", "differs", "too few to tell"]

# Outcomes this close in probability count as equally likely, as in R and scipy.
_AS_LIKELY = math.log1p(1e-7)


def _per_pack(one_in: float) -> float:
    """X of 1:X where it is a chance per pack; ValueError for less than one pack a copy."""
    found = odds(one_in)
    if found < 1:
        raise ValueError(f"odds of 1:{found:g} are more than one a pack, so they are a count and no chance")
    return found


def none_in_packs(one_in: float, packs: int) -> float:
    """Chance of none in a number of packs at odds of 1:X, independent packs assumed; good however small."""
    each, count = _per_pack(one_in), whole(packs, "packs")
    if each == 1:
        return float(count == 0)
    return math.exp(count * math.log1p(-1 / each))


def _run(run: int, hits: int, opened: int) -> tuple[int, int, int]:
    total = whole(run, "the run", least=1)
    marked, taken = whole(hits, "hits"), whole(opened, "the number drawn")
    if marked > total:
        raise ValueError(f"{marked} hits cannot be among {total}")
    if taken > total:
        raise ValueError(f"{taken} cannot be drawn from {total}")
    return total, marked, taken


def counts_in_run(run: int, hits: int, opened: int) -> Array:
    """Chances of 0, 1, 2, … hits when `opened` are drawn from a finite run (hypergeometric).

    Returns
    -------
    array of shape (min(hits, opened) + 1,), summing to 1
    """
    total, marked, taken = _run(run, hits, opened)
    most, least = min(marked, taken), max(0, marked + taken - total)
    k = np.arange(least, most, dtype=float)
    # Ratio of each chance to the one before it; the products start at the mode, so none overflows.
    ratio = np.log((marked - k) * (taken - k)) - np.log((k + 1) * (total - marked - taken + k + 1))
    heights = np.concatenate([[0.0], np.cumsum(ratio)])
    heights = np.exp(heights - heights.max())
    counts = np.zeros(most + 1)
    counts[least:] = heights / math.fsum(heights)
    return counts


def hit_counts(probabilities: Iterable[Number]) -> Array:
    """Chances of 0, 1, 2, … hits in independent draws that each have a chance of their own.

    The Poisson-binomial distribution by convolution: all terms are positive, so each chance is good to about
    n roundings. Chances given as fractions are multiplied exactly and rounded once.

    Parameters
    ----------
    probabilities : n chances, each in [0, 1]

    Returns
    -------
    array of shape (n + 1,), summing to 1

    References
    ----------
    Hong (2013), Computational Statistics and Data Analysis 59, 41-51.
    """
    given = list(probabilities)
    chances = [number(p, "a probability") for p in given]
    for p in chances:
        if not 0 <= p <= 1:
            raise ValueError(f"a probability must lie in 0 to 1, got {p!r}")
    fractions = [Fraction(p) for p in given if isinstance(p, Fraction | int)]
    if fractions and len(fractions) == len(given):
        exact = [Fraction(1)]
        for hit in fractions:
            missed, struck = [each * (1 - hit) for each in exact], [each * hit for each in exact]
            exact = [a + b for a, b in zip([*missed, Fraction(0)], [Fraction(0), *struck], strict=True)]
        return np.array([float(each) for each in exact])
    parts = [np.array([1 - p, p]) for p in chances] or [np.ones(1)]
    while len(parts) > 1:
        pairs = [np.convolve(a, b) for a, b in zip(parts[::2], parts[1::2], strict=False)]
        parts = pairs + ([parts[-1]] if len(parts) % 2 else [])
    return parts[0]


# Boxes really opened


def _hits(hits: int, packs: int) -> tuple[int, int]:
    total = whole(packs, "packs", least=1)
    seen = whole(hits, "hits")
    if seen > total:
        raise ValueError(f"{seen} hits cannot come from {total} packs with at most one each")
    return seen, total


def _confidence(confidence: float) -> float:
    return chance_between(confidence, "a confidence level")


def _first(holds: Callable[[int], bool], low: int, high: int) -> int:
    """The first number in low to high, high excluded, from which on the test holds; high if it never does."""
    while low < high:
        middle = (low + high) // 2
        if holds(middle):
            high = middle
        else:
            low = middle + 1
    return low


def binomial_p(hits: int, packs: int, chance: float) -> float:
    """Two-sided p-value of the exact binomial test: the chance of a count no likelier than the one seen.

    Parameters
    ----------
    hits : counted, at most one a pack
    packs : opened
    chance : stated, per pack, strictly between 0 and 1
    """
    from scipy.special import bdtr, bdtrc  # takes longer to load than most releases to work out

    seen, total = _hits(hits, packs)
    p = chance_between(chance, "a stated chance")
    odds_on = math.log(p) - math.log1p(-p)
    top = math.lgamma(total + 1)

    def height(k: int) -> float:
        return top - math.lgamma(k + 1) - math.lgamma(total - k + 1) + k * odds_on

    mode = min(total, math.floor((total + 1) * p))
    if height(seen) >= height(mode) - _AS_LIKELY:
        return 1.0
    if seen < mode:
        other = _first(lambda k: height(k) <= height(seen) + _AS_LIKELY, mode, total + 1)
        beyond = float(bdtrc(other - 1, total, p)) if other <= total else 0.0
        return min(1.0, float(bdtr(seen, total, p)) + beyond)
    other = _first(lambda k: height(mode - k) <= height(seen) + _AS_LIKELY, 0, mode + 1)
    low = mode - other
    beyond = float(bdtr(low, total, p)) if low >= 0 else 0.0
    return min(1.0, float(bdtrc(seen - 1, total, p)) + beyond)


def poisson_p(hits: int, expected: float) -> float:
    """Two-sided p-value of the exact Poisson test, for lines that can fall more than once a pack.

    Parameters
    ----------
    hits : counted
    expected : packs / X, above 0
    """
    from scipy.special import pdtr, pdtrc  # takes longer to load than most releases to work out

    seen, mean = whole(hits, "hits"), positive(expected, "the expected count")
    log_mean = math.log(mean)

    def height(k: int) -> float:
        return k * log_mean - math.lgamma(k + 1)

    mode = math.floor(mean)
    if height(seen) >= height(mode) - _AS_LIKELY:
        return 1.0
    if seen < mode:
        far = mode + 1
        while height(far) > height(seen) + _AS_LIKELY:
            far *= 2
        other = _first(lambda k: height(k) <= height(seen) + _AS_LIKELY, mode, far)
        return min(1.0, float(pdtr(seen, mean)) + float(pdtrc(other - 1, mean)))
    low = mode - _first(lambda k: height(mode - k) <= height(seen) + _AS_LIKELY, 0, mode + 1)
    beyond = float(pdtr(low, mean)) if low >= 0 else 0.0
    return min(1.0, float(pdtrc(seen - 1, mean)) + beyond)


def clopper_pearson(hits: int, packs: int, confidence: float = 0.95) -> tuple[float, float]:
    """Exact two-sided interval for the chance per pack.

    Clopper and Pearson (1934), Biometrika 26, 404-413.
    """
    from scipy.special import betaincinv

    seen, total = _hits(hits, packs)
    tail = (1 - _confidence(confidence)) / 2
    low = float(betaincinv(seen, total - seen + 1, tail)) if seen else 0.0
    high = float(betaincinv(seen + 1, total - seen, 1 - tail)) if seen < total else 1.0
    return low, high


def wilson(hits: int, packs: int, confidence: float = 0.95) -> tuple[float, float]:
    """Score interval for the chance per pack, without continuity correction.

    Wilson (1927); method 3 of Newcombe (1998), Statistics in Medicine 17, 857-872.
    """
    seen, total = _hits(hits, packs)
    z = -NormalDist().inv_cdf((1 - _confidence(confidence)) / 2)
    middle = seen + z * z / 2
    half = z * math.sqrt(seen * (total - seen) / total + z * z / 4)
    span = total + z * z
    # At the ends the two parts are equal, and their difference would be a rounding error.
    low = 0.0 if seen == 0 else (middle - half) / span
    high = 1.0 if seen == total else (middle + half) / span
    return low, high


def garwood(hits: int, confidence: float = 0.95) -> tuple[float, float]:
    """Exact two-sided interval for an expected (Poisson) count. Garwood (1936), Biometrika 28, 437-442."""
    from scipy.special import gammaincinv

    seen = whole(hits, "hits")
    tail = (1 - _confidence(confidence)) / 2
    return float(gammaincinv(seen, tail)) if seen else 0.0, float(gammaincinv(seen + 1, 1 - tail))


def holm(p_values: Sequence[float]) -> list[float]:
    """The p-values adjusted for their number, in the order given.

    Holm (1979), Scandinavian Journal of Statistics 6, 65-70.
    """
    values = [not_negative(p, "a p-value") for p in p_values]
    if any(p > 1 for p in values):
        raise ValueError(f"a p-value must not be above 1, got {max(values)!r}")
    adjusted = [0.0] * len(values)
    highest = 0.0
    for rank, i in enumerate(sorted(range(len(values)), key=values.__getitem__)):
        highest = max(highest, min(1.0, (len(values) - rank) * values[i]))
        adjusted[i] = highest
    return adjusted


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """One line of boxes really opened, against its stated odds.

    `tested` is the X that was tested: of those that print as `one_in`, the one nearest to what was seen.
    `exact` and `wilson` are intervals of the hits per pack; `wilson` is None where a line can fall more than
    once a pack. `adjusted` is the p-value after Holm, on which the verdict rests.
    """

    hits: int
    packs: int
    one_in: float
    tested: float
    expected: float
    p: float
    adjusted: float
    exact: tuple[float, float]
    wilson: tuple[float, float] | None
    verdict: Verdict


def _nearest_odds(hits: int, packs: int, one_in: float, rounding: Rounding | None) -> float:
    """Of the X that print as the stated one, the nearest to packs / hits; the stated one without rounding."""
    if rounding is None:
        return one_in
    low, high = odds_interval(one_in, rounding)
    seen = packs / hits if hits else math.inf
    # An end of 0 would mean that anything goes, which no test can contradict.
    return min(max(seen, low), high) if low > 0 else one_in


def compare_opened(
    lines: Sequence[tuple[int, int, float]],
    *,
    level: float = 0.05,
    rounding: Rounding | None = "nearest",
) -> list[Opened]:
    """Whether boxes really opened fit the stated odds, line by line, adjusted for the number of lines.

    Lines that fall once a pack or more often, and lines with more hits than packs, are tested as Poisson
    counts, the others by the exact binomial test. Where even no hit at all would still fit the odds, the
    boxes are too few to tell, unless there are far too many hits.

    Parameters
    ----------
    lines : triples (hits, packs opened, X of the stated odds 1:X)
    level : the adjusted p-value below which a line differs
    rounding : how X was rounded in print, so that 1:3 is not blamed for being 1:2.6; None tests X itself
    """
    chance_between(level, "a level")
    if not lines:
        raise ValueError("no lines: nothing was opened that could be compared")
    read = [(whole(h, "hits"), whole(n, "packs", least=1), odds(x)) for h, n, x in lines]
    tested = [_nearest_odds(hits, packs, x, rounding) for hits, packs, x in read]
    counted = [x <= 1 or hits > packs for (hits, packs, _), x in zip(read, tested, strict=True)]
    tests = [
        poisson_p(hits, packs / x) if counts else binomial_p(hits, packs, 1 / x)
        for (hits, packs, _), x, counts in zip(read, tested, counted, strict=True)
    ]
    opened = []
    for (hits, packs, stated), x, counts, p, adjusted in zip(
        read, tested, counted, tests, holm(tests), strict=True
    ):
        none = math.exp(-packs / x) if counts else none_in_packs(x, packs)
        verdict: Verdict = "differs" if adjusted < level else "too few to tell" if none >= level else "fits"
        low, high = garwood(hits) if counts else clopper_pearson(hits, packs)
        opened.append(
            Opened(
                hits=hits,
                packs=packs,
                one_in=stated,
                tested=x,
                expected=packs / stated,
                p=p,
                adjusted=adjusted,
                exact=(low / packs, high / packs) if counts else (low, high),
                wilson=None if counts else wilson(hits, packs),
                verdict=verdict,
            )
        )
    return opened
