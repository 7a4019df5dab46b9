"""How far two orders agree, and how far several raters do.

m releases, k raters. Counts and rank sums are whole numbers, so an order compared with itself gives
exactly 1.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist
from typing import Literal

import numpy as np
import numpy.typing as npt

from rating.core.rank import mean_ranks

Array = npt.NDArray[np.float64]
Counts = npt.NDArray[np.int64]
Level = Literal["interval", "ordinal"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """One coefficient of agreement; None where it does not exist, and then the remark says why."""

    value: float | None
    remark: str | None = None


def kendall_tau(a: npt.ArrayLike, b: npt.ArrayLike) -> float | None:
    """Kendall's tau-b of two columns, -1 to 1; None where one of them has no order (all tie).

    Parameters
    ----------
    a, b : arrays of shape (m,), any unit; both ranks or both values, since only the order counts

    Raises
    ------
    ValueError
        if the lengths differ or a value is not finite

    References
    ----------
    Kendall (1945), Biometrika 33(3), 239-251: ties in both.
    """
    first, second = _pair(a, b)
    signs_a, signs_b = _signs(first), _signs(second)
    # each pair stands twice in the sums below, which cancels out in the quotient
    agreeing = int((signs_a * signs_b).sum())
    return _quotient(agreeing, int(np.abs(signs_a).sum()), int(np.abs(signs_b).sum()))


def spearman(a: npt.ArrayLike, b: npt.ArrayLike) -> float | None:
    """Spearman's rank correlation of two columns, -1 to 1; None where one of them has no order (all tie).

    Parameters
    ----------
    a, b : arrays of shape (m,), any unit; both ranks or both values, since only the order counts

    Raises
    ------
    ValueError
        if the lengths differ or a value is not finite

    References
    ----------
    Spearman (1904), American Journal of Psychology 15(1), 72-101; ties share their mean rank.
    """
    first, second = _pair(a, b)
    ranks_a, ranks_b = _centred_double_ranks(first), _centred_double_ranks(second)
    return _quotient(int(ranks_a @ ranks_b), int(ranks_a @ ranks_a), int(ranks_b @ ranks_b))


def spearman_interval(rho: float, m: int, level: float = 0.9) -> tuple[float, float] | None:
    """The interval of a rank correlation of m pairs; None for fewer than four, of which nothing can be told.

    References
    ----------
    Bonett and Wright (2000), Psychometrika 65(1), 23-28: Fisher's z with variance (1 + rho^2 / 2) / (m - 3).
    """
    if m < 4:
        return None
    z = NormalDist().inv_cdf((1 + level) / 2) * math.sqrt((1 + rho**2 / 2) / (m - 3))
    if abs(rho) >= 1:
        return rho, rho
    return math.tanh(math.atanh(rho) - z), math.tanh(math.atanh(rho) + z)


def kendall_w(ratings: npt.ArrayLike) -> Agreement:
    """Kendall's coefficient of concordance W of k raters, corrected for ties, 0 to 1.

    Parameters
    ----------
    ratings : array of shape (k, m), a row for each rater, any unit, complete

    Returns
    -------
    W; 1 with a remark where the ratings are identical; None with a remark where no rater tells two releases
    apart and the ratings are not identical

    Raises
    ------
    ValueError
        if there are fewer than two raters or no release, or a rating is not finite

    References
    ----------
    Kendall and Gibbons (1990), Rank Correlation Methods, 5th ed., ch. 6.
    """
    given = _ratings(ratings)
    if not np.isfinite(given).all():
        row, column = np.argwhere(~np.isfinite(given))[0]
        raise ValueError(f"W needs every rating, got {given[row, column]:g} in row {row}, column {column}")
    if (given == given[0]).all():
        return Agreement(value=1.0, remark=f"the ratings of all {len(given)} raters are identical")
    k, m = given.shape
    doubled = np.array([_centred_double_ranks(row) for row in given])
    # sums of doubled ranks make 4 S, hence 3 where the textbook has 12
    spread = int((doubled.sum(axis=0) ** 2).sum())
    ties = sum(_tie_term(row) for row in given)
    most = k * k * (m**3 - m) - k * ties
    if most == 0:
        return Agreement(value=None, remark="no rater tells any two releases apart, so there is no order")
    return Agreement(value=3 * spread / most)


def krippendorff_alpha(ratings: npt.ArrayLike, level: Level = "interval") -> Agreement:
    """Krippendorff's alpha of k raters; 1 is perfect, 0 is chance, below 0 is worse than chance.

    Parameters
    ----------
    ratings : array of shape (k, m), a row for each rater, NaN where a rater has not rated; releases with
        fewer than two ratings are left out
    level : "interval" weighs a disagreement by the square of the difference, "ordinal" by the square of the
        number of ratings that lie between

    Returns
    -------
    alpha; 1 with a remark where the raters agree in every rating; None with a remark where no release has two

    Raises
    ------
    ValueError
        if there are fewer than two raters or no release, a rating is infinite, or the level is neither

    References
    ----------
    Krippendorff (2011), Computing Krippendorff's Alpha-Reliability, University of Pennsylvania.
    """
    if level not in {"interval", "ordinal"}:
        raise ValueError(f"a level is interval or ordinal, not {level!r}")
    given = _ratings(ratings)
    if np.isinf(given).any():
        row, column = np.argwhere(np.isinf(given))[0]
        raise ValueError(f"a rating must be finite or NaN, got {given[row, column]:g} in row {row}")
    paired = given[:, (~np.isnan(given)).sum(axis=0) >= 2]
    if paired.size == 0:
        return Agreement(value=None, remark="no release has two ratings, so there is nothing to compare")
    values, counts = _counts(paired)
    if (np.count_nonzero(counts, axis=1) == 1).all():
        return Agreement(value=1.0, remark=_identical(values, len(counts)))
    totals = counts.sum(axis=0)
    places = values if level == "interval" else np.cumsum(totals) - totals / 2
    distances = (places[:, np.newaxis] - places[np.newaxis, :]) ** 2
    raters_of = counts.sum(axis=1)
    coincidences = (counts / (raters_of - 1)[:, np.newaxis]).T @ counts
    observed = float((coincidences * distances).sum())
    expected = float((np.outer(totals, totals) * distances).sum()) / (int(totals.sum()) - 1)
    return Agreement(value=1 - observed / expected)


def _pair(a: npt.ArrayLike, b: npt.ArrayLike) -> tuple[Array, Array]:
    first, second = np.asarray(a, dtype=np.float64), np.asarray(b, dtype=np.float64)
    if first.ndim != 1 or first.shape != second.shape:
        raise ValueError(f"two columns of one length are needed, got shapes {first.shape} and {second.shape}")
    for name, column in (("first", first), ("second", second)):
        faulty = np.flatnonzero(~np.isfinite(column))
        if faulty.size:
            raise ValueError(
                f"columns must be finite, got {column[faulty[0]]:g} at position {faulty[0]} of the {name}"
            )
    return first, second


def _ratings(ratings: npt.ArrayLike) -> Array:
    given = np.asarray(ratings, dtype=np.float64)
    if given.ndim != 2 or given.shape[0] < 2 or given.shape[1] < 1:
        raise ValueError(f"ratings have shape (raters, releases), at least (2, 1), got shape {given.shape}")
    return given


def _signs(column: Array) -> Counts:
    # by comparison, since a difference of very large values overflows
    rows, columns = column[:, np.newaxis], column[np.newaxis, :]
    return (rows > columns).astype(np.int64) - (rows < columns)


def _centred_double_ranks(column: Array) -> Counts:
    """Twice the mean rank, less its average: whole numbers that sum to 0."""
    doubled = 2 * np.array(mean_ranks(column.tolist(), best="low"))
    return doubled.astype(np.int64) - (len(column) + 1)


def _tie_term(column: Array) -> int:
    """The sum of t^3 - t over the groups of t tied values."""
    _, sizes = np.unique(column, return_counts=True)
    return sum(size**3 - size for size in sizes.tolist())


def _quotient(covered: int, variation_a: int, variation_b: int) -> float | None:
    if variation_a == 0 or variation_b == 0:
        return None
    # equal variations need no root, so that a perfect order is exactly 1
    both = variation_a if variation_a == variation_b else math.sqrt(variation_a * variation_b)
    return covered / both


def _counts(paired: Array) -> tuple[Array, Counts]:
    """The different ratings, rising, and how often each release has each: shape (releases, ratings)."""
    values = np.unique(paired[~np.isnan(paired)])
    counts = np.zeros((paired.shape[1], len(values)), dtype=np.int64)
    raters, releases = np.nonzero(~np.isnan(paired))
    np.add.at(counts, (releases, np.searchsorted(values, paired[raters, releases])), 1)
    return values, counts


def _identical(values: Array, releases: int) -> str:
    if len(values) == 1:
        return f"every rating is {values[0]:g}, so agreement cannot be told from chance"
    return f"the raters agree exactly on all {releases} releases that two or more of them rated"
