"""The smallest published change: whole tenths of points moved between criteria that really change the places.

The points in all stay the same. Each step moves a tenth from the criterion where it costs the wanted release
most to the one where it brings most, which for complete scores is the way of least movement; it ends when the
published grades, in tenths, really say so. Rounding may ask for some tenths more than bringing two level, and
where two are to be swapped every way is tried of the last one; now and then another way would do with a tenth
less.
"""

from __future__ import annotations

import dataclasses
import functools
import itertools
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from rating import tenths, text
from rating.doubt.score_table import ScoreRow, ScoreTable

_NOT_FOUND = "no points were found that do it"


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap:
    """Points moved so that release `up` is above `down`: by criterion, in tenths; they sum to 0.

    total is what is moved, counted once, in tenths; level is what brings the two level, unrounded, None where
    a score of theirs is not known or does not apply. Where nothing does it, moves is empty and reason says
    why.
    """

    up: str
    down: str
    moves: dict[str, int]
    total: int | None
    level: float | None
    reason: str = ""


def told(swap: Swap, names: Mapping[str, str], place: int | None = None) -> str:
    """A change as a person could try it, to pass a release or to come to a place, in a sentence.

    Parameters
    ----------
    names : what each release is called
    place : the place it is to give, None where it is to pass a release
    """
    if not swap.moves:
        return _not_told(swap, names, place)
    given = [(key, change) for key, change in swap.moves.items() if change > 0]
    taken = [(key, -change) for key, change in swap.moves.items() if change < 0]
    total = tenths.show_points(swap.total or 0)
    words = f"Move {total} point{'' if total == '1' else 's'} from {_listed(taken)} to {_listed(given)} and "
    if place is not None:
        return f"{words}{names[swap.up]} comes to place {place}."
    words += f"{names[swap.up]} passes {names[swap.down]}"
    return words + (f"; {swap.level / 10:.2f} bring them level." if swap.level else ".")


def _listed(parts: list[tuple[str, int]]) -> str:
    if len(parts) == 1:
        return parts[0][0]
    return text.listed([f"{key} ({tenths.show_points(size)})" for key, size in parts])


def _not_told(swap: Swap, names: Mapping[str, str], place: int | None) -> str:
    if not swap.up:
        return f"Nobody passes {names[swap.down]}: {swap.reason}."
    if swap.total == 0:
        return f"{names[swap.up]}: {swap.reason}."
    does = f"pass {names[swap.down]}" if place is None else f"come to place {place}"
    return f"{names[swap.up]} cannot {does}: {swap.reason}."


def over(table: ScoreTable, up: str, down: str) -> Swap:
    """The smallest change that puts one release above another in the published tenths.

    Raises
    ------
    ValueError
        if one of them has no place, or both are the same
    """
    if up == down:
        raise ValueError(f"{up} cannot be put above itself")
    first, second = table.ranked_row(up), table.ranked_row(down)
    if _is_above(table, first, second):
        return Swap(up=up, down=down, moves={}, total=0, level=0.0, reason="it is above already")
    points = _walk(table, first, second, lambda tried: _is_above(tried, first, second))
    if points is None:
        why = "it is better on no criterion" if _is_better_nowhere(first, second) else _NOT_FOUND
        return Swap(up=up, down=down, moves={}, total=None, level=None, reason=why)
    return _swap(table, points, first, second)


def lift(table: ScoreTable, release: str, place: int) -> Swap:
    """The smallest change found that gives a release a wanted published place or a better one.

    It goes towards each of the releases that stand above it in turn, and the least is taken; `down` is the
    one it went towards.

    Raises
    ------
    ValueError
        if the release has no place or there is no such place
    """
    own = table.ranked_row(release)
    places = table.places()
    if not 1 <= place <= len(places):
        raise ValueError(f"there are {len(places)} places, got {place}")
    if places[release] <= place:
        reason = "it is there already"
        return Swap(up=release, down=release, moves={}, total=0, level=None, reason=reason)
    rivals = [
        row for row in table.ranked if place <= places[row.release] <= places[release] and row is not own
    ]
    rivals += [row for row in table.ranked if places[row.release] < place]
    pairs = ((own, row) for row in rivals)
    others = [row for row in table.ranked if row is not own]

    def is_there(_: ScoreRow, tried: ScoreTable) -> bool:
        grade = tried.grade(own) or 0
        return sum((tried.grade(row) or 0) > grade for row in others) < place

    swap = _least(table, pairs, is_there, roundings=False)
    if swap is None:
        return Swap(up=release, down=rivals[0].release, moves={}, total=None, level=None, reason=_NOT_FOUND)
    return swap


def dethrone(table: ScoreTable) -> Swap:
    """The smallest change that puts somebody above the leader, or above the first of those that lead.

    Raises
    ------
    ValueError
        if nobody leads
    """
    places = table.places()
    leader = next((row for row in table.ranked if places[row.release] == 1), None)
    if leader is None:
        raise ValueError("no release has a place")
    pairs = ((row, leader) for row in table.ranked if row is not leader)
    swap = _least(table, pairs, lambda up, tried: _is_above(tried, up, leader))
    if swap is None:
        reason = "it leads whatever the points"
        return Swap(up="", down=leader.release, moves={}, total=None, level=None, reason=reason)
    return swap


def _least(
    table: ScoreTable,
    pairs: Iterator[tuple[ScoreRow, ScoreRow]],
    reached: Callable[[ScoreRow, ScoreTable], bool],
    *,
    roundings: bool = True,
) -> Swap | None:
    best: Swap | None = None
    for up, down in pairs:
        limit = sum(table.points) if best is None or best.total is None else best.total - 1
        points = _walk(table, up, down, functools.partial(reached, up), limit, roundings=roundings)
        if points is not None:
            best = _swap(table, points, up, down)
    return best


def _is_above(table: ScoreTable, up: ScoreRow, down: ScoreRow) -> bool:
    one, two = table.grade(up), table.grade(down)
    return one is not None and two is not None and one > two and not table.is_apart(up)


def _walk(
    table: ScoreTable,
    up: ScoreRow,
    down: ScoreRow,
    reached: Callable[[ScoreTable], bool],
    limit: int = 10**9,
    *,
    roundings: bool = True,
) -> tuple[int, ...] | None:
    """Points, tenth by tenth towards `up` and away from `down`, at which something is reached."""
    now = table
    for _ in range(min(limit, sum(table.points))):
        slopes = _slopes(now, up, down)
        best = max(range(len(slopes)), key=slopes.__getitem__)
        worst = min((k for k, one in enumerate(now.points) if one), key=slopes.__getitem__)
        if slopes[best] <= slopes[worst]:
            return None
        ahead = _moved(now, best, worst)
        others = _roundings(now, ahead, up, down) if roundings else ()
        for tried in itertools.chain([ahead], others):
            if reached(tried):
                return tried.points
        now = ahead
    return None


def _roundings(now: ScoreTable, ahead: ScoreTable, up: ScoreRow, down: ScoreRow) -> Iterator[ScoreTable]:
    """Every other step, once the best one is enough unrounded: one of them may round to a swap."""
    if (ahead.unrounded(up) or 0) > (ahead.unrounded(down) or 0):
        held = [k for k, one in enumerate(now.points) if one]
        for more, less in itertools.product(range(len(now.points)), held):
            if more != less:
                yield _moved(now, more, less)


def _moved(table: ScoreTable, more: int, less: int) -> ScoreTable:
    """The table with a tenth of a point moved from one criterion to another."""
    points = list(table.points)
    points[more] += 1
    points[less] -= 1
    return dataclasses.replace(table, points=tuple(points))


def _slopes(table: ScoreTable, up: ScoreRow, down: ScoreRow) -> list[Fraction]:
    """By how much the lead of one release grows with the points of each criterion."""

    def of(row: ScoreRow) -> list[Fraction]:
        total, weight = table.sums(row)
        return [
            Fraction(score * weight - total, weight * weight) if score is not None and weight else Fraction(0)
            for score in row.scores
        ]

    return [one - two for one, two in zip(of(up), of(down), strict=True)]


def _is_better_nowhere(up: ScoreRow, down: ScoreRow) -> bool:
    return all(
        one is not None and two is not None and one <= two
        for one, two in zip(up.scores, down.scores, strict=True)
    )


def _swap(table: ScoreTable, points: tuple[int, ...], up: ScoreRow, down: ScoreRow) -> Swap:
    moves = {
        key: new - old
        for key, new, old in zip(table.criteria, points, table.points, strict=True)
        if new != old
    }
    return Swap(
        up=up.release,
        down=down.release,
        moves=moves,
        total=sum(change for change in moves.values() if change > 0),
        level=_level(table, up, down),
    )


def _level(table: ScoreTable, up: ScoreRow, down: ScoreRow) -> float | None:
    from rating.sensitivity.swaps import smallest_change  # numpy is loaded where changes are asked for

    if None in up.scores or None in down.scores:
        return None
    found = smallest_change(table.only([up, down]).filled(), list(table.points), 0, 1)
    # moved shares count twice in the distance, given and taken
    return None if found.distance is None else found.distance / 2 * sum(table.points)
