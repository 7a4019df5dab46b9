"""Why one grade is above another: what each criterion brings, in tenths that sum to the difference."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from rating import tenths
from rating.doubt import swaps
from rating.doubt.score_table import ScoreRow, ScoreTable
from rating.doubt.swaps import Swap


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What a criterion brings the first release over the second, in tenths of the grade.

    points are the criterion's, in tenths; a score is None where it is unknown or does not apply.
    """

    criterion: str
    points: int
    first: int | None
    second: int | None
    brings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """Two published grades, and their difference as parts that sum to it, the largest first.

    turn is the smallest change of points that puts the lower one above; None where the grades are the same.
    """

    first: str
    second: str
    grades: tuple[int, int]
    parts: tuple[Part, ...]
    turn: Swap | None

    @property
    def difference(self) -> int:
        """The first grade less the second, in tenths."""
        return self.grades[0] - self.grades[1]


def why(table: ScoreTable, first: str, second: str) -> Why:
    """Take the difference of two published grades apart by criterion.

    Each score counts by how far it is from the middle of the two grades, with its share of the points that
    count for its release: a score that is unknown or does not apply then brings nothing of its own. The exact
    parts are made whole tenths by largest remainder.

    Raises
    ------
    ValueError
        if one of them has no place, or both are the same
    """
    if first == second:
        raise ValueError(f"{first} cannot be compared with itself")
    rows = [table.ranked_row(release) for release in (first, second)]
    one, two = (table.grade(row) or 0 for row in rows)
    exact = [table.unrounded(row) or Fraction(0) for row in rows]
    middle = sum(exact, Fraction(0)) / 2
    brought = [
        brings - takes for brings, takes in zip(*(_shares(table, row, middle) for row in rows), strict=True)
    ]
    whole = _whole(brought, one - two)
    parts = [
        Part(criterion=key, points=points, first=its, second=other, brings=size)
        for key, points, its, other, size in zip(
            table.criteria, table.points, rows[0].scores, rows[1].scores, whole, strict=True
        )
    ]
    low, high = (second, first) if one > two else (first, second)
    return Why(
        first=first,
        second=second,
        grades=(one, two),
        parts=tuple(sorted(parts, key=lambda part: -abs(part.brings))),
        turn=None if one == two else swaps.over(table, low, high),
    )


def _shares(table: ScoreTable, row: ScoreRow, middle: Fraction) -> list[Fraction]:
    """What each criterion adds to a grade over the middle, in tenths."""
    weight = table.sums(row)[1]
    return [
        Fraction(0) if score is None else 10 * points * (score - middle) / weight
        for score, points in zip(row.scores, table.points, strict=True)
    ]


def _whole(sizes: list[Fraction], total: int) -> list[int]:
    """Whole numbers with a given sum that is within 1 of the exact one, each within 1 of its size."""
    whole = [math.floor(size) for size in sizes]
    order = sorted(range(len(sizes)), key=lambda place: whole[place] - sizes[place])
    for place in order[: total - sum(whole)]:
        whole[place] += 1
    return whole


def told(found: Why, names: Mapping[str, str]) -> str:
    """The two grades and what lies between them, in a sentence.

    Parameters
    ----------
    names : what each release is called
    """
    one, two = (tenths.show(grade) for grade in found.grades)
    first, second = names[found.first], names[found.second]
    if not found.difference:
        return f"{first} and {second} both stand at {one}."
    above = "above" if found.difference > 0 else "below"
    return f"{first} stands at {one}, {tenths.show(abs(found.difference))} {above} {second} at {two}."
