"""Chances of pulling something: from odds, from guaranteed cards, from boxes really opened.

Each chance rests on a model, and the model is named: `INDEPENDENT` packs, a `FINITE` run from which packs
leave for good, an `AVERAGE` number that may be any. Sums have only positive terms, so nothing cancels.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import bdtr, bdtrc, betaincinv, gammaincinv, ndtri, pdtr, pdtrc

from rating.numerics.checked import (
    Number,
    as_written,
    chance_between,
    not_negative,
    number,
    odds,
    positive,
    whole,
)
from rating.numerics.outlook import AVERAGE, FINITE, INDEPENDENT, Outlook
from rating.numerics.strips import Rounding, odds_interval

Array = NDArray[np.float64]
Model = Literal["independent", "finite", "average"]
Verdict = Literal["fits", "differs", "too few to tell"]

_WORDS: dict[str, str] = {"independent": INDEPENDENT, "finite": FINITE, "average": AVERAGE}
# Outcomes this close in probability count as equally likely, as in R and scipy.
_AS_LIKELY = math.log1p(1e-7)


def _per_pack(one_in: float) -> float:
    """X of 1:X where it is a chance per pack; ValueError for less than one pack a copy."""
    found = odds(one_in)
    if found < 1:
        raise ValueError(f"odds of 1:{found:g} are more than one a pack, so they are a count and no chance")
    return found


def at_least_one(one_in: float, packs: int) -> float:
    """Chance of at least one in a number of packs at odds of 1:X, independent packs assumed.

    Raises
    ------
    ValueError
        for odds of 0, text or NaN, odds of more than one a pack, or packs that are no whole number
    """
    each, count = _per_pack(one_in), whole(packs, "packs")
    if each == 1:
        return float(count > 0)
    return -math.expm1(count * math.log1p(-1 / each))


def none_in_packs(one_in: float, packs: int) -> float:
    """Chance of none in a number of packs at odds of 1:X, independent packs assumed; good however small."""
    each, count = _per_pack(one_in), whole(packs, "packs")
    if each == 1:
        return float(count == 0)
    return math.exp(count * math.log1p(-1 / each))


def packs_for_chance(one_in: float, chance: float) -> int:
    """The fewest packs that give at least the wanted chance of one at odds of 1:X.

    Independent packs assumed. The numbers are taken as written, so that 1:10 reaches 0.1 in one pack.
    """
    each = _per_pack(one_in)
    chance_between(chance, "the wanted chance")
    if each == 1:
        return 1
    wanted = as_written(chance, "the wanted chance")
    x = as_written(one_in, "odds")
    exact = math.log1p(-float(wanted)) / math.log1p(-1 / each)
    nearest = round(exact)
    # Powers decide where floating point cannot; further up the odds carry no such exact answer.
    if abs(exact - nearest) < 1e-9 * max(1.0, exact) and 1 <= nearest <= 5000:
        return nearest if (1 - 1 / x) ** nearest <= 1 - wanted else nearest + 1
    return max(1, math.ceil(exact))


def _run(run: int, hits: int, opened: int) -> tuple[int, int, int]:
    total = whole(run, "the run", least=1)
    marked, taken = whole(hits, "hits"), whole(opened, "the number drawn")
    if marked > total:
        raise ValueError(f"{marked} hits cannot be among {total}")
    if taken > total:
        raise ValueError(f"{taken} cannot be drawn from {total}")
    return total, marked, taken


def none_of_run(run: int, hits: int, opened: int) -> float:
    """Chance of no hit when `opened` are drawn from a finite run that holds `hits` (hypergeometric)."""
    total, marked, taken = _run(run, hits, opened)
    few, many = sorted((marked, taken))
    if few + many > total:
        return 0.0
    return math.exp(math.fsum(math.log1p(-many / (total - i)) for i in range(few)))


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


def by_model(packs_in_run: int, hits: int, opened: int) -> dict[str, float]:
    """Chance of at least one hit in some packs of a case or run, under each model, by its name."""
    total, marked, taken = _run(packs_in_run, hits, opened)
    independent = at_least_one(total / marked, taken) if marked else 0.0
    return {INDEPENDENT: independent, FINITE: 1 - none_of_run(total, marked, taken)}


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


def from_odds(one_in: float, packs: int) -> Outlook:
    """What a number of packs holds of a line at odds of 1:X.

    Odds of more than one a pack are an average, and any number may fall.
    """
    each, count = odds(one_in), whole(packs, "packs")
    if each < 1:
        return Outlook(expected=count / each, none=math.exp(-count / each), model=AVERAGE)
    return Outlook(expected=count / each, none=none_in_packs(each, count), model=INDEPENDENT)


def from_pool(wanted: float, pool: float, draws: float, model: Model = "independent") -> Outlook:
    """What a number of guaranteed cards holds of the wanted ones, when they are drawn from a pool.

    Parameters
    ----------
    wanted, pool : copies of the wanted cards and of all cards of the kind; where they are unnumbered, the
        number of different cards, each being as likely
    draws : cards guaranteed, in all packs or boxes together
    model : "independent" draws, a "finite" pool without replacement (whole numbers), or draws that are only
        an "average", which need not be whole

    Raises
    ------
    ValueError
        for more wanted than the pool holds, or draws that the model cannot have
    """
    if model not in _WORDS:
        raise ValueError(f"a model is one of {', '.join(_WORDS)}, got {model!r}")
    total, sought = positive(pool, "the pool"), not_negative(wanted, "the wanted cards")
    if sought > total:
        raise ValueError(f"{sought:g} wanted cards cannot be in a pool of {total:g}")
    share = sought / total
    if model == "average":
        count = not_negative(draws, "draws")
        return Outlook(expected=count * share, none=math.exp(-count * share), model=AVERAGE)
    taken = whole(draws, "guaranteed draws")
    if model == "finite":
        none = none_of_run(whole(pool, "the pool"), whole(wanted, "the wanted cards"), taken)
        return Outlook(expected=taken * share, none=none, model=FINITE)
    none = float(taken == 0) if share == 1 else math.exp(taken * math.log1p(-share))
    return Outlook(expected=taken * share, none=none, model=INDEPENDENT)


def together(outlooks: Iterable[Outlook]) -> Outlook:
    """Several independent sources of wanted cards as one: copies add up, chances of none multiply."""
    parts = list(outlooks)
    models = list(dict.fromkeys(part.model for part in parts))
    return Outlook(
        expected=math.fsum(part.expected for part in parts),
        none=math.prod(part.none for part in parts),
        model="; ".join(models),
    )


def expected_without(shares: Iterable[float], draws: int) -> float:
    """Expected number of teams (or others) that get none of a number of independent draws.

    Parameters
    ----------
    shares : each team's share of a draw, in [0, 1], summing to at most 1
    draws : the number of cards drawn
    """
    each = [not_negative(share, "a share") for share in shares]
    if math.fsum(each) > 1 + 1e-9:
        raise ValueError(f"shares must not sum to more than 1, got {math.fsum(each):g}")
    count = whole(draws, "draws")
    return math.fsum(max(0.0, 1 - share) ** count for share in each)


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
    seen, total = _hits(hits, packs)
    tail = (1 - _confidence(confidence)) / 2
    low = float(betaincinv(seen, total - seen + 1, tail)) if seen else 0.0
    high = float(betaincinv(seen + 1, total - seen, 1 - tail)) if seen < total else 1.0
    return low, high


def upper_bound(hits: int, packs: int, confidence: float = 0.95) -> float:
    """Exact one-sided upper bound of the chance per pack; 1 - (1 - confidence)^(1/n) after no hit in n."""
    seen, total = _hits(hits, packs)
    if seen == total:
        return 1.0
    return float(betaincinv(seen + 1, total - seen, _confidence(confidence)))


def rule_of_three(packs: int) -> float:
    """Upper bound 3/n of a chance when n packs held no hit, in 95 of 100 cases; a rule for the head."""
    return 3 / whole(packs, "packs", least=1)


def wilson(hits: int, packs: int, confidence: float = 0.95) -> tuple[float, float]:
    """Score interval for the chance per pack, without continuity correction.

    Wilson (1927); method 3 of Newcombe (1998), Statistics in Medicine 17, 857-872.
    """
    seen, total = _hits(hits, packs)
    z = -float(ndtri((1 - _confidence(confidence)) / 2))
    middle = seen + z * z / 2
    half = z * math.sqrt(seen * (total - seen) / total + z * z / 4)
    span = total + z * z
    # At the ends the two parts are equal, and their difference would be a rounding error.
    low = 0.0 if seen == 0 else (middle - half) / span
    high = 1.0 if seen == total else (middle + half) / span
    return low, high


def garwood(hits: int, confidence: float = 0.95) -> tuple[float, float]:
    """Exact two-sided interval for an expected (Poisson) count. Garwood (1936), Biometrika 28, 437-442."""
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
