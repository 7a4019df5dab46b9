"""Scores and weights that are uncertain: input checked once, and what of it ties or is drawn and how.

m releases, n criteria.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Literal

import numpy as np
import numpy.typing as npt

from rating.core.combine import HIGHEST, LOWEST
from rating.sensitivity import drawing

Array = npt.NDArray[np.float64]
Truth = npt.NDArray[np.bool_]
Whole = npt.NDArray[np.intp]
Drawn = Literal["triangular", "uniform"]

# grades nearer than this part of the largest score are equal: it is what rounding leaves of a tie
TIE = 1e-12

_DIGITS = 14


def score_table(scores: npt.ArrayLike) -> Array:
    """Scores as an array of shape (m, n), NaN where unknown; ValueError for another shape or infinity.

    They are taken to 14 digits of the largest one, so that 0.1 + 0.2 and 0.3 are the same score.
    """
    table = np.array(scores, dtype=np.float64)
    if table.ndim != 2 or 0 in table.shape:
        raise ValueError(f"scores must have shape (releases, criteria), got shape {table.shape}")
    if np.isinf(table).any():
        row, column = np.argwhere(np.isinf(table))[0]
        raise ValueError(
            f"scores must be finite or NaN, got {table[row, column]:g} in row {row}, column {column}"
        )
    largest = np.abs(table).max(initial=0.0, where=~np.isnan(table))
    if largest > 0:
        table = np.round(table, _DIGITS - math.ceil(math.log10(largest)))
    # -0 and 0 are the same score
    return table + 0.0


def complete_table(scores: npt.ArrayLike) -> Array:
    """Scores as an array of shape (m, n); ValueError where one is unknown, or for another shape."""
    table = score_table(scores)
    if np.isnan(table).any():
        row, column = np.argwhere(np.isnan(table))[0]
        raise ValueError(f"this needs complete scores, got NaN in row {row}, column {column}")
    return table


def whole(value: int, what: str, *, least: int = 1) -> int:
    """A whole number; ValueError for another value or one below `least`."""
    if isinstance(value, bool) or not isinstance(value, int | np.integer) or value < least:
        raise ValueError(f"{what} must be a whole number of at least {least}, got {value!r}")
    return int(value)


def half_widths(spreads: npt.ArrayLike | None, table: Array) -> Array:
    """Spreads as an array of shape (m, n); ValueError if one of a known score is negative or no number."""
    given = np.asarray(0.0 if spreads is None else spreads, dtype=np.float64)
    if given.shape not in {(), table.shape[1:], table.shape}:
        raise ValueError(f"spreads must have shape {table.shape} or {table.shape[1:]}, got {given.shape}")
    wide = np.broadcast_to(given, table.shape)
    wrong = ~(np.isfinite(wide) & (wide >= 0)) & ~np.isnan(table)
    if wrong.any():
        row, column = np.argwhere(wrong)[0]
        raise ValueError(
            "spreads must be finite and not negative, "
            f"got {wide[row, column]:g} in row {row}, column {column}"
        )
    return wide


def applying(applies: npt.ArrayLike | None, table: Array) -> Truth:
    """Which criteria apply, as an array of shape (m, n); ValueError for another shape or kind."""
    given = np.ones(table.shape, dtype=np.bool_) if applies is None else np.asarray(applies)
    if given.shape != table.shape or given.dtype != np.bool_:
        raise ValueError(
            f"applies must be true or false of shape {table.shape}, got {given.dtype} {given.shape}"
        )
    return given


def drawn_from(table: Array, spreads: Array, holds: Truth, drawn: Drawn) -> tuple[Array, Array, Truth]:
    """Middles and half-widths of what scores are drawn from, and which are drawn uniformly."""
    if not holds.any(axis=1).all():
        raise ValueError(
            f"nothing that weighs applies to the release in row {int(np.argmin(holds.any(axis=1)))}"
        )
    unknown = np.isnan(table) & holds
    middle = np.where(unknown, (HIGHEST + LOWEST) / 2, np.where(holds, table, 0.0))
    half = np.where(unknown, (HIGHEST - LOWEST) / 2, np.where(holds, spreads, 0.0))
    return middle, half, unknown | (drawn == "uniform") & (half > 0)


def alike(
    middle: Array, half: Array, holds: Truth, weights: npt.NDArray[np.generic] | None
) -> tuple[Whole, Whole]:
    """The first row of each group of releases that always tie, and the group of each release.

    With drawn weights two grades without doubt are equal always or never: always where scores and what
    applies are the same, or where all scores that apply to either are one number. At constant weights equal
    grades tie, worked out exactly from the decimal digits.
    """
    keys: dict[object, int] = {}
    first, group = [], []
    for row, (scores, widths, counts) in enumerate(zip(middle, half, holds, strict=True)):
        known = scores[counts]
        key: object
        if widths.any():
            key = row
        elif weights is not None:
            parts = [_as_written(w) for w in weights[counts].tolist()]
            grades = (w * _as_written(s) for w, s in zip(parts, known.tolist(), strict=True))
            key = ("grade", sum(grades, Fraction()) / sum(parts, Fraction()))
        elif (known == known[0]).all():
            key = ("everywhere", float(known[0]))
        else:
            key = (scores.tobytes(), counts.tobytes())
        if key not in keys:
            keys[key] = len(keys)
            first.append(row)
        group.append(keys[key])
    return np.array(first), np.array(group)


def weighting(
    weights: npt.ArrayLike | None, shares: Array, concentration: float | None, *, order: bool
) -> drawing.Fill | None:
    """How the weights that count are drawn; None where they are constant."""
    if concentration is not None:
        return drawing.dirichlet(alphas_of(weights, shares, concentration, order=order))
    if order:
        return drawing.ordered(falling(shares, equal_is_open=weights is not None))
    return drawing.uniform if weights is None else None


def alphas_of(weights: npt.ArrayLike | None, shares: Array, concentration: float, *, order: bool) -> Array:
    """The parameters of Dirichlet weights around given shares; ValueError where they make no sense."""
    if weights is None or order:
        raise ValueError("a concentration needs weights to keep to, and no order")
    if not (np.isfinite(concentration) and concentration > 0):
        raise ValueError(f"a concentration must be finite and above 0, got {concentration!r}")
    return np.asarray(concentration * shares)


def falling(shares: Array, *, equal_is_open: bool) -> list[Whole]:
    """Criteria from the most to the least important, equal ones in one group."""
    criteria = np.argsort(-shares, kind="stable")
    if not equal_is_open:
        return np.split(criteria, np.arange(1, len(criteria)))
    return np.split(criteria, np.flatnonzero(np.diff(shares[criteria])) + 1)


def _as_written(value: float) -> Fraction:
    """The fraction that the digits of a number say: 0.1 is one tenth, not its binary neighbour."""
    return Fraction(f"{value:.{_DIGITS}g}")
