"""A search for the fewest points moved, tenth by tenth: what is common to all that can be asked of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from rating.core import exact
from rating.core.rank import competition_ranks
from rating.sensitivity.programmes import SLACK, Programme, WaysOut
from rating.sensitivity.swaps import nearest_weights

Array = npt.NDArray[np.float64]
Score = int | None

# so many linear programmes in all, and the best found stands with its bound
WORK = 2_000
# what an integer programme costs before its first branch, in linear programmes
ROOT = 20
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


@dataclass
class Search:
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
        return {tenth: math.ceil(bound - SLACK) for tenth, bound in bounds if math.isfinite(bound)}

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
        found = programme.solved(0, ROOT)
        self.work -= ROOT
        if found.points is not None and self.holds(found.points):
            self.take(found.points, tenth)

    def solve(self, tenth: int, bound: int, room: int) -> int:
        """Look for the least that moves no more than a room, with the release at so many tenths or more.

        Returns what is moved at least, by what was found.
        """
        if self.other is None:
            (finer,) = self.bounds(np.array([tenth]), _MIXTURES).tolist()
            bound = max(bound, math.ceil(finer - SLACK) if math.isfinite(finer) else sum(self.points) + 1)
        programme = self.programme(tenth, room) if bound <= room else None
        for _ in range(_CUTS):
            if programme is None:
                return max(bound, room + 1)
            size = 1 + programme.switches // 10  # what a programme takes grows with its switches
            self.work -= size
            bound = max(bound, programme.solved(bound, 1, how="relaxed").bound)
            if bound > room:
                return bound
            found = programme.solved(bound, self.work // size - ROOT)
            self.work -= size * (ROOT + found.nodes)
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

    def least_programme(self, tenth: int, room: int) -> Programme:
        """What must hold of the release at a tenth, and of the one that it is to pass."""
        programme = Programme(self.points, room)
        programme.need(self.at_least(self.own, tenth), 0)
        programme.need(self.counts[self.own], 1)
        programme.need(self.known[self.own], 0)
        if self.other is not None:
            programme.need(-self.at_least(self.other, tenth), 1)
            programme.need(self.counts[self.other], 1)
            programme.need(self.known[self.other], 0)
        return programme

    def programme(self, tenth: int, room: int) -> Programme | None:
        """What must hold for it to be there with so many tenths moved; None where nothing can."""
        programme = self.least_programme(tenth, room)
        sums = self.at_least(slice(None), tenth + 1)
        may, above = self.room, []
        for row in self.rivals:
            ways_out = WaysOut(sums[row], self.known[row], self.counts[row])
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
