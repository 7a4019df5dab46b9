"""The smallest change of weights that brings one release level with another, exactly; a hair more swaps them.

m releases, n criteria. Weights are shares that sum to 1 and stay from 0 to 1. The size of a change is what
all shares move together.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rating.core.combine import weight_shares
from rating.sensitivity.uncertain import TIE, complete_table

Array = npt.NDArray[np.float64]
# so many pairs at a time stay in the cache of a core
_PAIRS = 1024


@dataclass(frozen=True, slots=True, kw_only=True)
class SmallestChange:
    """The smallest change that brings release `up` level with release `down` (rows of the scores).

    weights (n,) sum to 1 and distance is the size of the change, 0 where it is level or ahead as it is; both
    are None where no weights do it, and reason says why.
    """

    up: int
    down: int
    weights: Array | None
    distance: float | None
    reason: str = ""


def smallest_change(scores: npt.ArrayLike, weights: npt.ArrayLike, up: int, down: int) -> SmallestChange:
    """The weights nearest to the given ones at which one release is level with another.

    Parameters
    ----------
    scores : array of shape (m, n), complete, higher is better
    weights : array of shape (n,), any positive scale
    up, down : the rows of the release to be lifted and of the one to be passed

    Raises
    ------
    ValueError
        if scores are not complete, the weights are negative, not finite, all zero or not n, or a row is
        not there or both are the same
    """
    table = complete_table(scores)
    shares = weight_shares(weights, table.shape[1])
    if up == down or not (0 <= up < len(table) and 0 <= down < len(table)):
        raise ValueError(f"up and down must be two of the rows 0 to {len(table) - 1}, got {up} and {down}")
    difference = table[up] - table[down]
    if not difference.any():
        reason = f"rows {up} and {down} are identical, so they tie whatever the weights"
        return SmallestChange(up=up, down=down, weights=None, distance=None, reason=reason)
    level, distances = nearest_weights(difference[np.newaxis], shares)
    if np.isinf(distances[0]):
        reason = f"no weights put row {up} above row {down}: it is better on no criterion"
        return SmallestChange(up=up, down=down, weights=None, distance=None, reason=reason)
    return SmallestChange(up=up, down=down, weights=level[0], distance=float(distances[0]))


def nearest_weights(differences: npt.ArrayLike, weights: npt.ArrayLike) -> tuple[Array, Array]:
    """The nearest weights for many pairs at once.

    Parameters
    ----------
    differences : array of shape (pairs, n), the scores of the one to be lifted less those of the other
    weights : array of shape (n,), any positive scale

    Returns
    -------
    the weights, shape (pairs, n), NaN where none will do, and the sizes, shape (pairs,), then infinite

    Raises
    ------
    ValueError
        as for `smallest_change`
    """
    table = complete_table(differences)
    shares = weight_shares(weights, table.shape[1])
    tie = TIE * float(np.abs(table).max())
    parts = [_part(table[start : start + _PAIRS], shares, tie) for start in range(0, len(table), _PAIRS)]
    return np.concatenate([one for one, _ in parts]), np.concatenate([one for _, one in parts])


def _part(table: Array, shares: Array, tie: float) -> tuple[Array, Array]:
    able = table.max(axis=1) > 0
    open_pairs = (table @ shares < -tie) & able
    level = np.broadcast_to(shares, table.shape).copy()
    level[open_pairs] = _exchange(table[open_pairs], shares)
    level[~able & table.any(axis=1)] = np.nan
    sizes = np.abs(level - shares).sum(axis=1)
    return level, np.where(np.isnan(sizes), np.inf, sizes)


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
    level: Array = np.empty_like(there)
    np.put_along_axis(level, order, there, axis=1)
    return level
