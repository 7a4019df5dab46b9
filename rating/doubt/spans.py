"""How far the points of one criterion can go before two releases change places: exact ends.

Points move one criterion at a time, the others left as they are. A grade is a ratio, since what is unknown or
does not apply shares its weight out, so where two grades meet is the root of a line or a parabola. Who is
ranked stays: a release does not come to be shown apart as points move.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from fractions import Fraction

from rating.doubt.score_table import ScoreRow, ScoreTable

_DIGITS = 10**20


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """The points of one criterion, in tenths, between which something holds by the unrounded grades.

    low is 0 and high None where nothing changes it; below_low and above_high are then None, and else say
    which release passes which (up, down) past that end. At an end two are level: a tie counts as a change for
    both, when it comes and when it breaks.
    """

    low: Fraction
    high: Fraction | None
    below_low: tuple[str, str] | None
    above_high: tuple[str, str] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CriterionSpans:
    """How far the points of a criterion can go: while the order, the leader and a release's place hold."""

    criterion: str
    points: int
    order: Span
    leader: Span
    place: Span


@dataclass(frozen=True, slots=True)
class _Gap:
    """The sign of one grade less another as points of a criterion move by x: that of a x^2 + b x + c."""

    a: int
    b: int
    c: int

    def sign(self, x: Fraction) -> int:
        value = (self.a * x + self.b) * x + self.c
        return (value > 0) - (value < 0)

    def crossings(self) -> list[Fraction]:
        """Where it changes sign; to 20 decimals where that is no fraction."""
        if not self.a:
            return [Fraction(-self.c, self.b)] if self.b else []
        inner = self.b * self.b - 4 * self.a * self.c
        if inner <= 0:  # at 0 they touch and part again
            return []
        root = Fraction(math.isqrt(inner * _DIGITS**2), _DIGITS)
        return sorted(Fraction(side * root - self.b) / (2 * self.a) for side in (-1, 1))


def spans(table: ScoreTable, release: str) -> tuple[CriterionSpans, ...]:
    """For each criterion, how far its points can go: by the unrounded grades of the ranked releases.

    As points move, the first two grades to meet are neighbours, so only those are compared for the order.

    Raises
    ------
    ValueError
        if the release has no place
    """
    rows = sorted(table.ranked, key=lambda row: table.unrounded(row) or 0, reverse=True)
    own = table.ranked_row(release)
    neighbours = list(itertools.pairwise(rows))
    by_criterion = []
    for k, (key, points) in enumerate(zip(table.criteria, table.points, strict=True)):
        by_criterion.append(
            CriterionSpans(
                criterion=key,
                points=points,
                order=_span(table, k, neighbours),
                leader=_span(table, k, _against(rows[0], rows)),
                place=_span(table, k, _against(own, rows)),
            )
        )
    return tuple(by_criterion)


def _gap(table: ScoreTable, k: int, first: ScoreRow, second: ScoreRow) -> _Gap:
    """By how much the first is ahead as points of criterion k move, times both weights, which are above 0.

    (N + x a) / (D + x e) less the same of the second, with a = score and e = 1 where the criterion counts.
    """
    (n, d), (m, w) = table.sums(first), table.sums(second)
    one, two = first.scores[k], second.scores[k]
    e, f = int(one is not None), int(two is not None)
    a, b = one or 0, two or 0
    return _Gap(a * f - b * e, n * f + a * w - m * e - b * d, n * w - m * d)


def _against(own: ScoreRow, rows: list[ScoreRow]) -> list[tuple[ScoreRow, ScoreRow]]:
    return [(own, row) for row in rows if row is not own]


def _span(table: ScoreTable, k: int, pairs: list[tuple[ScoreRow, ScoreRow]]) -> Span:
    """How far the points of a criterion can go before a pair changes."""
    ends: dict[int, tuple[Fraction, tuple[str, str]]] = {}
    least = -table.points[k]
    for first, second in pairs:
        gap = _gap(table, k, first, second)
        for side in (-1, 1):
            found = _turn(gap, side)
            if found is None or found[0] <= least:
                continue
            x, ahead = found
            names = (first.release, second.release)
            if side not in ends or abs(x) < abs(ends[side][0]):
                ends[side] = x, names if ahead > 0 else names[::-1]
    low, high = ends.get(-1), ends.get(1)
    return Span(
        low=low[0] - least if low else Fraction(0),
        high=high[0] - least if high else None,
        below_low=low[1] if low else None,
        above_high=high[1] if high else None,
    )


def _turn(gap: _Gap, side: int) -> tuple[Fraction, int] | None:
    """Where on one side a pair changes first, and the sign of its gap past there."""
    before = gap.sign(Fraction(0))
    here = sorted(abs(x) for x in gap.crossings() if x * side > 0)
    if not gap.c:
        here = [Fraction(0), *here]
    for x, following in itertools.pairwise([*here, here[-1] + 2 if here else Fraction(0)]):
        past = gap.sign(side * (x + following) / 2)
        if past != before:
            return side * x, past
    return None
