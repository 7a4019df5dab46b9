"""Ranks with ties, and which places are shared. Exact: values are compared, never subtracted."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Literal

Value = int | float | Fraction | Decimal
Best = Literal["high", "low"]


def competition_ranks(grades: Sequence[Value], *, best: Best = "high") -> tuple[int, ...]:
    """The standard competition rank of each grade, 1 the best; ties share the better place (1, 2, 2, 4).

    Parameters
    ----------
    grades : m whole tenths or other exact values; a float counts as exactly what it holds
    best : "high" where the highest grade is first, "low" where the lowest is

    Raises
    ------
    ValueError
        if a grade is NaN, or `best` is neither
    """
    places = [0] * len(grades)
    for first, tied_grades in _groups(grades, best):
        for position in tied_grades:
            places[position] = first
    return tuple(places)


def mean_ranks(values: Sequence[Value], *, best: Best = "high") -> tuple[float, ...]:
    """The rank of each value, 1 the best; ties get the mean of the places they take up (1, 2.5, 2.5, 4).

    Parameters, order and errors are those of `competition_ranks`.
    """
    places = [0.0] * len(values)
    for first, tied_values in _groups(values, best):
        for position in tied_values:
            places[position] = first + (len(tied_values) - 1) / 2
    return tuple(places)


def _groups(values: Sequence[Value], best: Best) -> Iterator[tuple[int, list[int]]]:
    """The first place and the positions of each group of equal values, best first."""
    if best not in {"high", "low"}:
        raise ValueError(f"best is high or low, not {best!r}")
    for position, value in enumerate(values):
        if not isinstance(value, int | Fraction) and math.isnan(value):
            raise ValueError(f"NaN has no rank, got it at position {position} of {len(values)}")
    order = sorted(range(len(values)), key=values.__getitem__, reverse=best == "high")
    first = 1
    for _, group in itertools.groupby(order, key=values.__getitem__):
        positions = list(group)
        yield first, positions
        first += len(positions)


def tied(places: Sequence[float]) -> tuple[bool, ...]:
    """Whether each place is shared: (1, 2, 2, 4) gives (False, True, True, False)."""
    counts: dict[float, int] = {}
    for place in places:
        counts[place] = counts.get(place, 0) + 1
    return tuple(counts[place] > 1 for place in places)
