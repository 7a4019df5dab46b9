"""What the workbook's formulas give, by whole numbers: the values that are stored beside them.

m releases, n criteria. Each function here mirrors one formula; the spreadsheet program must agree with it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from rating import tenths
from rating.core.exact import grade_tenths
from rating.core.rank import competition_ranks

Scores = Sequence[Sequence[int | None]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Live:
    """Values of m releases at some weights: sums in points x score, grades in tenths, None for a blank cell.

    `keys` are the places in the sorted sheet, 1 to m, each once.
    """

    sums: tuple[int, ...]
    weights: tuple[int, ...]
    grades: tuple[int | None, ...]
    ranks: tuple[int | None, ...]
    class_ranks: tuple[int | None, ...]
    keys: tuple[int, ...]


def live(
    scores: Scores,
    weights: Sequence[int],
    *,
    apart: Sequence[bool],
    classes: Sequence[int],
    order: Sequence[int],
) -> Live:
    """Grades, ranks and sort keys at some weights.

    Parameters
    ----------
    scores : m x n whole numbers from 0 to 100, None where unknown or not applicable
    weights : n whole tenths of a point, from 0 up
    apart : m times whether it is shown apart: it keeps its grade and has no rank
    classes : m numbers of price classes, 0 for none
    order : m different numbers; of two releases with one rank the lower comes first
    """
    grades = [grade_tenths(row, weights) for row in scores]
    counting = [place for place, grade in enumerate(grades) if grade is not None and not apart[place]]
    found = competition_ranks([grades[place] or 0 for place in counting])
    rank = dict(zip(counting, found, strict=True))
    in_class = {
        place: 1 + sum(classes[other] == classes[place] and rank[other] < rank[place] for other in counting)
        for place in counting
        if classes[place]
    }
    return Live(
        sums=tuple(
            sum(weight * score for weight, score in zip(weights, row, strict=True) if score is not None)
            for row in scores
        ),
        weights=tuple(
            sum(weight for weight, score in zip(weights, row, strict=True) if score is not None)
            for row in scores
        ),
        grades=tuple(grades),
        ranks=tuple(rank.get(place) for place in range(len(grades))),
        class_ranks=tuple(in_class.get(place) for place in range(len(grades))),
        keys=_keys(rank, order),
    )


def _keys(rank: dict[int, int], order: Sequence[int]) -> tuple[int, ...]:
    """The ranked ones by rank and order, then those without a rank as they stand."""
    first = sorted(rank, key=lambda place: (rank[place], order[place]))
    last = [place for place in range(len(order)) if place not in rank]
    key = {place: number for number, place in enumerate([*first, *last], start=1)}
    return tuple(key[place] for place in range(len(order)))


def lift(score: int, weight: int, whole: int) -> int | None:
    """What a score adds to its release's grade against a typical 50, in tenths, halves away from zero."""
    return None if whole == 0 else tenths.half_up(Fraction(10 * weight * (score - 50), whole))
