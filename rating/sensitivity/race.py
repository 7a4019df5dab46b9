"""The exact chance that a weighted sum is positive when the weights are exponentials over their sum."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


def race(gaps: Array) -> Array:
    """The chance of a positive weighted sum for each row of differences, at least one of which is not 0."""
    falling = np.sort(gaps, axis=1)
    leads = (falling > 0).sum(axis=1)
    chances = np.where((gaps == 0).all(axis=1), 0.5, 0.0)
    for count in np.unique(leads[leads > 0]):
        rows = leads == count
        steps = falling[rows].T
        chances[rows] = _outlast(steps[-count:], -steps[:-count])
    return chances


def _outlast(x: Array, y: Array) -> Array:
    """The chance that waiting times of mean x, one after the other, last longer than those of mean y.

    x and y have shapes (p, pairs) and (q, pairs); x above 0, y may be 0. One diagonal of states after the
    other, from the last: chance[i] belongs to the state in which i of x are over, and 1 - the start - is what
    holds when all of y are.
    """
    p, q = len(x), len(y)
    chance = np.ones((p + 1, x.shape[1]))
    chance[p] = 0
    for over in range(p + q - 2, -1, -1):
        low, high = max(0, over - q + 1), min(p - 1, over) + 1
        lasting, other = x[low:high], y[over - high + 1 : over - low + 1][::-1]
        chance[low:high] = (lasting * chance[low:high] + other * chance[low + 1 : high + 1]) / (
            lasting + other
        )
    return np.asarray(chance[0])
