"""Combining rules: from the scores of each release and the weights of the criteria to one number.

m releases, n criteria. Published grades come from the exact integer form (`grade_tenths`), where
N = sum of weight times score and D = sum of weight over the criteria that count. The float rules are for
comparison and for sensitivity; two releases that tie there in exact arithmetic may differ in the last bit,
so a grade is never ranked from them. Only the ratio of weights matters in every rule.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Sequence
from fractions import Fraction
from typing import Literal, SupportsIndex

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Norm = Literal["declared", "vector"]
Preference = Literal["usual", "linear"]
Better = Literal["high", "low"]

LOWEST, HIGHEST = 0, 100


def weighted_mean(scores: npt.ArrayLike, weights: npt.ArrayLike) -> Array:
    """The weighted arithmetic mean of each release, in points.

    Parameters
    ----------
    scores : array of shape (m, n), points from 0 to 100, NaN where unknown
    weights : array of shape (n,), any positive scale

    Returns
    -------
    array of shape (m,), points; the weight of what is unknown is shared out over the rest, and a release
    of which nothing that weighs is known gets NaN

    Raises
    ------
    ValueError
        if a score lies outside 0 to 100, or the weights are negative, not finite, all zero or not n
    """
    table = _points(scores, may_be_unknown=True)
    known = ~np.isnan(table)
    parts = _shares(weights, table.shape[1]) * known
    filled = np.where(known, table, 0.0)
    return _within_known(table, parts, _over((parts * filled).sum(axis=1), parts.sum(axis=1)))


def weighted_geometric_mean(scores: npt.ArrayLike, weights: npt.ArrayLike) -> Array:
    """The weighted geometric mean of each release, in points: a weak point cannot be bought back.

    Parameters
    ----------
    scores : array of shape (m, n), points from 0 to 100, NaN where unknown
    weights : array of shape (n,), any positive scale

    Returns
    -------
    array of shape (m,), points; 0 where a score that weighs is 0; the weight of what is unknown is shared
    out over the rest, and a release of which nothing that weighs is known gets NaN

    Raises
    ------
    ValueError
        if a score lies outside 0 to 100, or the weights are negative, not finite, all zero or not n

    References
    ----------
    OECD/JRC (2008), Handbook on Constructing Composite Indicators, p. 104.
    """
    table = _points(scores, may_be_unknown=True)
    known = ~np.isnan(table)
    parts = _shares(weights, table.shape[1]) * known
    # a score without weight must not pull the product to 0, so it enters as 1 (logarithm 0)
    counts = parts > 0
    spoilt = (counts & (table == 0)).any(axis=1)
    logs = np.log(np.where(counts & (table > 0), table, 1.0))
    means = np.exp(_over((parts * logs).sum(axis=1), parts.sum(axis=1)))
    return _within_known(table, parts, np.where(spoilt, 0.0, means))


def topsis(scores: npt.ArrayLike, weights: npt.ArrayLike, norm: Norm = "declared") -> Array:
    """The closeness of each release to the ideal, from 0 to 1, higher is better.

    Parameters
    ----------
    scores : array of shape (m, n), complete, more is better (negate a column where less is)
    weights : array of shape (n,), any positive scale
    norm : "declared" measures from 0 and 100, the ends of every score, so no release moves another;
        "vector" is the published form: columns divided by their Euclidean length, ideal and anti-ideal
        taken from the releases at hand, numbers on any scale

    Returns
    -------
    array of shape (m,); 0.5 for all where "vector" finds no two releases different

    Raises
    ------
    ValueError
        if a score is unknown or (declared) outside 0 to 100, or the weights are negative, not finite, all
        zero or not n

    References
    ----------
    Hwang and Yoon (1981), Multiple Attribute Decision Making, Springer, 128-140.
    """
    if norm == "declared":
        table = _points(scores, may_be_unknown=False) / HIGHEST
        best, worst = np.ones(table.shape[1]), np.zeros(table.shape[1])
    elif norm == "vector":
        table = _complete(scores)
        # each column is first brought near 1, so that squares of very large or small numbers survive
        largest = np.abs(table).max(axis=0, initial=0.0)
        table = table / np.where(largest > 0, largest, 1.0)
        lengths = np.sqrt((table**2).sum(axis=0))
        table = table / np.where(lengths > 0, lengths, 1.0)
        best = table.max(axis=0, initial=-math.inf)
        worst = table.min(axis=0, initial=math.inf)
    else:
        raise ValueError(f"norm is declared or vector, not {norm!r}")
    shares = _shares(weights, table.shape[1])
    if table.shape[0] == 0:
        return np.zeros(0)
    from_best = np.sqrt((((best - table) * shares) ** 2).sum(axis=1))
    from_worst = np.sqrt((((table - worst) * shares) ** 2).sum(axis=1))
    both = from_best + from_worst
    closeness: Array = np.divide(from_worst, both, out=np.full_like(both, 0.5), where=both > 0)
    return closeness


def promethee(
    scores: npt.ArrayLike,
    weights: npt.ArrayLike,
    preference: Preference = "usual",
    width: npt.ArrayLike | None = None,
) -> Array:
    """The net outranking flow of each release (PROMETHEE II), from -1 to 1, higher is better.

    Parameters
    ----------
    scores : array of shape (m, n), points from 0 to 100, complete
    weights : array of shape (n,), any positive scale
    preference : "usual": any lead is a full preference; "linear": a lead counts in proportion, up to
        `width` points, where it is full
    width : a number or an array of shape (n,), points above 0; for "linear" only, and needed there.
        At 100, the whole scale, the order is that of the weighted mean

    Returns
    -------
    array of shape (m,), summing to 0; 0 for a release without rivals

    Raises
    ------
    ValueError
        if a score is unknown or outside 0 to 100, the width is missing, out of place or not above 0, or
        the weights are negative, not finite, all zero or not n

    References
    ----------
    Brans and Vincke (1985), Management Science 31(6), 647-656.
    """
    table = _points(scores, may_be_unknown=False)
    m, n = table.shape
    shares = _shares(weights, n)
    widths = _widths(preference, width, n)
    flows: Array = np.zeros(m)
    for column, share, full_lead in zip(table.T, shares, widths, strict=True):
        lead = column[:, np.newaxis] - column[np.newaxis, :]
        # a full lead of 0 stands for the usual preference, where the sign is all that counts
        flow = np.sign(lead) if full_lead == 0 else np.clip(lead / full_lead, -1, 1)
        flows += share * flow.sum(axis=1) / max(m - 1, 1)
    return flows


def declared_distance(
    scores: npt.ArrayLike,
    weights: npt.ArrayLike,
    bounds: npt.ArrayLike,
    directions: Sequence[Better],
) -> Array:
    """The weighted distance of each release from the ideal on declared bounds, 0 (best) to 1 (worst).

    It is 1 minus the weighted mean of scores scaled linearly between the bounds.

    Parameters
    ----------
    scores : array of shape (m, n), complete, in the units of the bounds
    weights : array of shape (n,), any positive scale
    bounds : array of shape (n, 2), the low and the high end of each criterion
    directions : n times "high" or "low", which end is the better one

    Returns
    -------
    array of shape (m,), without unit

    Raises
    ------
    ValueError
        if a score is unknown or outside its bounds, bounds do not rise, a direction is neither high nor
        low, lengths differ, or the weights are negative, not finite or all zero

    References
    ----------
    Dezert, Tchamova, Han and Tacnet (2020), The SPOTIS rank reversal free method, FUSION 2020, 1-8.
    """
    table = _complete(scores)
    n = table.shape[1]
    shares = _shares(weights, n)
    ends = np.asarray(bounds, dtype=np.float64)
    if ends.shape != (n, 2):
        raise ValueError(f"bounds must have shape ({n}, 2), got {ends.shape}")
    low, high = ends.T
    if not (np.isfinite(ends).all() and (low < high).all()):
        raise ValueError(f"bounds must be finite and rise, got {ends.tolist()}")
    if len(directions) != n or not set(directions) <= {"high", "low"}:
        raise ValueError(f"directions must be {n} times high or low, got {list(directions)}")
    outside = (table < low) | (table > high)
    if outside.any():
        row, column = np.argwhere(outside)[0]
        raise ValueError(
            f"score {table[row, column]:g} in row {row}, column {column} lies outside its bounds "
            f"{low[column]:g} to {high[column]:g}"
        )
    best = np.where([direction == "high" for direction in directions], high, low)
    distances: Array = (np.abs(table - best) / (high - low) * shares).sum(axis=1)
    # rounding may leave the ends by a last bit
    return np.minimum(distances, 1.0)


def grade_tenths(
    scores: Sequence[SupportsIndex | None], weights_tenths: Sequence[SupportsIndex]
) -> int | None:
    """The grade in tenths, exact and rounded half up: (20 N + D) // (2 D).

    Parameters
    ----------
    scores : n whole numbers from 0 to 100, None where the criterion does not count (unknown, or does not
        apply): its weight is shared out over the rest
    weights_tenths : n whole tenths of a point, from 0 up

    Returns
    -------
    whole tenths from 0 to 1000, or None when nothing that weighs is known

    Raises
    ------
    ValueError
        if lengths differ, a score is no whole number from 0 to 100 or a weight none from 0 up
    """
    whole, weights = _whole_scores(scores), _whole_weights(weights_tenths, len(scores))
    known = [(score, weight) for score, weight in zip(whole, weights, strict=True) if score is not None]
    return _tenths(known)


def grade_bounds(
    scores: Sequence[SupportsIndex | None],
    weights_tenths: Sequence[SupportsIndex],
    applies: Sequence[bool],
) -> tuple[int, int] | None:
    """The lowest and highest grade in tenths: what is unknown put at 0 and at 100.

    Parameters
    ----------
    scores : n whole numbers from 0 to 100, None where unknown or where the criterion does not apply
    weights_tenths : n whole tenths of a point, from 0 up
    applies : n times whether the criterion applies; one that does not is left out of both

    Returns
    -------
    two numbers of whole tenths from 0 to 1000, equal when nothing is unknown; None when nothing that weighs
    applies

    Raises
    ------
    ValueError
        if lengths differ, a score is no whole number from 0 to 100 or a weight none from 0 up, or a
        criterion that does not apply has a score
    """
    whole, weights = _whole_scores(scores), _whole_weights(weights_tenths, len(scores))
    if len(applies) != len(whole):
        raise ValueError(f"{len(whole)} scores need as many answers whether they apply, got {len(applies)}")
    scored_apart = [place for place, on in enumerate(applies) if not on and whole[place] is not None]
    if scored_apart:
        place = scored_apart[0]
        raise ValueError(f"criterion {place} does not apply and still has the score {whole[place]}")
    counting = [pair for pair, on in zip(zip(whole, weights, strict=True), applies, strict=True) if on]
    lowest = _tenths([(LOWEST if score is None else score, weight) for score, weight in counting])
    highest = _tenths([(HIGHEST if score is None else score, weight) for score, weight in counting])
    return None if lowest is None or highest is None else (lowest, highest)


def grade_halfwidth(spreads: Sequence[float], weights: Sequence[float]) -> float:
    """The half-width of a grade's interval from the spreads of its scores, in points: sqrt(sum (w s)^2) / D.

    Parameters
    ----------
    spreads : one for each score that counts, points from 0 up
    weights : as many, any positive scale

    Raises
    ------
    ValueError
        if lengths differ, a spread is negative or not finite, or the weights are negative, not finite or all
        zero
    """
    if len(spreads) != len(weights):
        raise ValueError(f"{len(spreads)} spreads need as many weights, got {len(weights)}")
    if not all(math.isfinite(spread) and spread >= 0 for spread in spreads):
        raise ValueError(f"spreads must be finite and not negative, got {list(spreads)}")
    if not all(math.isfinite(weight) and weight >= 0 for weight in weights) or not any(weights):
        raise ValueError(f"weights must be finite, not negative and not all zero, got {list(weights)}")
    # in fractions, so that neither the size of the weights nor the order of the criteria leaves a trace
    pairs = [(Fraction(weight), Fraction(spread)) for weight, spread in zip(weights, spreads, strict=True)]
    total = sum(weight for weight, _ in pairs)
    return math.sqrt(sum((weight * spread / total) ** 2 for weight, spread in pairs))


def _shares(weights: npt.ArrayLike, n: int) -> Array:
    given = np.asarray(weights, dtype=np.float64)
    if given.shape != (n,):
        raise ValueError(f"{n} criteria need weights of shape ({n},), got shape {given.shape}")
    if not (np.isfinite(given).all() and (given >= 0).all() and (given > 0).any()):
        raise ValueError(f"weights must be finite, not negative and not all zero, got {given.tolist()}")
    # by the largest first, so that the sum of very large weights cannot overflow
    relative = given / given.max()
    return np.asarray(relative / relative.sum(), dtype=np.float64)


def _table(scores: npt.ArrayLike) -> Array:
    # one memory layout for all, since the order of summation (and so the last bit) follows it
    table = np.ascontiguousarray(scores, dtype=np.float64)
    if np.ndim(scores) != 2:
        raise ValueError(f"scores must have shape (releases, criteria), got shape {np.shape(scores)}")
    return table


def _complete(scores: npt.ArrayLike) -> Array:
    table = _table(scores)
    _refuse(table, ~np.isfinite(table), "this rule needs complete scores, all finite")
    return table


def _points(scores: npt.ArrayLike, *, may_be_unknown: bool) -> Array:
    table = _table(scores) if may_be_unknown else _complete(scores)
    _refuse(table, (table < LOWEST) | (table > HIGHEST), "scores must lie from 0 to 100")
    return table


def _refuse(table: Array, faulty: npt.NDArray[np.bool_], rule: str) -> None:
    if faulty.any():
        row, column = np.argwhere(faulty)[0]
        raise ValueError(f"{rule}, got {table[row, column]:g} in row {row}, column {column}")


def _over(sums: Array, totals: Array) -> Array:
    return np.divide(sums, totals, out=np.full_like(sums, np.nan), where=totals > 0)


def _within_known(table: Array, parts: Array, means: Array) -> Array:
    """Means brought back between the smallest and largest score that counts, which rounding may leave."""
    counts = parts > 0
    floor = np.where(counts, table, np.inf).min(axis=1, initial=np.inf)
    ceiling = np.where(counts, table, -np.inf).max(axis=1, initial=-np.inf)
    return np.where(counts.any(axis=1), np.minimum(np.maximum(means, floor), ceiling), np.nan)


def _widths(preference: Preference, width: npt.ArrayLike | None, n: int) -> Array:
    if preference == "usual":
        if width is not None:
            raise ValueError(f"the usual preference has no width, got {width!r}")
        return np.zeros(n)
    if preference != "linear":
        raise ValueError(f"preference is usual or linear, not {preference!r}")
    if width is None:
        raise ValueError("the linear preference needs a width in points, got None")
    given = np.asarray(width, dtype=np.float64)
    if given.shape not in ((), (n,)) or not (np.isfinite(given).all() and (given > 0).all()):
        raise ValueError(f"the width must be one number above 0 or {n} of them, got {given.tolist()}")
    return np.broadcast_to(given, (n,))


def _whole(value: SupportsIndex, what: str) -> int:
    try:
        return operator.index(value)
    except TypeError as err:
        raise ValueError(f"{what} must be a whole number, got {value!r}") from err


def _whole_scores(scores: Sequence[SupportsIndex | None]) -> list[int | None]:
    whole = [None if score is None else _whole(score, "a score") for score in scores]
    for score in whole:
        if score is not None and not LOWEST <= score <= HIGHEST:
            raise ValueError(f"scores must lie from 0 to 100, got {score}")
    return whole


def _whole_weights(weights: Sequence[SupportsIndex], n: int) -> list[int]:
    if len(weights) != n:
        raise ValueError(f"{n} scores need as many weights, got {len(weights)}")
    whole = [_whole(weight, "a weight in tenths") for weight in weights]
    if any(weight < 0 for weight in whole):
        raise ValueError(f"weights must not be negative, got {whole}")
    return whole


def _tenths(pairs: Sequence[tuple[int, int]]) -> int | None:
    N = sum(weight * score for score, weight in pairs)
    D = sum(weight for _, weight in pairs)
    return None if D == 0 else (20 * N + D) // (2 * D)
