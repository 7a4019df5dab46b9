"""An integer programme over points that move: so many tenths given to and taken from each criterion.

What must hold of the points afterwards are sums over them; where a rival may get out of the way by more than
one road, a yes-or-no column says by which.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
# what the solver's own tolerance may take off a bound
SLACK = 1e-6


@dataclass(frozen=True, slots=True)
class WaysOut:
    """What stands before each point in three sums over them: a rival is above where none is below 0 (1)."""

    tenths: Array
    known: Array
    counts: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What a programme came to: nothing under bound does it; points are the least where it ended."""

    bound: int
    points: tuple[int, ...] | None
    ended: bool
    nodes: int


class Programme:
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

    def is_above(self, rival: WaysOut) -> bool | None:
        """Whether a rival is above whatever is moved, or never; None where it depends."""
        low, high = self.ends(rival.tenths)
        known_low, known_high = self.ends(rival.known)
        if high < 0 or known_high < 0:
            return False
        goes = low < 0 or known_low < 0 or self.ends(rival.counts)[0] < 1
        return None if goes else True

    def at_most(self, may: int, rivals: Sequence[WaysOut]) -> None:
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

    def solved(self, bound: int, nodes: int, how: Literal["whole", "relaxed", "tidy"] = "whole") -> Found:
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
            return Found(bound=bound, points=None, ended=False, nodes=0)
        found = milp(
            cost,
            integrality=np.full(count, how != "relaxed"),
            bounds=Bounds(0, most),
            constraints=LinearConstraint(matrix, np.array(self.lows), np.inf),
            options={"mip_rel_gap": 0, "node_limit": nodes},
        )
        used = 1 + int(found.mip_node_count or 0)
        if found.status == 2:
            return Found(bound=self.room + 1, points=None, ended=True, nodes=used)
        reached = found.fun if how == "relaxed" else found.mip_dual_bound
        if how != "tidy" and reached is not None and math.isfinite(reached):
            bound = max(bound, math.ceil(reached - SLACK))
        points = None
        if found.x is not None:
            moves = np.rint(found.x[: self.n]) - np.rint(found.x[self.n : 2 * self.n])
            points = tuple(int(one) for one in self.points + moves)
        return Found(bound=bound, points=points, ended=found.status == 0, nodes=used)

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
