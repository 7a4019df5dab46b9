"""The exact chance that one release beats another when weights are uncertain and scores are not.

m releases, n criteria, higher is better. What `ranges` counts as wins over draws comes near these.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from rating.core.combine import weight_shares
from rating.sensitivity import uncertain

Array = npt.NDArray[np.float64]

# so many numbers of all pairs are worked on at a time
_PAIRS = 2**20


def win_shares(
    scores: npt.ArrayLike,
    weights: npt.ArrayLike | None = None,
    concentration: float | None = None,
    *,
    order: bool = False,
) -> Array:
    """The exact chance that one release beats another when weights are uncertain and scores are not.

    Parameters
    ----------
    scores : array of shape (m, n), complete
    weights, concentration, order : as for `rank_shares`, but concentration times share must be whole for each
        criterion, and in an order no two weights may be equal

    Returns
    -------
    array of shape (m, m): the chance that the row's release beats the column's; 1/2 between identical ones

    Raises
    ------
    ValueError
        if scores are unknown, the weights do not answer exactly, or as for `rank_shares`

    Notes
    -----
    Weights are n exponentials over their sum, so the leads x and the arrears y of a pair are two chains of
    waiting times in a race, of which the shorter loses: f(i, j) = p f(i, j+1) + (1-p) f(i+1, j) with
    p = x_i / (x_i + y_j). All terms are positive. Whole Dirichlet weights repeat a column, an order turns
    scores into running means.
    """
    table = uncertain.score_table(scores)
    if not np.isfinite(table).all():
        raise ValueError("exact win shares need complete scores, got NaN; rank_shares draws what is unknown")
    columns = _exponentials(table, weights, concentration, order=order)
    m = len(table)
    above, below = np.triu_indices(m, 1)
    wins = np.full((m, m), 0.5)
    for start in range(0, len(above), max(1, _PAIRS // columns.shape[1])):
        part = slice(start, start + max(1, _PAIRS // columns.shape[1]))
        chances = _race(columns[above[part]] - columns[below[part]])
        wins[above[part], below[part]] = chances
        wins[below[part], above[part]] = 1 - chances
    return wins


def _exponentials(
    table: Array, weights: npt.ArrayLike | None, concentration: float | None, *, order: bool
) -> Array:
    """Scores on criteria of which the weights are independent exponentials over their sum."""
    n = table.shape[1]
    if weights is None and concentration is None and not order:
        return table
    shares = weight_shares(np.ones(n) if weights is None else weights, n)
    kept = np.flatnonzero(shares)
    if concentration is not None:
        alphas = uncertain.alphas_of(weights, shares[kept], concentration, order=order)
        times = np.rint(alphas)
        if not np.allclose(alphas, times, rtol=0, atol=1e-9) or (times == 0).any():
            raise ValueError(f"concentration times share must be whole, got {alphas.tolist()}")
        return np.repeat(table[:, kept], times.astype(np.intp), axis=1)
    if not order:
        raise ValueError("at constant weights nothing is left to chance; give a concentration or an order")
    groups = uncertain.falling(shares[kept], equal_is_open=weights is not None)
    if len(groups) < len(kept):
        raise ValueError("equal weights leave their order open, which only drawing answers (rank_shares)")
    # a point among falling weights is a mix of the means of the first 1, 2, … criteria
    falling = table[:, kept[np.concatenate(groups)]]
    return np.asarray(np.cumsum(falling, axis=1) / np.arange(1, len(kept) + 1))


def _race(gaps: Array) -> Array:
    """The chance that a weighted sum of each row is above 0; 1/2 for a row of zeros.

    Parameters
    ----------
    gaps : array of shape (pairs, n)

    Returns
    -------
    array of shape (pairs,), good to some last bits, since all terms are positive
    """
    rising = np.sort(gaps, axis=1)
    leads = (rising > 0).sum(axis=1)
    chances = np.where((gaps == 0).all(axis=1), 0.5, 0.0)
    for count in np.unique(leads[leads > 0]):
        rows = leads == count
        steps = np.ascontiguousarray(rising[rows].T)
        chances[rows] = _outlast(steps[-count:], -steps[:-count])
    return chances


def _outlast(x: Array, y: Array) -> Array:
    """The chance that a chain of exponential waiting times, of means x, takes longer than one of means y.

    x and y have shapes (p, pairs) and (q, pairs), x above 0, y at least 0. With i waits of x over and j of y,
    the next to end is one of y with chance x_i / (x_i + y_j). States are worked out by diagonals of equal
    i + j from the last one; chance[i] starts at what holds when y is over first (1) and when x is (0).
    """
    p, q = len(x), len(y)
    chance = np.ones((p + 1, x.shape[1]))
    chance[p] = 0
    for over in range(p + q - 2, -1, -1):
        low, high = max(0, over - q + 1), min(p - 1, over) + 1
        of_x, of_y = x[low:high], y[over - high + 1 : over - low + 1][::-1]
        ends = of_x * chance[low:high] + of_y * chance[low + 1 : high + 1]
        chance[low:high] = ends / (of_x + of_y)
    return np.asarray(chance[0])
