"""How far one weight can go before the order or the leader changes: exact ends, without a grid.

m releases, n criteria. The share of one criterion is varied, the others keep their proportions to each other.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rating.core.combine import weight_shares
from rating.sensitivity.uncertain import score_table

Array = npt.NDArray[np.float64]

# grades nearer than this part of the largest score are equal: it is what rounding leaves of a tie
TIE = 1e-12


@dataclass(frozen=True, slots=True, kw_only=True)
class Intervals:
    """Shares of weight, each array of shape (n,), between which something holds; 0 and 1 are no limit.

    low, high: the order of all releases; leader_low, leader_high: who leads. At an end two releases tie, and
    past it they have changed places. The share that was given lies between, at both ends where a tie would
    break whichever way it moved.
    """

    low: Array
    high: Array
    leader_low: Array
    leader_high: Array


def intervals(scores: npt.ArrayLike, weights: npt.ArrayLike) -> Intervals:
    """The share of each criterion between which the order and the leader hold.

    Two releases whose scores differ by d tie at the share R / (R - d_k), where R is the difference of their
    means over the other criteria. As a weight moves, the first two to meet are neighbours in the ranking, so
    the work is of the order m n.

    Parameters
    ----------
    scores : array of shape (m, n), complete, higher is better
    weights : array of shape (n,), any positive scale

    Returns
    -------
    Intervals of shares from 0 to 1. Releases that tie at every share (identical ones) limit nothing, and a
    criterion that has all of the weight, beside which nothing else counts, is limited by nothing

    Raises
    ------
    ValueError
        if scores are not complete or the weights are negative, not finite, all zero or not n
    """
    table = complete(scores)
    shares = weight_shares(weights, table.shape[1])
    grades = table @ shares
    ranked = table[np.argsort(-grades, kind="stable")]
    tie = TIE * float(np.abs(table).max())
    low, high = _ends(ranked[:-1] - ranked[1:], shares, tie)
    leader_low, leader_high = _ends(ranked[:1] - ranked[1:], shares, tie)
    return Intervals(low=low, high=high, leader_low=leader_low, leader_high=leader_high)


def complete(scores: npt.ArrayLike) -> Array:
    """Scores as an array of shape (m, n); ValueError where one is unknown, or for another shape."""
    table = score_table(scores)
    if np.isnan(table).any():
        row, column = np.argwhere(np.isnan(table))[0]
        raise ValueError(f"this needs complete scores, got NaN in row {row}, column {column}")
    return table


def _ends(differences: Array, shares: Array, tie: float) -> tuple[Array, Array]:
    """Between which shares pairs keep their order; differences, better less worse, have shape (pairs, n)."""
    leads = differences @ shares
    leads[np.abs(leads) <= tie] = 0
    # a criterion with all of the weight leaves no mean over the others, and is put right below
    others = np.where(shares < 1, 1 - shares, 1)
    rest = (leads[:, np.newaxis] - shares * differences) / others
    span = rest - differences
    meets = np.divide(rest, span, out=np.zeros_like(rest), where=span != 0)
    # the lead is its rest at share 0 and its difference at share 1, and a straight line between
    low = np.where(rest < 0, meets, 0).max(axis=0, initial=0)
    high = np.where(differences < 0, meets, 1).min(axis=0, initial=1)
    breaks = ((leads == 0)[:, np.newaxis] & (differences != 0)).any(axis=0)
    low, high = np.where(breaks, shares, low), np.where(breaks, shares, high)
    return np.where(shares < 1, np.minimum(low, shares), 0), np.where(shares < 1, np.maximum(high, shares), 1)
