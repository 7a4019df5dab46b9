"""The fewest points moved that make a release lead: linear programmes prove, integer ones only answer.

To lead at a tenth t is to be at t or above while nobody else is above t. A rival of which all is known is a
row of a linear programme. One that may come to have no place, or no grade, is left out until it stands in
the way, and then each of its ways out is tried by itself, so that no row is made loose by a switch.

A linear programme's multipliers mix its rows into one. That mixture holds at every other tenth as well, and
the least that is moved for one row is known without a programme, so each programme bounds all tenths. What is
taken up next is always what the bounds leave cheapest; where that is dearer than the best found, nothing is
left to try (best-first branch and bound: Land and Doig 1960, Econometrica 28, 497-520; bounds by duality:
Geoffrion 1974, Mathematical Programming Study 2, 82-114).
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

import numpy as np
import numpy.typing as npt

from rating.sensitivity.programmes import SLACK, Programme
from rating.sensitivity.searching import ROOT, WORK, Least, Search

Array = npt.NDArray[np.float64]

# what missing a row costs a linear programme, in tenths for each part of the row's largest number
_MISSED = 1e4
# parts of the largest number as small as this are of the solver's making
_HAIR = 1e-10


class _Row(NamedTuple):
    """Something that must hold of the points: of the release itself, or of a rival."""

    what: Literal["stands", "counts", "known", "below", "apart", "blank"]
    release: int


class _Node(NamedTuple):
    """A tenth with the ways out of some rivals; nothing under bound does it there.

    In the order in which they are taken up: the cheapest first, then those near the middle of all tenths.
    """

    bound: int
    far: int
    place: int
    ways: tuple[_Row, ...] = ()
    is_relaxed: bool = False


@dataclass(frozen=True, slots=True)
class _Bounds:
    """What is moved at least at every tenth, where some ways out are taken."""

    ways: frozenset[_Row]
    tenths: npt.NDArray[np.int64]


@dataclass
class Leading(Search):
    """A search for the least that makes a release lead."""

    proofs: list[_Bounds] = field(default_factory=list)
    # rivals that stood in the way once: their ways out are tried before a programme is solved
    in_the_way: dict[int, None] = field(default_factory=dict)
    best_node: _Node | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        out = self.may_be_out()
        self.open = [row for row, may in zip(self.rivals, out, strict=True) if may]
        closed = [row for row, may in zip(self.rivals, out, strict=True) if not may]
        own = [_Row("stands", self.own), _Row("counts", self.own), _Row("known", self.own)]
        self.always = [*own, *(_Row("below", row) for row in closed)]
        scores = [one for one in self.scores.rows[self.own] if one is not None]
        self.all_tenths = np.arange(10 * min(scores), 10 * max(scores) + 1)

    def least(self) -> Least:
        if self.holds(self.points):
            return Least(points=self.points, total=0, proved=True, at_least=0)
        middle = len(self.all_tenths) // 2
        heap = [_Node(0, abs(place - middle), place) for place in range(len(self.all_tenths))]
        heapq.heapify(heap)
        while heap and heap[0].bound < self.total and self.work > 0:
            for node in self.followed(heapq.heappop(heap)):
                heapq.heappush(heap, node)
        at_least = min(heap[0].bound if heap else self.total, self.total)
        self.tidied()
        proved = at_least == self.total
        if self.best is None:
            return Least(points=None, total=None, proved=proved, at_least=None if proved else at_least)
        return Least(points=self.best, total=self.total, proved=proved, at_least=at_least)

    def followed(self, node: _Node) -> list[_Node]:
        """What a node leaves to be tried; none where nothing can be there, or its least was found."""
        bound = self.bound(node)
        if bound > node.bound:
            return [node._replace(bound=bound)] if bound < self.total else []
        decided = {way.release for way in node.ways}
        rival = next((row for row in self.in_the_way if row not in decided), None)
        if rival is not None:
            return self.branches(node, rival)
        if not node.is_relaxed:
            points = self.relaxed(node)
            node = node._replace(bound=self.bound(node), is_relaxed=True)
            rival = self.above(points, node)
            return [node] if rival is None else self.branches(node, rival)
        return self.solved(node)

    def bound(self, node: _Node) -> int:
        """What is moved at least at a node, by all that was proved."""
        ways = frozenset(node.ways)
        return max([node.bound, *(int(one.tenths[node.place]) for one in self.proofs if one.ways <= ways)])

    def branches(self, node: _Node, rival: int) -> list[_Node]:
        """A node for each way in which a rival may get out of the way."""
        self.in_the_way[rival] = None
        ways = [_Row("below", rival)]
        if (self.known[rival] < 0).any():
            ways.append(_Row("apart", rival))
        if (self.counts[rival] == 0).any():
            ways.append(_Row("blank", rival))
        return [node._replace(ways=(*node.ways, way), is_relaxed=False) for way in ways]

    def above(self, points: Array, node: _Node) -> int | None:
        """The rival of those left out that is the farthest above a node's tenth; None where none is."""
        decided = {way.release for way in node.ways}
        rows = [row for row in self.open if row not in decided]
        if not rows:
            return None
        beyond = self.at_least(rows, int(self.all_tenths[node.place]) + 1) @ points
        beyond[(self.known[rows] @ points < -SLACK) | (self.counts[rows] @ points < SLACK)] = -1
        farthest = int(np.argmax(beyond))
        return rows[farthest] if beyond[farthest] > -SLACK else None

    def sums(self, row: _Row, tenths: int | npt.NDArray[np.int_]) -> tuple[Array, int]:
        """What stands before each point (..., n), and what the sum must come to at least."""
        match row.what:
            case "stands":
                return self.at_least(row.release, tenths), 0
            case "counts":
                return self.counts[row.release], 1
            case "known":
                return self.known[row.release], 0
            case "below":
                return -self.at_least(row.release, tenths + 1), 1
            case "apart":
                return -self.known[row.release], 1
            case "blank":
                return -self.counts[row.release], 0

    def level(self, row: _Row, tenths: int | npt.NDArray[np.int_]) -> Array:
        """A row that must come to 0 at least: points keep their sum, so a number may be spread over them."""
        sums, least = self.sums(row, tenths)
        level: Array = sums - least / self.weights.sum()
        return level

    def relaxed(self, node: _Node) -> Array:
        """Points in parts of a tenth that are the least there; what that proves of all tenths is kept."""
        from scipy.optimize import linprog

        rows = [*self.always, *node.ways]
        matrix = np.array([self.level(row, int(self.all_tenths[node.place])) for row in rows])
        scales = np.maximum(np.abs(matrix).max(axis=1, keepdims=True), 1)
        matrix /= scales
        n = len(self.weights)
        # given, taken, and what the rows miss together
        found = linprog(
            np.concatenate([np.ones(n), np.zeros(n), [_MISSED]]),
            A_ub=np.hstack([-matrix, matrix, -np.ones((len(rows), 1))]),
            b_ub=matrix @ self.weights,
            A_eq=np.concatenate([np.ones(n), -np.ones(n), [0]])[np.newaxis],
            b_eq=[0],
            bounds=[(0, None)] * n + [(0, one) for one in self.weights] + [(0, None)],
            method="highs",
        )
        self.work -= 1
        if found.x is None:
            return self.weights
        self.prove(rows, np.maximum(0, -found.ineqlin.marginals) / scales[:, 0])
        points: Array = self.weights + found.x[:n] - found.x[n : 2 * n]
        return points

    def prove(self, rows: list[_Row], multipliers: Array) -> None:
        """Keep what a mixture of rows says of every tenth."""
        used = [
            (row, float(share))
            for row, share in zip(rows, multipliers, strict=True)
            if share > _HAIR * multipliers.max()
        ]
        if not used:
            return
        mixture = sum(share * self.level(row, self.all_tenths) for row, share in used)
        # 0 is enough, also by floats: where nothing counts, a sum can come to no more
        mixture = mixture + _HAIR * np.abs(mixture).max()
        moved = self.moved(np.broadcast_to(mixture, (len(self.all_tenths), len(self.weights))))
        bounds = np.ceil(np.minimum(moved, self.weights.sum() + 1) - SLACK).astype(np.int64)
        self.proofs.append(_Bounds(frozenset(row for row, _ in used) - frozenset(self.always), bounds))

    def solved(self, node: _Node) -> list[_Node]:
        """Look for the least in whole tenths at a node; what is left where a rival turns out to be above."""
        programme = self.programme_at(node, self.total - 1)
        while True:
            found = programme.solved(node.bound, self.work)
            self.work -= ROOT + found.nodes
            node = node._replace(bound=max(node.bound, found.bound))
            if not found.ended:
                self.work = 0
                return [node]
            if found.points is None:
                return []
            if self.holds(found.points):
                self.take(found.points)
                self.best_node = node
                return []
            rival = self.above(np.array(found.points, dtype=float), node)
            if rival is not None:
                return self.branches(node, rival)
            # it fails by the solver's own tolerance
            programme.cut(found.points)

    def programme_at(self, node: _Node, room: int) -> Programme:
        """What must hold at a node with so many tenths moved."""
        programme = Programme(self.points, room)
        for row in (*self.always, *node.ways):
            programme.need(*self.sums(row, int(self.all_tenths[node.place])))
        return programme

    def tidied(self) -> None:
        """Of the equal ones where the best was found, take that which touches the fewest criteria."""
        if self.best_node is None:
            return
        found = self.programme_at(self.best_node, self.total).solved(self.total, WORK, how="tidy")
        if found.ended and found.points is not None and self.holds(found.points):
            self.best = found.points
