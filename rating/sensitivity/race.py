"""The exact chance that a weighted sum is positive when the weights are exponentials over their sum."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


def race(gaps: Array) -> Array:
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
