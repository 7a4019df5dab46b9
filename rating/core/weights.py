"""Weights of criteria: from a rank order, from comparisons in pairs, and from the data alone.

m releases, n criteria. Every function gives shares that sum to 1. The weights from the data say how much the
scores differ, not how much a question matters: for comparison only.
"""

from __future__ import annotations

import itertools
import math
import operator
from collections.abc import Sequence
from dataclasses import dataclass
from typing import SupportsIndex

import numpy as np
import numpy.typing as npt

from rating.core.combine import Better, weight_shares

Array = npt.NDArray[np.float64]

WARN_ABOVE = 0.1
# random indices by n, from 3 on
_SAATY = (0.58, 0.90, 1.12, 1.24, 1.32, 1.41, 1.45, 1.49, 1.51, 1.48, 1.56, 1.57, 1.59)
SAATY_TABLE = "Saaty 1980"
NO_TABLE = "none: nothing could contradict"
REGRESSION = "Alonso and Lamata 2006, regression"
REDUCED = "reduced for missing answers"
_FARTHEST = 1e9
# how far a times its reciprocal may be from 1: three decimals of 1/9 pass
_RECIPROCAL_SLACK = 5e-3
_CONSISTENT = 1e-9


def rank_order_centroid(n: SupportsIndex) -> Array:
    """Weights of n criteria in order, most important first: the mean of all weights in that order.

    Returns
    -------
    array of shape (n,), falling: w_k = (1/n) sum over i from k to n of 1/i

    Raises
    ------
    ValueError
        if n is no whole number from 1 up

    References
    ----------
    Barron and Barrett (1996), Management Science 42(11), 1515-1523.
    """
    places = _places(n)
    return np.asarray(np.cumsum(1 / places[::-1])[::-1] / len(places), dtype=np.float64)


def rank_sum(n: SupportsIndex) -> Array:
    """Weights of n criteria in order, most important first, falling by equal steps: n, n-1, ..., 1.

    Raises
    ------
    ValueError
        if n is no whole number from 1 up

    References
    ----------
    Stillwell, Seaver and Edwards (1981), Organizational Behavior and Human Performance 28(1), 62-77.
    """
    places = _places(n)
    return weight_shares(places[::-1], len(places))


def rank_reciprocal(n: SupportsIndex) -> Array:
    """Weights of n criteria in order, most important first, as 1, 1/2, ..., 1/n.

    Raises
    ------
    ValueError
        if n is no whole number from 1 up

    References
    ----------
    Stillwell, Seaver and Edwards (1981), Organizational Behavior and Human Performance 28(1), 62-77.
    """
    places = _places(n)
    return weight_shares(1 / places, len(places))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairwise:
    """Weights from comparisons in pairs, and how well the answers agree with each other.

    `consistency_ratio` is 0 where nothing can contradict: under three criteria, or no more answers than join
    them. `table` names the random indices it was reckoned with. `worst_triple` are the places (from 0) of the
    three criteria whose answers contradict each other most, None where no three do.
    """

    weights: Array
    lambda_max: float
    consistency_index: float
    consistency_ratio: float
    table: str
    missing: int
    worst_triple: tuple[int, int, int] | None

    @property
    def is_inconsistent(self) -> bool:
        """Whether the answers contradict each other more than is usually accepted: a ratio over 0.1."""
        return self.consistency_ratio > WARN_ABOVE


def pairwise(matrix: npt.ArrayLike) -> Pairwise:
    """Weights from comparisons in pairs: the principal eigenvector of their matrix.

    Parameters
    ----------
    matrix : array of shape (n, n): how many times as much the criterion of the row counts as that of the
        column; NaN or None where it was not answered. One of two mirrored answers is enough; the diagonal
        is 1 or unanswered.

    Returns
    -------
    the weights with lambda_max, consistency index (lambda_max - n) / (n - 1) and consistency ratio: the index
    over that of random answers, by Saaty's table up to 15 criteria and the regression of Alonso and Lamata
    above. Where answers are missing, each stands at the ratio of the weights found (Harker), and the random
    index is reduced by the share of the answers that could contradict and are missing.

    Raises
    ------
    ValueError
        if it is not square, an answer is no positive number (1e-9 to 1e9), two mirrored answers are not each
        other's reciprocal (to three decimals), or the answers leave parts that nothing joins; names them

    References
    ----------
    Saaty (1980), The Analytic Hierarchy Process. Harker (1987), Mathematical Modelling 9(11), 837-848.
    Alonso and Lamata (2006), Int. J. Uncertainty, Fuzziness and Knowledge-Based Systems 14(4), 445-459.
    Ágoston and Csató (2022), Omega 108, 102576.
    """
    answers = _answers(matrix)
    n = len(answers)
    _hold_joined(answers)
    known = ~np.isnan(answers)
    missing = int(n * n - known.sum()) // 2
    filled = np.where(known, answers, 0.0)
    # Harker: an unanswered pair stands at w_i / w_j, which adds w_i to row i of A w
    filled[np.diag_indices(n)] = 1 + (~known).sum(axis=1)
    values, vectors = np.linalg.eig(filled)
    first = int(np.argmax(values.real))
    lambda_max = max(float(values[first].real), float(n))
    index = (lambda_max - n) / (n - 1) if n > 1 else 0.0
    random_index, table = _random_index(n, missing)
    return Pairwise(
        weights=weight_shares(np.abs(vectors[:, first].real), n),
        lambda_max=lambda_max,
        consistency_index=index,
        consistency_ratio=index / random_index if random_index else 0.0,
        table=table,
        missing=missing,
        worst_triple=_worst_triple(answers),
    )


def parts(matrix: npt.ArrayLike) -> tuple[tuple[int, ...], ...]:
    """The criteria that comparisons join, directly or by way of others, as places from 0; one part is good.

    Raises
    ------
    ValueError
        as `pairwise`, but for parts that nothing joins
    """
    return _joined(_answers(matrix))


def entropy(matrix: npt.ArrayLike) -> Array:
    """Weights by how unevenly each column is spread over its rows: 1 less its Shannon entropy.

    Parameters
    ----------
    matrix : array of shape (m, n), from 0 up

    Returns
    -------
    array of shape (n,); a constant column gets 0, and where all are constant each gets 1/n

    Raises
    ------
    ValueError
        if a value is negative or not finite, or there is none

    References
    ----------
    Zeleny (1982), Multiple Criteria Decision Making, ch. 7; 0 log 0 is 0.
    """
    data = _data(matrix)
    if (data < 0).any():
        raise ValueError(f"entropy needs values from 0 up, got {data.min()}")
    if len(data) == 1:
        return _shared(np.zeros(data.shape[1]))
    # by the largest first, so that the sum of very large values cannot overflow
    relative = data / np.where(data.max(axis=0) > 0, data.max(axis=0), 1)
    sums = relative.sum(axis=0)
    p = relative / np.where(sums > 0, sums, 1)
    evenness = -(p * np.log(np.where(p > 0, p, 1))).sum(axis=0) / math.log(len(data))
    return _shared(np.where(_varies(data), np.maximum(1 - evenness, 0), 0))


def standard_deviation(matrix: npt.ArrayLike) -> Array:
    """Weights in proportion to each column's standard deviation.

    Parameters
    ----------
    matrix : array of shape (m, n), columns of one unit

    Returns
    -------
    array of shape (n,); a constant column gets 0, and where all are constant each gets 1/n

    Raises
    ------
    ValueError
        if a value is not finite, or there is none
    """
    data = _data(matrix)
    return _shared(np.where(_varies(data), data.std(axis=0), 0))


def critic(matrix: npt.ArrayLike, directions: Sequence[Better]) -> Array:
    """CRITIC weights: the spread of each column times how little it goes along with the others.

    Parameters
    ----------
    matrix : array of shape (m, n), any units
    directions : n times "high" or "low", which values are better

    Returns
    -------
    array of shape (n,); a constant column gets 0 and counts for no other. Where the columns that vary all
    go along with each other they get equal weights; where none varies, all do.

    Raises
    ------
    ValueError
        if a value is not finite, there is none, or the directions are not n of "high" and "low"

    References
    ----------
    Diakoulaki, Mavrotas and Papayannakis (1995), Computers & Operations Research 22(7), 763-770.
    """
    data = _data(matrix)
    wrong = [one for one in directions if one not in {"high", "low"}]
    if wrong or len(directions) != data.shape[1]:
        raise ValueError(f"{data.shape[1]} columns need as many of high and low, got {list(directions)}")
    varies = _varies(data)
    if not varies.any():
        return _shared(np.zeros(data.shape[1]))
    signs = np.array([1.0 if one == "high" else -1.0 for one in directions])
    low, high = data.min(axis=0)[varies], data.max(axis=0)[varies]
    # halved, so that the distance of the two ends of the floats is one too
    scaled = (data[:, varies] / 2 - low / 2) / (high / 2 - low / 2) * signs[varies]
    centred = scaled - scaled.mean(axis=0)
    spread = np.sqrt((centred**2).mean(axis=0))
    correlations = (centred.T @ centred) / len(data) / np.outer(spread, spread)
    conflict = 1 - correlations
    conflict[np.abs(conflict) < _CONSISTENT] = 0
    information = spread * conflict.sum(axis=0)
    weights = np.zeros(data.shape[1])
    weights[varies] = information if information.any() else 1
    return _shared(weights)


def _places(n: SupportsIndex) -> Array:
    try:
        count = operator.index(n)
    except TypeError as err:
        raise ValueError(f"a number of criteria must be whole, got {n!r}") from err
    if count < 1:
        raise ValueError(f"there must be at least one criterion, got {count}")
    return np.arange(1, count + 1, dtype=np.float64)


def _answers(matrix: npt.ArrayLike) -> Array:
    """The matrix with mirrored answers filled in and 1 on the diagonal; NaN where unanswered."""
    answers = np.array(matrix, dtype=np.float64)  # None becomes NaN
    if answers.ndim != 2 or answers.shape[0] != answers.shape[1] or not answers.size:
        raise ValueError(f"comparisons are a square matrix, got shape {answers.shape}")
    known = ~np.isnan(answers)
    for i, j in np.argwhere(known & ~((answers >= 1 / _FARTHEST) & (answers <= _FARTHEST))):
        raise ValueError(
            f"a comparison is a number from {1 / _FARTHEST:g} to {_FARTHEST:g}, "
            f"got {answers[i, j]} in row {i}, column {j}"
        )
    mirrored = 1 / answers.T
    for i, j in np.argwhere(np.abs(answers * answers.T - 1) > _RECIPROCAL_SLACK):
        if i == j:
            raise ValueError(f"a criterion counts once as much as itself, got {answers[i, i]} in row {i}")
        raise ValueError(
            f"row {i}, column {j} says {answers[i, j]:g} and row {j}, column {i} says {answers[j, i]:g}: "
            "one must be 1 over the other"
        )
    answers = np.where(known, answers, mirrored)
    np.fill_diagonal(answers, 1)
    return answers


def _joined(answers: Array) -> tuple[tuple[int, ...], ...]:
    reach = ~np.isnan(answers)
    for middle in range(len(reach)):
        reach |= np.outer(reach[:, middle], reach[middle])
    return tuple(dict.fromkeys(tuple(map(int, np.flatnonzero(row))) for row in reach))


def _hold_joined(answers: Array) -> None:
    parts = _joined(answers)
    if len(parts) > 1:
        told = " | ".join(", ".join(map(str, part)) for part in parts)
        raise ValueError(f"the comparisons leave {len(parts)} parts that nothing joins: {told}")


def _random_index(n: int, missing: int) -> tuple[float, str]:
    """The mean consistency index of random answers, and whose number that is; 0 where none contradict."""
    could_contradict = (n - 1) * (n - 2) // 2
    if could_contradict == missing:
        return 0.0, NO_TABLE
    if n - 3 < len(_SAATY):
        full, table = _SAATY[n - 3], SAATY_TABLE
    else:
        full, table = (2.7699 * n - 4.3513 - n) / (n - 1), REGRESSION
    if not missing:
        return full, table
    return full * (1 - missing / could_contradict), f"{table}, {REDUCED}"


def _worst_triple(answers: Array) -> tuple[int, int, int] | None:
    """The three criteria whose answers, multiplied the way round, are farthest from 1."""
    logs = np.log(answers)
    worst, triple = _CONSISTENT, None
    for i, j, k in itertools.combinations(range(len(logs)), 3):
        miss = abs(float(logs[i, j] + logs[j, k] + logs[k, i]))
        if miss > worst:  # never where one is NaN
            worst, triple = miss, (i, j, k)
    return triple


def _data(matrix: npt.ArrayLike) -> Array:
    data = np.asarray(matrix, dtype=np.float64)
    if data.ndim != 2 or not data.size:
        raise ValueError(f"scores must have shape (releases, criteria), got shape {data.shape}")
    if not np.isfinite(data).all():
        raise ValueError("weights from the data need complete scores, all finite")
    return data


def _varies(data: Array) -> npt.NDArray[np.bool_]:
    return np.asarray(data.max(axis=0) > data.min(axis=0))


def _shared(amounts: Array) -> Array:
    """Shares in proportion to amounts; equal ones where all are 0."""
    return weight_shares(amounts if amounts.any() else np.ones(len(amounts)), len(amounts))
