"""The fewest points moved that give a release a place, or put it above another, in the published tenths.

m releases, n criteria. Points are whole tenths; they move from one criterion to another, so that their sum
stays and none goes below 0, and what a change costs is what is moved, counted once. For a fixed tenth t, "its
grade is at least t, and at most so many others are above t" is linear in the points, gaps or not, so the
least change is the smallest of a few integer programmes over t. Those that a bound rules out are not solved;
every answer is checked in integers, and one that fails is cut off and looked for again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
import numpy.typing as npt

from rating.core import exact
from rating.core.rank import competition_ranks
from rating.sensitivity.swaps import nearest_weights

Array = npt.NDArray[np.float64]
Score = int | None

# so many linear programmes in all, and the best found stands with its bound
WORK = 2_000
# what an integer programme costs before its first branch, in linear programmes
_ROOT = 20
# what the solver's own tolerance may take off a bound
_SLACK = 1e-6
# so many tenths are tried with the rivals that are nearest, for a first answer
_TRIED = 12
# shares of the rival's sum in the mixtures that a bound is taken from
_MIXTURES = np.linspace(0, 1, 17)
# the first room that is searched, in tenths of points
_ROOM = 20
# so many answers that fail in whole numbers are cut off
_CUTS = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Least:
    """The least change found: the new points in tenths, and what is moved, counted once, in tenths.

    Both are None where no change was found. Nothing under `at_least` tenths does it; where the search came
    to its end, `proved` is true, and at_least is the total, or None where no points do it at all.
    """

    points: tuple[int, ...] | None
    total: int | None
    proved: bool
    at_least: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Scores:
    """Whole scores (m rows of n, None where unknown or not applying), and what applies to each row."""

    rows: Sequence[Sequence[Score]]
    applies: Sequence[Sequence[bool]]

    def grade(self, row: int, points: Sequence[int]) -> int | None:
        """The published grade in tenths; None where nothing counts, or so little that it has no place."""
        if not exact.has_place(self.rows[row], self.applies[row], points):
            return None
        return exact.grade_tenths(self.rows[row], points)

    def place(self, row: int, points: Sequence[int]) -> int | None:
        """The published place, None where it has none."""
        grades = {k: self.grade(k, points) for k in range(len(self.rows))}
        ranked = {k: grade for k, grade in grades.items() if grade is not None}
        return dict(zip(ranked, competition_ranks(list(ranked.values())), strict=True)).get(row)


def to_place(
    scores: Scores,
    points: Sequence[int],
    row: int,
    place: int,
    *,
    work: int = WORK,
) -> Least:
    """The least change after which a release has a place or a better one.

    Parameters
    ----------
    points : n whole tenths
    row : the release
    place : from 1
    work : how much is tried at most, in linear programmes of the solver, so the same on every machine
    """
    search = _Search(scores, tuple(points), row, work, room=place - 1)
    return search.least()


def to_pass(
    scores: Scores,
    points: Sequence[int],
    row: int,
    other: int,
    *,
    under: int | None = None,
    work: int = WORK,
) -> Least:
    """The least change after which a release's published grade is above that of another one.

    Parameters
    ----------
    points, row, work : as for `to_place`
    other : the one to be passed; both have a place afterwards
    under : look only for changes that move less than so many tenths; at_least tells then what that came to
    """
    search = _Search(scores, tuple(points), row, work, other=other)
    if under is not None:
        search.total = min(search.total, under)
    return search.least()


@dataclass
class _Search:
    """A search through the tenths at which a release may stand."""

    scores: Scores
    points: tuple[int, ...]
    own: int
    work: int
    room: int = 0
    other: int | None = None
    best: tuple[int, ...] | None = None
    best_tenth: int | None = None
    total: int = field(init=False)

    def __post_init__(self) -> None:
        self.total = sum(self.points) + 1
        self.table: Array = np.array([[one or 0 for one in row] for row in self.scores.rows], dtype=float)
        self.counts: Array = np.array([[one is not None for one in row] for row in self.scores.rows], float)
        self.weights: Array = np.array(self.points, dtype=float)
        share, whole = exact.APART_ABOVE
        applies = np.array(self.scores.applies, dtype=float)
        # from 0 up where enough is known for a place
        self.known: Array = applies * share - (applies * (self.counts == 0)) * whole
        if self.other is None:
            self.rivals = [row for row in range(len(self.table)) if row != self.own]
        else:
            self.rivals = []

    def least(self) -> Least:
        if self.holds(self.points):
            return Least(points=self.points, total=0, proved=True, at_least=0)
        bounds = self.tenths()
        if self.other is None:
            for tenth in _nearest_first(bounds)[:_TRIED]:
                self.try_nearest(tenth)
        # a small room makes tight programmes, so it is widened step by step until something is in it
        room = max(_ROOM, 2 * min(bounds.values(), default=0))
        while self.work > 0 and min(bounds.values(), default=self.total) < self.total:
            for tenth in _nearest_first(bounds):
                within = min(room, self.total - 1)
                if bounds[tenth] <= within:
                    bounds[tenth] = max(bounds[tenth], self.solve(tenth, bounds[tenth], within))
            room += room // 2
        if self.best_tenth is not None:
            self.tidy(self.best_tenth)
        at_least = min(bounds.values(), default=self.total)
        if self.best is None:
            proved = at_least >= self.total
            return Least(points=None, total=None, proved=proved, at_least=None if proved else at_least)
        at_least = min(at_least, self.total)
        return Least(points=self.best, total=self.total, proved=at_least == self.total, at_least=at_least)

    def holds(self, points: Sequence[int]) -> bool:
        """Whether points do it, by the published rule."""
        if self.other is None:
            place = self.scores.place(self.own, points)
            return place is not None and place <= self.room + 1
        own, other = (self.scores.grade(row, points) for row in (self.own, self.other))
        return own is not None and other is not None and own > other

    def take(self, points: tuple[int, ...], tenth: int | None = None) -> None:
        moved = sum(abs(new - old) for new, old in zip(points, self.points, strict=True)) // 2
        if moved < self.total:
            self.best, self.total, self.best_tenth = points, moved, tenth

    def at_least(self, rows: int | Sequence[int] | slice, tenths: int | npt.NDArray[np.int_]) -> Array:
        """What stands before each point (..., n) in a sum that is from 0 up where a grade is so much."""
        sums = 20 * self.table[rows] + 1 - 2 * np.asarray(tenths)[..., np.newaxis]
        at_least: Array = np.where(self.counts[rows] > 0, sums, 0)
        return at_least

    def tenths(self) -> dict[int, int]:
        """The tenths at which it may stand, each with whole tenths of points that are moved at least."""
        scores = [one for one in self.scores.rows[self.own] if one is not None]
        tenths = np.arange(10 * min(scores), 10 * max(scores) + 1)
        shares = _MIXTURES if self.other is not None else _MIXTURES[[0, len(_MIXTURES) // 2, -1]]
        bounds = zip(tenths.tolist(), self.bounds(tenths, shares).tolist(), strict=True)
        return {tenth: math.ceil(bound - _SLACK) for tenth, bound in bounds if math.isfinite(bound)}

    def bounds(self, tenths: npt.NDArray[np.int_], shares: Array) -> Array:
        """What is moved at least at each tenth, by mixtures of two sums that are to be from 0 up.

        The release is to stand and a rival to fall; any mixture of the two holds then, and costs no more. Of
        the rivals the dearest of the cheapest ones that have to fall counts.
        """
        rivals, over = ([self.other], 0) if self.other is not None else (self.rivals, 1)
        own = self.at_least(self.own, tenths)[:, np.newaxis]
        alone: Array = self.moved(own)
        if len(rivals) <= self.room:
            return alone[:, 0]
        falls = -self.at_least(rivals, tenths[:, np.newaxis] + over)
        costs = np.max([self.moved((1 - share) * own + share * falls) for share in shares], axis=0)
        if self.other is None:
            costs[:, self.may_be_out()] = alone
        dearest: Array = np.sort(costs, axis=1)[:, len(rivals) - self.room - 1]
        return dearest

    def may_be_out(self) -> npt.NDArray[np.bool_]:
        """Which rivals may come to have no place, or no grade, and so be above no longer."""
        open_ones = (self.known < 0) | (self.counts == 0)
        out: npt.NDArray[np.bool_] = open_ones[self.rivals].any(axis=1)
        return out

    def moved(self, sums: Array) -> Array:
        """The least that is moved for each sum (..., n) over the points to be from 0 up, else infinite."""
        _, sizes = nearest_weights(sums.reshape(-1, sums.shape[-1]), self.weights)
        moved: Array = sizes.reshape(sums.shape[:-1]) / 2 * self.weights.sum()
        return moved

    def try_nearest(self, tenth: int) -> None:
        """Look for some answer at a tenth: the rivals that cost least are to fall, whoever else may not."""
        programme = self.least_programme(tenth, self.total - 1)
        down = -self.at_least(self.rivals, tenth + 1)
        nearest = np.argsort(self.moved(down), kind="stable")[: len(self.rivals) - self.room]
        for row in sorted(self.rivals[k] for k in nearest):
            programme.need(-self.at_least(row, tenth + 1), 1)
        found = programme.solved(0, _ROOT)
        self.work -= _ROOT
        if found.points is not None and self.holds(found.points):
            self.take(found.points, tenth)

    def solve(self, tenth: int, bound: int, room: int) -> int:
        """Look for the least that moves no more than a room, with the release at so many tenths or more.

        Returns what is moved at least, by what was found.
        """
        if self.other is None:
            (finer,) = self.bounds(np.array([tenth]), _MIXTURES).tolist()
            bound = max(bound, math.ceil(finer - _SLACK) if math.isfinite(finer) else sum(self.points) + 1)
        programme = self.programme(tenth, room) if bound <= room else None
        for _ in range(_CUTS):
            if programme is None:
                return max(bound, room + 1)
            size = 1 + programme.switches // 10  # what a programme takes grows with its switches
            self.work -= size
            bound = max(bound, programme.solved(bound, 1, how="relaxed").bound)
            if bound > room:
                return bound
            found = programme.solved(bound, self.work // size - _ROOT)
            self.work -= size * (_ROOT + found.nodes)
            bound = found.bound
            if not found.ended:
                break
            if found.points is None:
                return bound
            if self.holds(found.points):
                self.take(found.points, tenth)
                return bound
            programme.cut(found.points)
        return bound

    def tidy(self, tenth: int) -> None:
        """Of the equal ones at a tenth, that which touches the fewest criteria; the same on every machine."""
        programme = self.programme(tenth, self.total)
        found = programme.solved(self.total, WORK, how="tidy") if programme is not None else None
        if found is not None and found.ended and found.points is not None and self.holds(found.points):
            self.best = found.points

    def least_programme(self, tenth: int, room: int) -> _Programme:
        """What must hold of the release at a tenth, and of the one that it is to pass."""
        programme = _Programme(self.points, room)
        programme.need(self.at_least(self.own, tenth), 0)
        programme.need(self.counts[self.own], 1)
        programme.need(self.known[self.own], 0)
        if self.other is not None:
            programme.need(-self.at_least(self.other, tenth), 1)
            programme.need(self.counts[self.other], 1)
            programme.need(self.known[self.other], 0)
        return programme

    def programme(self, tenth: int, room: int) -> _Programme | None:
        """What must hold for it to be there with so many tenths moved; None where nothing can."""
        programme = self.least_programme(tenth, room)
        sums = self.at_least(slice(None), tenth + 1)
        may, above = self.room, []
        for row in self.rivals:
            ways_out = _WaysOut(sums[row], self.known[row], self.counts[row])
            match programme.is_above(ways_out):
                case True:
                    may -= 1
                case None:
                    above.append(ways_out)
        if may < 0:
            return None
        if len(above) > may:
            programme.at_most(may, above)
        return programme


def _nearest_first(bounds: dict[int, int]) -> list[int]:
    return sorted(bounds, key=lambda tenth: (bounds[tenth], tenth))


@dataclass(frozen=True, slots=True)
class _WaysOut:
    """What stands before each point in three sums over them: a rival is above where none is below 0 (1)."""

    tenths: Array
    known: Array
    counts: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    """What a programme came to: nothing under bound does it; points are the least where it ended."""

    bound: int
    points: tuple[int, ...] | None
    ended: bool
    nodes: int


class _Programme:
    """Whole tenths given to and taken from each of n criteria, and what must hold of the points after that.

    The columns are what is given (n), what is taken (n), and then yes-or-no ones.
    """

    def __init__(self, points: Sequence[int], room: int) -> None:
        self.points = np.array(points, dtype=float)
        self.n = len(points)
        self.room = room
        self.lows: list[float] = []
        self.rows: list[dict[int, float]] = []
        self.switches = 0
        given, taken = np.ones(self.n), -np.ones(self.n)
        self._row(np.concatenate([given, taken]), 0)
        self._row(np.concatenate([-given, -taken]), 0)
        self._row(np.concatenate([-given, 0 * taken]), -room)

    def need(self, sums: Array, at_least: float, switches: dict[int, float] | None = None) -> None:
        """Ask for a sum over the points, and over switches, to be at least so much."""
        self._row(np.concatenate([sums, -sums]), at_least - float(sums @ self.points), switches)

    def ends(self, sums: Array) -> tuple[float, float]:
        """The least and the greatest that a sum over the points can come to."""
        return -self._most(-sums), self._most(sums)

    def _most(self, sums: Array) -> float:
        brings = sums.max() - sums
        order = np.argsort(-brings)
        there = self.points[order]
        taken = np.clip(self.room - (np.cumsum(there) - there), 0, there)
        return float(sums @ self.points + brings[order] @ taken)

    def is_above(self, rival: _WaysOut) -> bool | None:
        """Whether a rival is above whatever is moved, or never; None where it depends."""
        low, high = self.ends(rival.tenths)
        known_low, known_high = self.ends(rival.known)
        if high < 0 or known_high < 0:
            return False
        goes = low < 0 or known_low < 0 or self.ends(rival.counts)[0] < 1
        return None if goes else True

    def at_most(self, may: int, rivals: Sequence[_WaysOut]) -> None:
        """Let no more than so many of some rivals be above."""
        stay = []
        for rival in rivals:
            ways = {self._switch(): 1.0}
            stay += list(ways)
            for sums, least in ((rival.known, 0.0), (rival.counts, 1.0)):
                low, high = self.ends(sums)
                if low < least:
                    way = self._switch()
                    ways[way] = 1.0
                    # below its least where the switch is on
                    self.need(-sums, 1 - least - (high + 1 - least), {way: -(high + 1 - least)})
            high = self.ends(rival.tenths)[1]
            self.need(-rival.tenths, 1, dict.fromkeys(ways, high + 1))
        self._row(np.zeros(2 * self.n), -may, dict.fromkeys(stay, -1.0))

    def cut(self, points: Sequence[int]) -> None:
        """Ask for other points than these: some criterion above or below."""
        ways = {}
        for k, size in enumerate(points):
            alone = np.eye(self.n)[k]
            for sign in (1, -1):
                high = self.ends(-sign * alone)[1]
                way = self._switch()
                ways[way] = 1.0
                # sign * w >= sign * size + 1 where the switch is on, and nothing where it is off
                reach = sign * size + 1 + high
                self.need(sign * alone, -high, {way: -reach})
        self._row(np.zeros(2 * self.n), 1, ways)

    def solved(self, bound: int, nodes: int, how: Literal["whole", "relaxed", "tidy"] = "whole") -> _Found:
        """The least that is moved; tidily, of what moves just the room, what touches the fewest criteria."""
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        cost = np.concatenate([np.ones(self.n), np.zeros(self.n + self.switches)])
        if how == "tidy":
            self._row(np.concatenate([np.ones(self.n), np.zeros(self.n)]), self.room)
            cost = self._touching()
        count = 2 * self.n + self.switches
        columns = [list(row) for row in self.rows]
        pointers = np.cumsum([0, *map(len, columns)])
        values = [value for row in self.rows for value in row.values()]
        matrix = csr_array((values, np.concatenate(columns), pointers), shape=(len(self.rows), count))
        most = np.concatenate(
            [np.full(self.n, self.room), np.minimum(self.points, self.room), np.ones(self.switches)]
        )
        if nodes <= 0:
            return _Found(bound=bound, points=None, ended=False, nodes=0)
        found = milp(
            cost,
            integrality=np.full(count, how != "relaxed"),
            bounds=Bounds(0, most),
            constraints=LinearConstraint(matrix, np.array(self.lows), np.inf),
            options={"mip_rel_gap": 0, "node_limit": nodes},
        )
        used = 1 + int(found.mip_node_count or 0)
        if found.status == 2:
            return _Found(bound=self.room + 1, points=None, ended=True, nodes=used)
        reached = found.fun if how == "relaxed" else found.mip_dual_bound
        if how != "tidy" and reached is not None and math.isfinite(reached):
            bound = max(bound, math.ceil(reached - _SLACK))
        points = None
        if found.x is not None:
            moves = np.rint(found.x[: self.n]) - np.rint(found.x[self.n : 2 * self.n])
            points = tuple(int(one) for one in self.points + moves)
        return _Found(bound=bound, points=points, ended=found.status == 0, nodes=used)

    def _touching(self) -> Array:
        """A cost for each criterion touched, then one by the square roots of primes.

        Those are linearly independent over the rationals (Besicovitch 1940), so no two changes cost the same.
        """
        touched = [self._switch() for _ in range(self.n)]
        for k, way in enumerate(touched):
            both = np.concatenate([-np.eye(self.n)[k], -np.eye(self.n)[k]])
            self._row(both, 0, {way: float(self.room)})
        roots = np.sqrt(_primes(self.n))
        cost = np.concatenate([roots, roots, np.zeros(self.switches)])
        cost[touched] = 4 * self.room * roots[-1]
        return cost

    def _switch(self) -> int:
        self.switches += 1
        return 2 * self.n + self.switches - 1

    def _row(self, parts: Array, at_least: float, switches: dict[int, float] | None = None) -> None:
        row = {k: float(value) for k, value in enumerate(parts) if value}
        self.rows.append(row | (switches or {}))
        self.lows.append(at_least)


def _primes(count: int) -> list[int]:
    found: list[int] = []
    number = 2
    while len(found) < count:
        if all(number % one for one in found):
            found.append(number)
        number += 1
    return found
