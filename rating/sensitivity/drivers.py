"""What a number hangs on: the share of its variance that each uncertain input brings (Sobol indices).

n independent inputs. The first-order index of an input is the share of variance that goes when it alone is
known, the total index the share that stays when it alone is not.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rating.core.combine import HIGHEST, LOWEST, weight_shares
from rating.sensitivity.uncertain import whole

Array = npt.NDArray[np.float64]
Function = Callable[[Array], Array]


@dataclass(frozen=True, slots=True, kw_only=True)
class SobolIndices:
    """First-order and total indices of n inputs, with standard errors, each of shape (n,).

    The errors are those of independent draws; the draws fill the space more evenly, so they are upper ones.
    """

    first: Array
    total: Array
    first_error: Array
    total_error: Array


def sobol(function: Function, bounds: npt.ArrayLike, draws: int, seed: int) -> SobolIndices:
    """First-order and total indices of a function of independent, uniformly spread inputs.

    Parameters
    ----------
    function : takes an array of shape (draws, n) and gives one of shape (draws,); called n + 2 times
    bounds : array of shape (n, 2), the low and the high end of each input; equal ends hold it still
    draws : at least 2; estimates are best at powers of 2
    seed : the same seed gives the same answer

    Returns
    -------
    Indices; all 0 for a function that is constant. An estimate may leave 0 to 1 by its error

    Raises
    ------
    ValueError
        if bounds are not finite or fall, draws or seed are out of range, or the function gives another shape
        or something that is not finite

    References
    ----------
    Saltelli et al. (2010), Computer Physics Communications 181(2), 259-270: table 2, estimators (b) for the
    first-order and (f), of Jansen, for the total index.
    """
    from scipy.stats import qmc  # takes longer to load than most indices to work out

    ends = np.asarray(bounds, dtype=np.float64)
    if ends.ndim != 2 or ends.shape[1] != 2 or len(ends) == 0:
        raise ValueError(f"bounds must have shape (inputs, 2), got {ends.shape}")
    if not (np.isfinite(ends).all() and (ends[:, 0] <= ends[:, 1]).all()):
        raise ValueError(f"bounds must be finite and not fall, got {ends.tolist()}")
    count, n = whole(draws, "draws", least=2), len(ends)
    sampler = qmc.Sobol(2 * n, rng=np.random.default_rng(whole(seed, "the seed", least=0)))
    # the sequence is drawn to the next power of 2, where it is balanced
    points = sampler.random_base2((count - 1).bit_length())[:count]
    low, width = ends[:, 0], ends[:, 1] - ends[:, 0]
    sample_a, sample_b = low + points[:, :n] * width, low + points[:, n:] * width

    at_a, at_b = _values(function, sample_a), _values(function, sample_b)
    both = np.concatenate([at_a, at_b])
    variance = both.var()
    if both.min() == both.max():
        zeros = np.zeros(n)
        return SobolIndices(first=zeros, total=zeros, first_error=zeros, total_error=zeros)
    # taking off the mean changes no index and keeps the products small
    at_a, at_b, middle = at_a - both.mean(), at_b - both.mean(), both.mean()
    first, total = np.empty((n, count)), np.empty((n, count))
    for k in range(n):
        mixed = sample_a.copy()
        mixed[:, k] = sample_b[:, k]
        at_mixed = _values(function, mixed) - middle
        first[k] = at_b * (at_mixed - at_a) / variance
        total[k] = (at_a - at_mixed) ** 2 / (2 * variance)
    return SobolIndices(
        first=first.mean(axis=1),
        total=total.mean(axis=1),
        first_error=first.std(axis=1, ddof=1) / np.sqrt(count),
        total_error=total.std(axis=1, ddof=1) / np.sqrt(count),
    )


def linear_indices(weights: npt.ArrayLike, spreads: npt.ArrayLike) -> Array:
    """The exact share of a grade's variance that each score's doubt brings, where the grade is their mean.

    In a sum of independent parts, first-order and total index are the same: the variance of a part,
    (weight times spread)^2 / 6 for a triangular score, over that of the sum.

    Parameters
    ----------
    weights : array of shape (n,), any positive scale
    spreads : array of shape (n,) or (m, n), half-widths of triangular scores in points; NaN where a score is
        unknown, which may be anything from 0 to 100 (variance 100^2 / 12); 0 where it does not apply

    Returns
    -------
    array of the shape of `spreads`, summing to 1 along its last axis; all 0 where nothing is in doubt

    Raises
    ------
    ValueError
        if spreads are negative or infinite, or the weights are negative, not finite, all zero or not n

    References
    ----------
    Saltelli et al. (2008), Global Sensitivity Analysis: The Primer, Wiley, chapter 1: linear models.
    """
    given = np.asarray(spreads, dtype=np.float64)
    if given.ndim not in {1, 2} or np.isinf(given).any() or (given < 0).any():
        raise ValueError(
            f"spreads must be one or two rows deep, not negative and finite, got {given.tolist()}"
        )
    shares = weight_shares(weights, given.shape[-1])
    scores = np.where(np.isnan(given), (HIGHEST - LOWEST) ** 2 / 12, given**2 / 6)
    parts = shares**2 * scores
    sums = parts.sum(axis=-1, keepdims=True)
    indices: Array = np.divide(parts, sums, out=np.zeros_like(parts), where=sums > 0)
    return indices


def _values(function: Function, inputs: Array) -> Array:
    values = np.asarray(function(inputs), dtype=np.float64)
    if values.shape != inputs.shape[:1]:
        raise ValueError(f"the function must give shape {inputs.shape[:1]}, got {values.shape}")
    if not np.isfinite(values).all():
        raise ValueError(f"the function must give finite numbers, got {values[~np.isfinite(values)][0]}")
    return values
