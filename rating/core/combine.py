"""Combining rules: from the scores of each release and the weights of the criteria to one number.

m releases, n criteria. These float rules are for comparison and for sensitivity; published grades come from
`rating.core.exact`. Two releases that tie in exact arithmetic may differ here in the last bit, so a grade is
never ranked from them. Only the ratio of weights matters in every rule.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

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
    parts = weight_shares(weights, table.shape[1]) * known
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
    parts = weight_shares(weights, table.shape[1]) * known
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
    shares = weight_shares(weights, table.shape[1])
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
    shares = weight_shares(weights, n)
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
    shares = weight_shares(weights, n)
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


def weight_shares(weights: npt.ArrayLike, n: int) -> Array:
    """Weights on any positive scale as shares that sum to 1, shape (n,).

    Raises
    ------
    ValueError
        if the weights are negative, not finite, all zero or not n
    """
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
