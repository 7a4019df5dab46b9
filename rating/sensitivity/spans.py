"""How far one weight can go before the order or the leader changes: exact ends, without a grid.

m releases, n criteria. The share of one criterion is varied, the others keep their proportions to each other.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rating.core.combine import weight_shares
from rating.sensitivity.uncertain import TIE, complete_table

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightSpans:
    """Shares of weight, each array of shape (n,), between which something holds; 0 and 1 are no limit.

    low, high: the order of all releases; leader_low, leader_high: who leads. At an end two releases tie, and
    past it they have changed places. The share that was given lies between, at both ends where a tie would
    break whichever way it moved.
    """

    low: Array
    high: Array
    leader_low: Array
    leader_high: Array


def weight_spans(scores: npt.ArrayLike, weights: npt.ArrayLike) -> WeightSpans:
    """The share of each criterion between which the order and the leader hold.

    Two releases whose scores differ by d tie at the share R / (R - d_k), where R is the difference of their
    means over the other criteria, at one share or none. As a weight moves, the first two to meet are
    neighbours in the ranking, so the work is of the order m n.

    Parameters
    ----------
    scores : array of shape (m, n), complete, higher is better
    weights : array of shape (n,), any positive scale

    Returns
    -------
    WeightSpans of shares from 0 to 1. Releases that tie at every share (identical ones) limit nothing, and a
    criterion that has all of the weight, beside which nothing else counts, is limited by nothing

    Raises
    ------
    ValueError
        if scores are not complete or the weights are negative, not finite, all zero or not n
    """
    table = complete_table(scores)
    shares = weight_shares(weights, table.shape[1])
    grades = table @ shares
    # a row a criterion, so that each row is looked through at a stretch
    ranked = np.take(table.T, np.argsort(-grades, kind="stable"), axis=1)
    tie = TIE * float(np.abs(table).max())
    low, high = _ends(ranked[:, :-1] - ranked[:, 1:], shares, tie)
    leader_low, leader_high = _ends(ranked[:, :1] - ranked[:, 1:], shares, tie)
    return WeightSpans(low=low, high=high, leader_low=leader_low, leader_high=leader_high)


def _ends(differences: Array, shares: Array, tie: float) -> tuple[Array, Array]:
    """Between which shares pairs keep their order; differences, better less worse, have shape (n, pairs).

    A pair ties when lead / d_k is taken off weight k; the others kept and all rescaled, that is the share
    (w_k - lead / d_k) / (1 - lead / d_k).
    """
    leads = shares @ differences
    level = np.abs(leads) <= tie
    if level.any():
        breaks = (differences[:, level] != 0).any(axis=1)
        leads[level] = np.inf  # whatever they limit is said by what breaks
    else:
        breaks = np.zeros(len(shares), dtype=np.bool_)
    per_lead = differences / leads
    most, least = per_lead.max(axis=1, initial=0), -per_lead.min(axis=1, initial=0)
    less = np.divide(1, most, out=np.full_like(most, np.inf), where=most > 0)
    more = np.divide(1, least, out=np.full_like(least, np.inf), where=least > 0)
    less[breaks] = more[breaks] = 0
    # all of a weight taken off is the share 0, and there is no more to take
    less = np.minimum(less, shares)
    low = np.where(shares < 1, (shares - less) / np.where(shares < 1, 1 - less, 1), 0)
    room = np.isfinite(more) & (shares < 1)
    high = np.where(room, (shares + more) / np.where(room, 1 + more, 1), 1)
    return low, high
