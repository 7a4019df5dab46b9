"""The smallest change of one criterion's points that moves a published place, and how firm that makes it.

All of it by the published grades, in whole tenths. Who is ranked stays: a release does not come to be shown
apart as points move.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from fractions import Fraction

from rating import tenths, text
from rating.doubt.score_table import ScoreRow, ScoreTable

# so many points of 100, on any one weight, and a place is called solid
SOLID_FROM = 3
# further than this share of all points nobody would call a change of one weight a small one
FAR = Fraction(1, 10)
_ORDINALS = (
    "", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
    "eleventh", "twelfth",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Nudge:
    """The smallest change of one criterion's points (tenths) that moves a published place, and what it does.

    `other` is the release that is passed, met or gives way; `how` says which of 'passes it', 'it passes' and
    'it meets'.
    """

    criterion: str
    change: int
    place: int
    other: str
    how: str


def nudge(table: ScoreTable, release: str) -> Nudge | None:
    """The fewest whole tenths, more or less of one criterion, that change a release's published place.

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

    ahead = {row.release: grade(row, 0, 0) > grade(own, 0, 0) for row in others}
    place = 1 + sum(ahead.values())
    for size in range(1, int(sum(table.points) * FAR) + 1):
        for (k, key), change in itertools.product(enumerate(table.criteria), (size, -size)):
            if table.points[k] + change < 0:
                continue
            reached = grade(own, k, change)
            grades = {row.release: grade(row, k, change) for row in others}
            after = 1 + sum(one > reached for one in grades.values())
            if after == place:
                continue
            met = [name for name, one in grades.items() if (one > reached) != ahead[name]]
            # of several at once, one that makes the place what it is
            other = next(name for name in met if ahead[name] == (after < place))
            how = "passes it" if after > place else "it meets" if grades[other] == reached else "it passes"
            return Nudge(criterion=key, change=change, place=after, other=other, how=how)
    return None


def told(table: ScoreTable, release: str) -> str:
    """How firm a release's published place is, in a sentence; ValueError where it has none."""
    smallest = nudge(table, release)
    rows = table.ranked
    place = table.places()[release]
    name = ordinal(place).capitalize()
    if table.shown_places()[release].startswith("="):
        name += ", shared"
    if len(rows) == 1:
        return f"{name} of one: there is nothing to compare it with."
    total = sum(table.points)
    if smallest is None:
        far = tenths.show_points(int(total * FAR))
        return f"{name}, and solid: nothing up to {far} points on any one weight moves it."
    size = tenths.show_points(abs(smallest.change))
    if 100 * abs(smallest.change) >= SOLID_FROM * total:
        return f"{name}, and solid: nothing under {size} points on any one weight moves it."
    names = text.short_names({row.release: row.title for row in rows})
    other = names[smallest.other]
    unit = "point" if abs(smallest.change) == 10 else "points"
    change = f"{size} {unit} {'more' if smallest.change > 0 else 'less'} on {smallest.criterion}"
    does = f"{other} passes it" if smallest.how == "passes it" else f"{smallest.how} {other}"
    return f"{name}: {change} and {does}."


def said(table: ScoreTable, release: str) -> str:
    """The same sentence with the release's name: 'Halyard is third, and solid: …'."""
    name = text.short_names({row.release: row.title for row in table.ranked})[release]
    words = told(table, release)
    return f"{name} is {words[0].lower()}{words[1:]}"


def ordinal(place: int) -> str:
    """A place in a word: 6 is 'sixth', 21 is '21st'."""
    if place < len(_ORDINALS):
        return _ORDINALS[place]
    ending = {1: "st", 2: "nd", 3: "rd"}.get(place % 10, "th")
    return f"{place}{'th' if place % 100 in {11, 12, 13} else ending}"
