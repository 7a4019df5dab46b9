"""What the workbook's formulas give, by whole numbers: the values that are stored beside them.

m releases, n criteria. Each function here mirrors one formula; the spreadsheet program must agree with it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from rating import tenths
from rating.core.exact import grade_bounds, grade_tenths, is_apart
from rating.core.rank import competition_ranks

Scores = Sequence[Sequence[int | None]]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormulaValues:
    """Values of m releases at some weights: sums in points x score, grades in tenths, None for a blank cell.

    `unknown` are the points of what applies and has no score, `bounds` the grades with it at 0 and at 100,
    `apart` whether too much is unknown for a place; `keys` are the places in the sorted sheet, 1 to m, each
    once.
    """

    sums: tuple[int, ...]
    weights: tuple[int, ...]
    unknown: tuple[int, ...]
    grades: tuple[int | None, ...]
    bounds: tuple[tuple[int, int] | None, ...]
    apart: tuple[bool, ...]
    ranks: tuple[int | None, ...]
    class_ranks: tuple[int | None, ...]
    keys: tuple[int, ...]


def formula_values(
    scores: Scores,
    weights: Sequence[int],
    *,
    absent: Sequence[Sequence[bool]],
    classes: Sequence[int],
    order: Sequence[int],
) -> FormulaValues:
    """Grades, bounds, ranks and sort keys at some weights.

    Parameters
    ----------
    scores : m x n whole numbers from 0 to 100, None where unknown or not applicable
    weights : n whole tenths of a point, from 0 up
    absent : m x n times whether the criterion does not apply; it then has no score
    classes : m numbers of price classes, 0 for none
    order : m different numbers; of two releases with one rank the lower comes first
    """
    places = range(len(scores))
    known = [
        [(score, weight) for score, weight in zip(row, weights, strict=True) if score is not None]
        for row in scores
    ]
    applies = [[not out for out in row] for row in absent]
    whole = tuple(sum(weight for _, weight in row) for row in known)
    unknown = tuple(
        sum(weight for weight, on in zip(weights, row, strict=True) if on) - known_points
        for row, known_points in zip(applies, whole, strict=True)
    )
    grades = [grade_tenths(row, weights) for row in scores]
    apart = [
        grade is None or is_apart(open_points, open_points + known_points)
        for grade, open_points, known_points in zip(grades, unknown, whole, strict=True)
    ]
    rank = _ranks(grades, apart)
    in_class = _class_ranks(rank, classes)
    return FormulaValues(
        sums=tuple(sum(score * weight for score, weight in row) for row in known),
        weights=whole,
        unknown=unknown,
        grades=tuple(grades),
        bounds=tuple(
            None if grade is None else grade_bounds(row, weights, on)
            for grade, row, on in zip(grades, scores, applies, strict=True)
        ),
        apart=tuple(apart),
        ranks=tuple(rank.get(place) for place in places),
        class_ranks=tuple(in_class.get(place) for place in places),
        keys=_keys(rank, order),
    )


def _ranks(grades: Sequence[int | None], apart: Sequence[bool]) -> dict[int, int]:
    """The rank of each release that has one, by its place among all."""
    counting = {
        place: grade
        for place, (grade, is_apart) in enumerate(zip(grades, apart, strict=True))
        if grade is not None and not is_apart
    }
    return dict(zip(counting, competition_ranks(list(counting.values())), strict=True))


def _class_ranks(rank: Mapping[int, int], classes: Sequence[int]) -> dict[int, int]:
    """The rank of each ranked release within its class, of those that have a class."""
    return {
        place: 1 + sum(classes[other] == classes[place] and rank[other] < own for other in rank)
        for place, own in rank.items()
        if classes[place]
    }


def _keys(rank: Mapping[int, int], order: Sequence[int]) -> tuple[int, ...]:
    """The ranked ones by rank and order, then those without a rank by order."""
    first = sorted(rank, key=lambda place: (rank[place], order[place]))
    last = sorted(set(range(len(order))) - set(rank), key=order.__getitem__)
    key = {place: number for number, place in enumerate([*first, *last], start=1)}
    return tuple(key[place] for place in range(len(order)))


def lift(score: int, weight: int, whole: int) -> int | None:
    """What a score adds to its release's grade against a typical 50, in tenths, halves away from zero."""
    return None if whole == 0 else tenths.half_up(Fraction(10 * weight * (score - 50), whole))
