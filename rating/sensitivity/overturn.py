"""The smallest change of weights that brings one release level with another, exactly; a hair more swaps them.

m releases, n criteria. Weights are shares that sum to 1 and stay from 0 to 1. The size of a change is what
all shares move together ("l1") or the root of the sum of squares ("l2").
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from rating.core.combine import weight_shares
from rating.sensitivity.stability import TIE, complete

Array = npt.NDArray[np.float64]
Norm = Literal["l1", "l2"]

# so many pairs at a time stay in the cache of a core
_PAIRS = 1024


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """The smallest change that brings release `up` level with release `down` (rows of the scores).

    weights (n,) sum to 1 and distance is the size of the change, 0 where it is level or ahead as it is; both
    are None where no weights do it, and reason says why.
    """

    up: int | None
    down: int | None
    weights: Array | None
    distance: float | None
    reason: str = ""


def smallest_change(
    scores: npt.ArrayLike, weights: npt.ArrayLike, up: int, down: int, norm: Norm = "l1"
) -> Change:
    """The weights nearest to the given ones at which one release is level with another.

    Parameters
    ----------
    scores : array of shape (m, n), complete, higher is better
    weights : array of shape (n,), any positive scale
    up, down : the rows of the release to be lifted and of the one to be passed
    norm : "l1" for the least that moves in all, "l2" for the least squares

    Raises
    ------
    ValueError
        if scores are not complete, the weights are negative, not finite, all zero or not n, a row is not
        there or both are the same, or for another norm
    """
    table = complete(scores)
    shares = weight_shares(weights, table.shape[1])
    if up == down or not (0 <= up < len(table) and 0 <= down < len(table)):
        raise ValueError(f"up and down must be two of the rows 0 to {len(table) - 1}, got {up} and {down}")
    difference = table[up] - table[down]
    if not difference.any():
        reason = f"rows {up} and {down} are identical, so they tie whatever the weights"
        return Change(up=up, down=down, weights=None, distance=None, reason=reason)
    found, distances = nearest(difference[np.newaxis], shares, norm)
    if np.isinf(distances[0]):
        reason = f"no weights put row {up} above row {down}: it is better on no criterion"
        return Change(up=up, down=down, weights=None, distance=None, reason=reason)
    return Change(up=up, down=down, weights=found[0], distance=float(distances[0]))


def dethrone(scores: npt.ArrayLike, weights: npt.ArrayLike, norm: Norm = "l1") -> Change:
    """The smallest change at which somebody is level with the leader, and who; as `smallest_change`.

    Where two lead already, the distance is 0. Of releases that are equally near the first is named.
    """
    table = complete(scores)
    shares = weight_shares(weights, table.shape[1])
    leader = int(np.argmax(table @ shares))
    differences = table - table[leader]
    found, distances = nearest(differences, shares, norm)
    # one that is identical to the leader ties with it for ever and never passes it
    distances[~differences.any(axis=1)] = np.inf
    up = int(np.argmin(distances))
    if np.isinf(distances[up]):
        why = "there is no other" if len(table) == 1 else "no other is better on any criterion"
        reason = f"row {leader} leads whatever the weights: {why}"
        return Change(up=None, down=leader, weights=None, distance=None, reason=reason)
    return Change(up=up, down=leader, weights=found[up], distance=float(distances[up]))


def nearest(differences: npt.ArrayLike, weights: npt.ArrayLike, norm: Norm = "l1") -> tuple[Array, Array]:
    """The nearest weights for many pairs at once.

    Parameters
    ----------
    differences : array of shape (pairs, n), the scores of the one to be lifted less those of the other
    weights : array of shape (n,), any positive scale
    norm : as for `smallest_change`

    Returns
    -------
    the weights, shape (pairs, n), NaN where none will do, and the sizes, shape (pairs,), then infinite

    Raises
    ------
    ValueError
        as for `smallest_change`
    """
    table = complete(differences)
    shares = weight_shares(weights, table.shape[1])
    if norm not in {"l1", "l2"}:
        raise ValueError(f"norm is l1 or l2, not {norm!r}")
    tie = TIE * float(np.abs(table).max())
    parts = [
        _part(table[start : start + _PAIRS], shares, norm, tie) for start in range(0, len(table), _PAIRS)
    ]
    return np.concatenate([one for one, _ in parts]), np.concatenate([one for _, one in parts])


def _part(table: Array, shares: Array, norm: Norm, tie: float) -> tuple[Array, Array]:
    able = table.max(axis=1) > 0
    open_pairs = (table @ shares < -tie) & able
    found = np.broadcast_to(shares, table.shape).copy()
    solve = _exchange if norm == "l1" else _project
    found[open_pairs] = solve(table[open_pairs], shares)
    found[~able & table.any(axis=1)] = np.nan
    moves = found - shares
    sizes = np.abs(moves).sum(axis=1) if norm == "l1" else np.sqrt((moves**2).sum(axis=1))
    return found, np.where(np.isnan(sizes), np.inf, sizes)


def _exchange(differences: Array, shares: Array) -> Array:
    """Take from where it costs most, in turn, and give it all to where it brings most.

    A share moved from criterion i to the best one brings the difference of their differences, whatever else
    is moved; so to move the least is to move first what brings the most.
    """
    order = np.argsort(differences, axis=1)
    sizes, there = np.take_along_axis(differences, order, axis=1), shares[order]
    brings = sizes[:, -1:] - sizes
    all_of_it = there * brings
    missing = -(differences @ shares)[:, np.newaxis]
    still = missing + all_of_it - np.cumsum(all_of_it, axis=1)
    # what brings nothing is not taken
    taken = np.clip(still / np.where(brings > 0, brings, np.inf), 0, there)
    there -= taken
    there[:, -1] += taken.sum(axis=1)
    found: Array = np.empty_like(there)
    np.put_along_axis(found, order, there, axis=1)
    return found


def _project(differences: Array, shares: Array) -> Array:
    """The foot of the perpendicular on the weights at which the pair ties, sum 1 and none below 0.

    Along the way, the shares that are free rise or fall by their difference from the mean over the free ones.
    That mean only rises, so a share that has come to 0 stays there, and one that starts at 0 is free only if
    it rises at once. So whatever falls below 0 is fixed there and the rest solved again, which ends exactly.
    """
    free = _start(differences, shares)
    while True:
        count = free.sum(axis=1, keepdims=True)
        given = np.where(free, shares, 0)
        # what the fixed ones held is spread evenly over the free ones
        given = np.where(free, given + (1 - given.sum(axis=1, keepdims=True)) / count, 0)
        middle = np.where(free, differences, 0).sum(axis=1, keepdims=True) / count
        away = np.where(free, differences - middle, 0)
        steps = -(given * differences).sum(axis=1) / (away**2).sum(axis=1)
        found: Array = given + steps[:, np.newaxis] * away
        below = free & (found < 0)
        if not below.any():
            return found
        free &= ~below


def _start(differences: Array, shares: Array) -> npt.NDArray[np.bool_]:
    """The shares that are free at the start: those above 0, and the others that rise at once."""
    free = np.broadcast_to(shares > 0, differences.shape).copy()
    at_zero = np.flatnonzero(shares == 0)
    rows = np.arange(len(differences))
    # from the one that brings most: each that joins lifts the mean that the next must be above
    for place in np.argsort(-differences[:, at_zero], axis=1, kind="stable").T:
        own = at_zero[place]
        middle = np.where(free, differences, 0).sum(axis=1) / free.sum(axis=1)
        free[rows, own] = differences[rows, own] > middle
    return free
