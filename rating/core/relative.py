"""Season-relative views of one column: where each value stands among the others.

For comparison only: each new release moves the values of the others and can even swap two of them, which
declared scales never do. More is better throughout. A column without any difference gives the middle of the
view and a remark.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rating.core.rank import ranks

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Relative:
    """One view of a column: a value for each release, and what a reader must know of them, if anything."""

    values: tuple[float, ...]
    remark: str | None = None


def min_max(column: npt.ArrayLike) -> Relative:
    """Each value between the smallest (0) and the largest (1) of the season; 0.5 where all are equal.

    Parameters
    ----------
    column : array of shape (m,), any unit, complete

    Raises
    ------
    ValueError
        if the column is empty or holds a value that is not finite

    References
    ----------
    OECD/JRC (2008), Handbook on Constructing Composite Indicators, p. 85.
    """
    given = _column(column)
    if _is_constant(given):
        return _middle(given, 0.5)
    return _view((given - given.min()) / (given.max() - given.min()))


def z_scores(column: npt.ArrayLike) -> Relative:
    """Distance of each value from the mean in sample standard deviations (n-1); 0 where all are equal.

    Parameters
    ----------
    column : array of shape (m,), any unit, complete

    Raises
    ------
    ValueError
        if the column is empty or holds a value that is not finite

    References
    ----------
    OECD/JRC (2008), Handbook on Constructing Composite Indicators, p. 87, table 15.
    """
    given = _column(column)
    if _is_constant(given):
        return _middle(given, 0.0)
    # z knows no unit, so it is taken from places between 0 and 1: very close values keep their digits
    places = (given - given.min()) / (given.max() - given.min())
    return _view((places - places.mean()) / places.std(ddof=1))


def percentile(column: npt.ArrayLike) -> Relative:
    """Ascending competition rank in per cent of the number of releases; 50 where all are equal.

    Parameters
    ----------
    column : array of shape (m,), any unit, complete

    Returns
    -------
    values above 0 to 100; ties share the lower rank, counted from the bottom

    Raises
    ------
    ValueError
        if the column is empty or holds a value that is not finite

    References
    ----------
    OECD/JRC (2008), Handbook on Constructing Composite Indicators, p. 87, table 15.
    """
    given = _column(column)
    if _is_constant(given):
        return _middle(given, 50.0)
    from_the_bottom = ranks(given.tolist(), method="competition", best="low")
    return _view(np.array(from_the_bottom) / len(given) * 100)


def distance_to_best(column: npt.ArrayLike) -> Relative:
    """Each value as a share of the largest, 0 to 1; 0.5 where all are equal.

    The shares depend on where the unit has its zero (degrees Celsius and Fahrenheit differ).

    Parameters
    ----------
    column : array of shape (m,), from 0 up, complete

    Raises
    ------
    ValueError
        if the column is empty or holds a value that is negative or not finite

    References
    ----------
    OECD/JRC (2008), Handbook on Constructing Composite Indicators, p. 83, table 14.
    """
    given = _column(column)
    if given.min() < 0:
        raise ValueError(f"a share of the best needs values from 0 up, got {given.min():g}")
    if _is_constant(given):
        return _middle(given, 0.5)
    return _view(given / given.max())


def _column(column: npt.ArrayLike) -> Array:
    given = np.asarray(column, dtype=np.float64)
    if given.ndim != 1 or given.size == 0:
        raise ValueError(f"a column has shape (releases,) and at least one, got shape {given.shape}")
    faulty = np.flatnonzero(~np.isfinite(given))
    if faulty.size:
        raise ValueError(f"a column must be finite, got {given[faulty[0]]:g} at position {faulty[0]}")
    return given


def _is_constant(given: Array) -> bool:
    return bool(given.min() == given.max())


def _middle(given: Array, middle: float) -> Relative:
    if len(given) == 1:
        remark = f"only one value ({given[0]:g}), so there is nothing to compare it with"
    else:
        remark = f"all {len(given)} values are {given[0]:g}, so nothing tells them apart"
    return Relative(values=(middle,) * len(given), remark=remark)


def _view(values: Array) -> Relative:
    return Relative(values=tuple(values.tolist()))
