"""The smallest change of one criterion's points that changes a published place: a margin, in a sentence.

All of it by the published grades, in whole tenths. A tie changes the place of both, when it comes and when it
breaks. Who is ranked stays: a release does not come to be shown apart as points move.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from fractions import Fraction

from rating import tenths, text
from rating.doubt.score_table import ScoreRow, ScoreTable

# further than this share of all points nobody would call a change of one weight a small one
FAR = Fraction(1, 10)
# what another release does, by whether it was behind (-1), level or ahead (1) before, and is after
_DOES = {
    (-1, 0): "{other} draws level with it",
    (-1, 1): "{other} passes it",
    (0, -1): "it pulls ahead of {other}",
    (0, 1): "{other} pulls ahead of it",
    (1, 0): "it draws level with {other}",
    (1, -1): "it passes {other}",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Nudge:
    """The smallest change of one criterion's points, in tenths, that changes a place, and what it does.

    `place` is the one after, as it is shown; `other` is the release that is passed or met or does it;
    `before` and `after` say whether it is behind (-1), level or ahead (1).
    """

    criterion: str
    change: int
    place: str
    other: str
    before: int
    after: int


def nudge(table: ScoreTable, release: str) -> Nudge | None:
    """The fewest whole tenths, more or less of one criterion, that change a release's place as it is shown.

    None where up to a tenth of all points, on any one criterion, changes nothing. Of equal ones the first
    criterion is named, and more before less.

    Raises
    ------
    ValueError
        if the release has no place
    """
    own = table.ranked_row(release)
    others = [row for row in table.ranked if row is not own]
    parts = {row.release: table.sums(row) for row in (own, *others)}

    def grade(row: ScoreRow, k: int, change: int) -> int:
        # the published rule of core.exact, on sums that are kept, for there are many to try
        total, weight = parts[row.release]
        score = row.scores[k]
        if score is not None:
            total, weight = total + change * score, weight + change
        return (20 * total + weight) // (2 * weight) if weight else 0

    def sides(k: int, change: int) -> dict[str, int]:
        reached = grade(own, k, change)
        grades = {row.release: grade(row, k, change) for row in others}
        return {name: (one > reached) - (one < reached) for name, one in grades.items()}

    now = sides(0, 0)
    here = _place(now)
    for size in range(1, int(sum(table.points) * FAR) + 1):
        for (k, key), change in itertools.product(enumerate(table.criteria), (size, -size)):
            if table.points[k] + change < 0:
                continue
            then = sides(k, change)
            there = _place(then)
            if there == here:
                continue
            # of several at once, one that makes the place what it is
            way = (there[0] > here[0]) - (there[0] < here[0])
            moved = [name for name in now if then[name] != now[name]]
            other = next((name for name in moved if (then[name] > now[name]) == (way > 0)), moved[0])
            return Nudge(
                criterion=key,
                change=change,
                place=f"{'=' * there[1]}{there[0]}",
                other=other,
                before=now[other],
                after=then[other],
            )
    return None


def _place(sides: dict[str, int]) -> tuple[int, bool]:
    """The place among releases that are behind, level or ahead, and whether it is shared."""
    return 1 + sum(side > 0 for side in sides.values()), 0 in sides.values()


def told(table: ScoreTable, release: str) -> str:
    """How far the points of one criterion go before the place changes, '' where there is no other release.

    Raises
    ------
    ValueError
        if the release has no place
    """
    smallest = nudge(table, release)
    if len(table.ranked) == 1:
        return ""
    if smallest is None:
        far = tenths.show_points(int(sum(table.points) * FAR))
        return f"Weighting any one criterion up to {far} points more or less does not move it."
    size = tenths.show_points(abs(smallest.change))
    unit = "point" if abs(smallest.change) == 10 else "points"
    more = "more" if smallest.change > 0 else "less"
    other = text.short_names({row.release: row.title for row in table.ranked})[smallest.other]
    does = _DOES[smallest.before, smallest.after].format(other=other)
    return f"With {size} {unit} {more} weight on {smallest.criterion} alone, {does}."
