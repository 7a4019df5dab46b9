"""How firm a place is: how far each weight can go, what leaving something out does, what other rules say.

Points move one criterion at a time, the others left as they are. A grade is then a ratio, since what is unknown
or does not apply shares its weight out, and where two grades meet is the root of a line or a parabola. Who is
ranked stays: a release does not come to be shown apart as points move.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from fractions import Fraction

from rating import tenths, text
from rating.core.rank import competition_ranks
from rating.doubt.table import Row, Table

# so many points of 100, on any one weight, and a place is called solid
SOLID_FROM = 3
# further than this share of all points nobody would call a change of one weight a small one
FAR = Fraction(1, 10)
_DIGITS = 10**20
_ORDINALS = (
    "", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
    "eleventh", "twelfth",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """The points of one criterion, in tenths, between which something holds by the unrounded grades.

    low is 0 and high None where nothing changes it; below_low and above_high are then None, and else say which
    release passes which (up, down) past that end.
    """

    low: Fraction
    high: Fraction | None
    below_low: tuple[str, str] | None
    above_high: tuple[str, str] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """How far the points of one criterion can go: while the order, the leader and one release's place hold."""

    criterion: str
    points: int
    order: Span
    leader: Span
    place: Span


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


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Where a release stands, and who leads, without a criterion or a group; None where it has no place."""

    what: str
    place: int | None
    leaders: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """A release's place under another rule, and Kendall's tau-b of that rule's places with the published."""

    place: int
    tau: float | None


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


def holds(table: Table, release: str) -> tuple[Hold, ...]:
    """For each criterion, how far its points can go: by the unrounded grades of the ranked releases.

    As points move, the first two grades to meet are neighbours, so only those are compared for the order.

    Raises
    ------
    ValueError
        if the release has no place
    """
    rows = sorted(table.ranked, key=lambda row: table.unrounded(row) or 0, reverse=True)
    own = ranked_row(table, release)
    neighbours = list(itertools.pairwise(rows))
    found = []
    for k, (key, points) in enumerate(zip(table.criteria, table.points, strict=True)):
        found.append(
            Hold(
                criterion=key,
                points=points,
                order=_span(table, k, neighbours, strict=True),
                leader=_span(table, k, _against(rows[0], rows), strict=False),
                place=_span(table, k, _against(own, rows), strict=False),
            )
        )
    return tuple(found)


def ranked_row(table: Table, release: str) -> Row:
    """The row of a release that has a place; ValueError where it has none."""
    row = table.row(release)
    if row is None or table.is_apart(row):
        raise ValueError(f"{release} has no place")
    return row


def nudge(table: Table, release: str) -> Nudge | None:
    """The fewest whole tenths, more or less of one criterion, that change a release's published place.

    None where up to a tenth of all points, on any one criterion, changes nothing. Of equal ones the first
    criterion is named, and more before less.

    Raises
    ------
    ValueError
        if the release has no place
    """
    own = ranked_row(table, release)
    others = [row for row in table.ranked if row is not own]
    sums = {row.release: _sums(table, row) for row in (own, *others)}

    def grade(row: Row, k: int, change: int) -> int:
        # the published rule of core.exact, on sums that are kept, for there are many to try
        total, weight = sums[row.release]
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


def told(table: Table, release: str) -> str:
    """How firm a release's published place is, in a sentence; ValueError where it has none."""
    found = nudge(table, release)
    rows = table.ranked
    place = table.places()[release]
    name = ordinal(place).capitalize()
    if table.shown_places()[release].startswith("="):
        name += ", shared"
    if len(rows) == 1:
        return f"{name} of one: there is nothing to compare it with."
    total = sum(table.points)
    if found is None:
        far = tenths.show_points(int(total * FAR))
        return f"{name}, and solid: nothing up to {far} points on any one weight moves it."
    size = tenths.show_points(abs(found.change))
    if 100 * abs(found.change) >= SOLID_FROM * total:
        return f"{name}, and solid: nothing under {size} points on any one weight moves it."
    names = dict(
        zip([row.release for row in rows], text.short_titles([row.title for row in rows]), strict=True)
    )
    other = names[found.other]
    unit = "point" if abs(found.change) == 10 else "points"
    change = f"{size} {unit} {'more' if found.change > 0 else 'less'} on {found.criterion}"
    does = f"{other} passes it" if found.how == "passes it" else f"{found.how} {other}"
    return f"{name}: {change} and {does}."


def left_out(table: Table, release: str) -> tuple[LeftOut, ...]:
    """Where a release stands without each criterion, and without each group of several, by published grades."""
    groups = [group for group in dict.fromkeys(table.groups) if table.groups.count(group) > 1]
    parts = [(key, {key: 0}) for key in table.criteria]
    parts += [
        (group, {key: 0 for key, its in zip(table.criteria, table.groups, strict=True) if its == group})
        for group in groups
        if group not in table.criteria
    ]
    found = []
    for what, points in parts:
        without = table.with_points(points)
        places = without.places() if any(without.points) else {}
        leaders = tuple(name for name, place in places.items() if place == 1)
        found.append(LeftOut(what=what, place=places.get(release), leaders=leaders))
    return tuple(found)


def under_rules(table: Table, release: str) -> dict[str, Agreement]:
    """A release's place under each rule, with how far that rule agrees on all places."""
    from rating.core.agreement import kendall_tau  # numpy is loaded where other rules are asked for
    from rating.doubt.rules import RULES, places_by

    published = table.places()
    found = {}
    for rule in RULES:
        places = places_by(table, rule)
        tau = (
            kendall_tau([published[name] for name in places], list(places.values()))
            if len(places) > 1
            else None
        )
        found[rule] = Agreement(place=places[release], tau=tau)
    return found


def ordinal(place: int) -> str:
    """A place in a word: 6 is 'sixth', 21 is '21st'."""
    if place < len(_ORDINALS):
        return _ORDINALS[place]
    ending = {1: "st", 2: "nd", 3: "rd"}.get(place % 10, "th")
    return f"{place}{'th' if place % 100 in {11, 12, 13} else ending}"


def _sums(table: Table, row: Row) -> tuple[int, int]:
    """Weight times score and weight, over what counts."""
    known = [
        (score, weight) for score, weight in zip(row.scores, table.points, strict=True) if score is not None
    ]
    return sum(score * weight for score, weight in known), sum(weight for _, weight in known)


def _gap(table: Table, k: int, first: Row, second: Row) -> _Gap:
    """By how much the first is ahead as points of criterion k move, times both weights, which are above 0.

    (N + x a) / (D + x e) less the same of the second, with a = score and e = 1 where the criterion counts.
    """
    (n, d), (m, w) = _sums(table, first), _sums(table, second)
    one, two = first.scores[k], second.scores[k]
    e, f = int(one is not None), int(two is not None)
    a, b = one or 0, two or 0
    return _Gap(a * f - b * e, n * f + a * w - m * e - b * d, n * w - m * d)


def _against(own: Row, rows: list[Row]) -> list[tuple[Row, Row]]:
    return [(own, row) for row in rows if row is not own]


def _span(table: Table, k: int, pairs: list[tuple[Row, Row]], *, strict: bool) -> Span:
    """How far the points of a criterion can go before a pair changes.

    Strictly, a tie that breaks is a change too; else only that the second of a pair comes to be ahead, or no
    longer is.
    """
    ends: dict[int, tuple[Fraction, tuple[str, str]]] = {}
    least = -table.points[k]
    for first, second in pairs:
        gap = _gap(table, k, first, second)
        for side in (-1, 1):
            found = _turn(gap, side, strict=strict)
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


def _turn(gap: _Gap, side: int, *, strict: bool) -> tuple[Fraction, int] | None:
    """Where on one side a pair changes first, and the sign of its gap past there."""

    def state(sign: int) -> int | bool:
        return sign if strict else sign < 0

    before = state(gap.sign(Fraction(0)))
    here = sorted((abs(x) for x in gap.crossings() if x * side >= 0))
    for x, following in itertools.pairwise([*here, (here[-1] if here else 0) + 2]):
        past = gap.sign(side * (x + following) / 2)
        if state(past) != before:
            return side * x, past
    return None
