"""Ranks with ties, and which places are shared. Exact: values are compared, never subtracted."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Literal

Value = int | float | Fraction | Decimal
Method = Literal["competition", "dense", "fractional", "ordinal", "worst"]
Best = Literal["high", "low"]
METHODS: tuple[Method, ...] = ("competition", "dense", "fractional", "ordinal", "worst")


def competition_ranks(grades: Sequence[Value], *, best: Best = "high") -> tuple[int, ...]:
    """The standard competition rank of each grade, 1 the best; ties share the better place (1, 2, 2, 4).

    Parameters
    ----------
    grades : m whole tenths or other exact values; a float counts as exactly what it holds
    best : "high" where the highest grade is first, "low" where the lowest is

    Raises
    ------
    ValueError
        if a grade is NaN
    """
    return tuple(int(place) for place in ranks(grades, method="competition", best=best))


def ranks(
    values: Sequence[Value], *, method: Method = "competition", best: Best = "high"
) -> tuple[float, ...]:
    """The rank of each value, 1 the best, by a named way of treating ties.

    Parameters
    ----------
    values : m numbers, compared exactly
    method : competition (1, 2, 2, 4), dense (1, 2, 2, 3), fractional (1, 2.5, 2.5, 4), ordinal (1, 2, 3, 4
        in the order given) or worst (1, 3, 3, 4)
    best : "high" where the highest value is first, "low" where the lowest is

    Returns
    -------
    m ranks, whole but for the halves of "fractional"

    Raises
    ------
    ValueError
        if a value is NaN, or the method or `best` is none of the names above
    """
    if method not in METHODS:
        raise ValueError(f"a method is one of {', '.join(METHODS)}, not {method!r}")
    if best not in {"high", "low"}:
        raise ValueError(f"best is high or low, not {best!r}")
    for place, value in enumerate(values):
        if not isinstance(value, int | Fraction) and math.isnan(value):
            raise ValueError(f"NaN has no rank, got it at position {place} of {len(values)}")
    # sorting is stable, also backwards, so ties stay in the order given
    order = sorted(range(len(values)), key=values.__getitem__, reverse=best == "high")
    found = [0.0] * len(values)
    first = 1
    for level, (_, group) in enumerate(itertools.groupby(order, key=values.__getitem__), start=1):
        tied_places = list(group)
        last = first + len(tied_places) - 1
        shared = {"competition": first, "dense": level, "fractional": (first + last) / 2, "worst": last}
        for step, place in enumerate(tied_places):
            found[place] = float(shared.get(method, first + step))
        first = last + 1
    return tuple(found)


def tied(places: Sequence[float]) -> tuple[bool, ...]:
    """Whether each place is shared: (1, 2, 2, 4) gives (False, True, True, False)."""
    counts: dict[float, int] = {}
    for place in places:
        counts[place] = counts.get(place, 0) + 1
    return tuple(counts[place] > 1 for place in places)
