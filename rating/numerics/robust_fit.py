"""A robust linear fit: Huber's loss by reweighted least squares, with shrinkage and values known as limits.

n observations, p columns. Huber, Ann. Math. Statist. 35 (1964) 73-101; the scale and the covariance are those
of Huber, Robust Statistics (1981), sections 7.6 and 7.8. Values that are only known to lie at or below a
limit are filled with what the fit expects of them (expectation step of a Tobit model), and count for as much
as they tell.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple, TypeAlias

import numpy as np
import numpy.typing as npt

from rating.numerics.special import log_ndtr, ndtr, ndtri

Floats: TypeAlias = npt.NDArray[np.float64]
Flags: TypeAlias = npt.NDArray[np.bool_]

# 95 % as efficient as least squares where errors are normal
HUBER = 1.345
_MAD = float(ndtri(np.array(0.75)))
_MOST_STEPS = 100
# from a fit nearby so many plain steps come close enough to hold errors out by
_FEW_STEPS = 10
# the step of effects and of logarithms of scales at which a fit has arrived: what is told of one keeps six
# places, and no processor's last bits reach them
_CLOSE = 1e-11
# so many steps are mixed, none of them longer than this: far off they say little of where the others lead
_MIXED, _FAR = 6, 0.1
# a mixed step is at most so many times as long as a plain one
_LEAP = 100
# so far below what is expected, in scales, a limit leaves the median of absolute errors as it is
_CLEAR = 1.0
_FEWEST_CLEAR = 20
# errors that vanish would leave columns that say the same without a prior to tell them apart
_LEAST_SCALE = 1e-3
_LEAST_VARIANCE = 1e-6
# of n errors so many are left at the least when effects have taken theirs
_LEAST_LEFT = 0.1
# a pivot that lost this much of its column is nothing but rounding: the columns say the same
_LEAST_PIVOT = 1e-14
# a triangle of so many rows is inverted as any matrix is
_SMALL = 48
# lets a first guess be made where columns say the same
_LEAST_RIDGE = 1e-9


@dataclass(frozen=True, slots=True)
class Fit:
    """Effects (p), their covariance (p, p), the scale of the errors, and the variances (p) of the priors."""

    effects: Floats
    covariance: Floats
    scale: float
    prior: Floats

    def middle(self, design: Floats) -> Floats:
        """What is expected of each row of a design (m, p), shape (m,)."""
        return np.asarray(design @ self.effects)

    def doubt(self, design: Floats) -> Floats:
        """The standard error of what is expected of each row of a design, shape (m,)."""
        return np.asarray(np.sqrt(np.einsum("ij,jk,ik->i", design, self.covariance, design, optimize=True)))

    def spread(self, design: Floats) -> Floats:
        """The standard error of one new value at each row of a design, shape (m,)."""
        return np.asarray(np.hypot(self.scale, self.doubt(design)))


def fit(
    design: Floats,
    y: Floats,
    *,
    weights: Floats | None = None,
    prior: Floats | None = None,
    pooled: Flags | None = None,
    limited: Flags | None = None,
    start: Fit | None = None,
    spent: bool = False,
) -> Fit:
    """The effects of the columns on y.

    Parameters
    ----------
    design : (n, p)
    y : (n,)
    weights : (n,) how much each observation counts, 1 where none are given
    prior : (p,) variances of the effects around 0; infinite ones, as where none are given, shrink nothing
    pooled : (p,) columns whose effects share a prior variance that is estimated from them (empirical Bayes)
    limited : (n,) where y is only known to be at most the value given
    start : a fit nearby, from which a few plain steps are taken, always as many
    spent : whether the scale allows for what effects take up: n errors of which they explain k away at random
        are taken for sqrt(n / (n - k)) times as large, as in the mean square of a regression

    Raises
    ------
    ValueError
        where shapes do not fit each other, or numbers are not finite
    numpy.linalg.LinAlgError
        where columns say the same, and no prior tells them apart
    """
    n, p = design.shape
    if y.shape != (n,) or not np.isfinite(design).all() or not np.isfinite(y).all():
        raise ValueError(f"a design of {n} by {p} finite numbers needs {n} finite values, got {y.shape}")
    own = np.ones(n) if weights is None else weights
    variance = np.full(p, np.inf) if prior is None else prior.copy()
    hidden = np.zeros(n, dtype=bool) if limited is None else limited
    effects = _solve(design, y, own, np.full(p, _LEAST_RIDGE))[0] if start is None else start.effects
    scale = _scale(y - design @ effects, np.ones(n, dtype=bool)) if start is None else start.scale
    straight = (design * own[:, None]).T @ design
    is_shared = np.zeros(p, dtype=bool) if pooled is None else pooled

    def step(state: Floats, *, keeps_scale: bool = False) -> Floats:
        """The next effects, with the logarithms of the scale and of the shared variance."""
        effects, scale, shared = state[:p], float(np.exp(state[p])), float(np.exp(state[p + 1]))
        filled, _told = _filled(y, design @ effects, scale, hidden)
        robust = own * _weights((filled - design @ effects) / scale)
        ridge = scale**2 / np.where(is_shared, shared, variance)
        root = _root(_normal(design, straight, own, robust) + np.diag(ridge))
        effects = ((robust * filled) @ design @ root.T) @ root
        middle = design @ effects
        own_variances = (root**2).sum(axis=0)
        if not keeps_scale:
            left = 1 - (p - float(ridge @ own_variances)) / n if spent else 1.0
            scale = _scale(y - middle, _clear(y, middle, scale, hidden)) / np.sqrt(max(left, _LEAST_LEFT))
        if pooled is not None:
            found = np.mean(effects[pooled] ** 2 + scale**2 * own_variances[pooled])
            shared = max(float(found), _LEAST_VARIANCE)
        return np.array([*effects, np.log(scale), np.log(shared)])

    near = variance if start is None else start.prior
    shared = float(near[is_shared].mean()) if is_shared.any() else 1.0
    first = np.array([*effects, np.log(scale), np.log(shared)])
    state, arrived = _settled(step, first) if start is None else (first, False)
    if not arrived:
        # scale and effects chase each other round and round: the scale that plain steps come to is kept
        for _ in range(_MOST_STEPS if start is None else _FEW_STEPS):
            first = step(first)
        state, arrived = (first, True) if start else _settled(partial(step, keeps_scale=True), first)
        if not arrived:
            state = first
    effects, scale = state[:p], float(np.exp(state[p]))
    variance[is_shared] = np.exp(state[p + 1])
    middle = design @ effects
    filled, told = _filled(y, middle, scale, hidden)
    covariance = _covariance(design, (filled - middle) / scale, own, told, hidden, scale, variance)
    return Fit(effects, covariance, scale, variance)


def _settled(step: Callable[[Floats], Floats], state: Floats) -> tuple[Floats, bool]:
    """Where steps lead to, by Anderson's mixing of the last few, which takes a fifth of them, if anywhere.

    Walker and Ni (2011), SIAM Journal on Numerical Analysis 49, 1715-1735, type II.
    """
    moves: list[Floats] = []
    ends: list[Floats] = []
    for _ in range(_MOST_STEPS):
        end = step(state)
        move = end - state
        if np.abs(move).max() < _CLOSE:
            return end, True
        if np.abs(move).max() > _FAR:
            moves, ends = [], []
        moves, ends = [*moves[-_MIXED:], move], [*ends[-_MIXED:], end]
        state = end
        if len(moves) > 1:
            shares = np.linalg.lstsq(np.diff(moves, axis=0).T, move, rcond=None)[0]
            mixed = end - np.diff(ends, axis=0).T @ shares
            # where nothing pulls back, as below a limit, a mix of last bits would leap anywhere
            if np.abs(mixed - end).max() <= _LEAP * np.abs(move).max():
                state = mixed
    return state, False


class HeldOut(NamedTuple):
    """What is expected of n observations, (n,), its standard error (n,), and the fits without each fold."""

    middle: Floats
    doubt: Floats
    fits: tuple[Fit, ...]


def held_out(*, folds: npt.NDArray[np.int_], fitted: Callable[[Flags], tuple[Fit, Floats]]) -> HeldOut:
    """What is expected of each observation by fits that have not seen its fold.

    Parameters
    ----------
    folds : (n,) the fold of each observation, from 0
    fitted : gives the fit to the observations that are marked, and the design of all as they tell it
    """
    middle, doubt, fits = np.empty(len(folds)), np.empty(len(folds)), []
    for fold in np.unique(folds):
        out = folds == fold
        part, design = fitted(~out)
        middle[out], doubt[out] = part.middle(design[out]), part.doubt(design[out])
        fits.append(part)
    return HeldOut(middle, doubt, tuple(fits))


def _solve(design: Floats, y: Floats, weights: Floats, ridge: Floats) -> tuple[Floats, Floats]:
    weighed = design * weights[:, None]
    normal = weighed.T @ design + np.diag(ridge)
    inverse = np.asarray(np.linalg.inv(normal), dtype=np.float64)
    return inverse @ (weighed.T @ y), inverse


def _normal(design: Floats, straight: Floats, own: Floats, robust: Floats) -> Floats:
    """The normal matrix of weighed rows, from that of all rows in full: few of them weigh less."""
    bent = robust != own
    if 2 * bent.sum() > len(own):
        return np.asarray((design * robust[:, None]).T @ design)
    part = design[bent]
    return np.asarray(straight - (part * (own - robust)[bent, None]).T @ part)


def _root(normal: Floats) -> Floats:
    """The inverse of the lower factor of Cholesky of a normal matrix: its square is the matrix's inverse."""
    try:
        factor = np.asarray(np.linalg.cholesky(normal), dtype=np.float64)
    except np.linalg.LinAlgError:
        factor = np.zeros_like(normal)
    if (np.diag(factor) ** 2 <= _LEAST_PIVOT * np.diag(normal)).any():
        raise np.linalg.LinAlgError("columns say the same, and no prior tells them apart")
    return _inverse(factor)


def _inverse(lower: Floats) -> Floats:
    """The inverse of a lower triangle, by halves: products of matrices do the work where it is large."""
    size = len(lower)
    if size <= _SMALL:
        return np.asarray(np.linalg.inv(lower), dtype=np.float64)
    half = size // 2
    first, last = _inverse(lower[:half, :half]), _inverse(lower[half:, half:])
    found = np.zeros_like(lower)
    found[:half, :half], found[half:, half:] = first, last
    found[half:, :half] = -last @ (lower[half:, :half] @ first)
    return found


def _weights(z: Floats) -> Floats:
    return np.asarray(HUBER / np.maximum(np.abs(z), HUBER))


def _clear(y: Floats, middle: Floats, scale: float, hidden: Flags) -> Flags:
    """Observations on whose errors the limit has no bearing; all that are seen where these are few."""
    if not hidden.any():
        return ~hidden
    clear = middle > y[hidden].max() + _CLEAR * scale
    return clear if clear.sum() >= _FEWEST_CLEAR else ~hidden


def _scale(errors: Floats, counted: Flags) -> float:
    return max(float(np.median(np.abs(errors[counted]))) / _MAD, _LEAST_SCALE) if counted.any() else 1.0


def _filled(y: Floats, middle: Floats, scale: float, hidden: Flags) -> tuple[Floats, Floats]:
    """y with what is expected below a limit, and how much each observation tells, 0 to 1.

    Expected is the bent error, so that both sides pull alike: with density f, distribution F and bend k the
    mean of the bent error below c is g(c) = (-k F(-k) + f(k) - f(c)) / F(c) where c is between -k and k, and
    it tells g'(c) = f(c) / F(c) (c - g(c)).
    """
    filled, told = y.copy(), np.ones(len(y))
    c = (y[hidden] - middle[hidden]) / scale
    upper = np.clip(c, -HUBER, HUBER)
    below = np.exp(log_ndtr(np.minimum(-HUBER, c)) - log_ndtr(c))
    ratio = _density(c) / ndtr(c).clip(1e-300)
    bent = (
        -HUBER * below
        + (_density(HUBER) - _density(upper)) / ndtr(c).clip(1e-300)
        + HUBER * np.maximum(1 - ndtr(np.array(HUBER)) / ndtr(c).clip(1e-300), 0)
    )
    filled[hidden] = middle[hidden] + scale * bent
    told[hidden] = np.clip(ratio * (upper - bent), 0, 1)
    return filled, told


def _density(z: Floats | float) -> Floats:
    return np.asarray(np.exp(-0.5 * np.square(z)) / np.sqrt(2 * np.pi))


def _covariance(
    design: Floats, z: Floats, own: Floats, told: Floats, hidden: Flags, scale: float, variance: Floats
) -> Floats:
    bent = np.clip(z, -HUBER, HUBER)
    straight = np.abs(z[~hidden]) <= HUBER
    share = max(float(straight.mean()), 1 / len(z)) if len(straight) else 1.0
    weights = own * np.where(hidden, np.minimum(told / share, 1), 1)
    inverse = _solve(design, z, weights, scale**2 / variance)[1]
    used = float(np.einsum("ij,jk,ik,i->", design, inverse, design, weights, optimize=True))
    correction = 1 + used / len(z) * share * (1 - share) / share**2
    noise = float((own * bent**2).sum()) / max(float(weights.sum()) - used, 1.0) / share**2
    return np.asarray(inverse * (scale * correction) ** 2 * noise)
