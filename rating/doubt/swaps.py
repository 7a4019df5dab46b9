"""The smallest published change: whole tenths of points moved between criteria that really change the places.

The points in all stay the same. What is told is the least there is, by integer programmes, and where they
are broken off the least that was found, with what is known to be too little. A release that comes to have too
much unknown under the new points has no place, as everywhere.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rating import tenths, text
from rating.doubt.score_table import ScoreRow, ScoreTable

if TYPE_CHECKING:
    from rating.sensitivity.moves import Least, Scores


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap:
    """Points moved so that release `up` is above `down`: by criterion, in tenths; they sum to 0.

    total is what is moved, counted once, in tenths; nothing under at_least tenths does it, and where proved
    is true nothing under total does. level is what brings the two level, unrounded, None where a score of
    theirs is not known or does not apply. Where nothing does it, moves is empty and reason says why.
    is_shared says that the place a lift gives is shared.
    """

    up: str
    down: str
    moves: dict[str, int]
    total: int | None
    level: float | None
    proved: bool = True
    at_least: int | None = None
    reason: str = ""
    is_shared: bool = False


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
    words = f"Move {_points(swap.total or 0)} from {_listed(taken)} to {_listed(given)}, and "
    if place is not None:
        words += f"{names[swap.up]} {'ties for' if swap.is_shared else 'comes'} {text.ordinal(place)}"
    else:
        words += f"{names[swap.up]} passes {names[swap.down]}"
        words += f"; {swap.level / 10:.2f} would make them level" if swap.level else ""
    if not swap.proved:
        words += f"; the smallest change found, and nothing under {_points(swap.at_least or 0)} does it"
    return words + "."


def _points(size: int) -> str:
    shown = tenths.show_points(size)
    return f"{shown} point{'' if shown == '1' else 's'}"


def _listed(parts: list[tuple[str, int]]) -> str:
    if len(parts) == 1:
        return parts[0][0]
    return text.listed([f"{key} ({tenths.show_points(size)})" for key, size in parts])


def _not_told(swap: Swap, names: Mapping[str, str], place: int | None) -> str:
    if not swap.up:
        return f"Nobody passes {names[swap.down]}: {swap.reason}."
    if swap.total == 0:
        return f"{names[swap.up]}: {swap.reason}."
    does = f"pass {names[swap.down]}" if place is None else f"come {text.ordinal(place)}"
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
    least = _pass(table, first, second)
    if least.points is not None:
        return _swap(table, least, up, down, level=_level(table, first, second))
    nowhere = least.proved and _is_better_nowhere(first, second)
    return _none(least, up, down, "it is better on no criterion" if nowhere else "")


def lift(table: ScoreTable, release: str, place: int) -> Swap:
    """The smallest change that gives a release a wanted published place or a better one; `down` is itself.

    Raises
    ------
    ValueError
        if the release has no place or there is no such place
    """
    from rating.sensitivity import moves  # numpy is loaded where changes are asked for

    own = table.ranked_row(release)
    places = table.places()
    if not 1 <= place <= len(places):
        raise ValueError(f"there are {len(places)} places, got {place}")
    if places[release] <= place:
        reason = "it is there already"
        return Swap(up=release, down=release, moves={}, total=0, level=None, reason=reason)
    least = moves.to_place(_scores(table), table.points, table.rows.index(own), place)
    if least.points is None:
        return _none(least, release, release)
    swap = _swap(table, least, release, release, level=None)
    after = table.with_points(dict(zip(table.criteria, least.points, strict=True))).shown_places()
    return dataclasses.replace(swap, is_shared=after[release].startswith("="))


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
    best, open_from = None, []
    for row in table.ranked:
        if row is leader:
            continue
        least = _pass(table, row, leader, under=None if best is None else best.total)
        if least.points is not None:
            level = _level(table, row, leader)
            best = _swap(table, least, row.release, leader.release, level=level)
        if not least.proved and least.at_least is not None:
            open_from.append(least.at_least)
    if best is not None and best.total is not None:
        at_least = min(best.total, *open_from) if open_from else best.total
        return dataclasses.replace(best, proved=at_least == best.total, at_least=at_least)
    if open_from:
        return _none_found("", leader.release, min(open_from))
    reason = "it leads whatever the points"
    return Swap(up="", down=leader.release, moves={}, total=None, level=None, reason=reason)


def _scores(table: ScoreTable) -> Scores:
    from rating.sensitivity.moves import Scores

    return Scores(rows=[row.scores for row in table.rows], applies=[row.applies for row in table.rows])


def _pass(table: ScoreTable, up: ScoreRow, down: ScoreRow, under: int | None = None) -> Least:
    from rating.sensitivity import moves

    return moves.to_pass(_scores(table.only([up, down])), table.points, 0, 1, under=under)


def _is_above(table: ScoreTable, up: ScoreRow, down: ScoreRow) -> bool:
    one, two = table.grade(up), table.grade(down)
    return one is not None and two is not None and one > two and not table.is_apart(up)


def _none(least: Least, up: str, down: str, reason: str = "") -> Swap:
    if not least.proved:
        return _none_found(up, down, least.at_least or 0)
    return Swap(up=up, down=down, moves={}, total=None, level=None, reason=reason or "no points do it")


def _none_found(up: str, down: str, at_least: int) -> Swap:
    reason = f"no points were found that do it, and nothing under {_points(at_least)} does"
    return Swap(
        up=up, down=down, moves={}, total=None, level=None, proved=False, at_least=at_least, reason=reason
    )


def _is_better_nowhere(up: ScoreRow, down: ScoreRow) -> bool:
    return all(
        one is not None and two is not None and one <= two
        for one, two in zip(up.scores, down.scores, strict=True)
    )


def _swap(table: ScoreTable, least: Least, up: str, down: str, *, level: float | None) -> Swap:
    changed = zip(table.criteria, least.points or (), table.points, strict=True)
    return Swap(
        up=up,
        down=down,
        moves={key: new - old for key, new, old in changed if new != old},
        total=least.total,
        level=level,
        proved=least.proved,
        at_least=least.at_least,
    )


def _level(table: ScoreTable, up: ScoreRow, down: ScoreRow) -> float | None:
    from rating.sensitivity.swaps import smallest_change  # numpy is loaded where changes are asked for

    if None in up.scores or None in down.scores:
        return None
    found = smallest_change(table.only([up, down]).filled(), list(table.points), 0, 1)
    # moved shares count twice in the distance, given and taken
    return None if found.distance is None else found.distance / 2 * sum(table.points)
