"""Lines of odds as strips in the space of packs: which clash, what the rest allow, what fits best.

A line says `sum over f of Packs_f / X_fj = copies_j`, with every X known only to its rounding, so it is a
strip between two planes. F is the number of formats.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from rating.numerics import programmes
from rating.numerics.rates import Rounding, leeway, odds_interval

Array = NDArray[np.float64]

# strips that miss each other by less than this share of their copies touch
_TOUCH = 1e-9
# the pull towards the middle of a range where the lines leave a direction open, against theirs
_OPEN = 1e-3
# a sum that is this much smaller than its terms is nothing but their last bits
_ROUNDING = 1e-12


class Strips:
    """The lines as strips `upper @ p <= 1 <= lower @ p`, with p = packs / scale of order one.

    It counts the programmes it solves, since their number is what grows with the lines.
    """

    def __init__(
        self,
        copies: Sequence[int],
        stated: Sequence[Mapping[int, float]],
        formats: int,
        rounding: Rounding,
    ) -> None:
        self.lines, self.formats, self.programmes = len(copies), formats, 0
        self.copies = np.array(copies, dtype=float)
        self.odds = np.full((self.lines, formats), np.inf)
        low, high = self.odds.copy(), self.odds.copy()
        for j, line in enumerate(stated):
            for f, x in line.items():
                self.odds[j, f] = x
                low[j, f], high[j, f] = odds_interval(x, rounding)
        middle = float(sum(leeway(rounding))) / 2
        self.rates = 1 / (self.odds + middle)
        used: NDArray[np.bool_] = np.isfinite(self.odds)
        self.scale = np.array(
            [
                np.median((self.copies * self.odds[:, f])[used[:, f]]) if used[:, f].any() else 1.0
                for f in range(formats)
            ]
        )
        share = self.scale / self.copies[:, None]
        with np.errstate(divide="ignore"):
            self.upper = share / high
            self.lower = np.where(used, share / low, 0.0)
        # Odds that could be 1:0 leave room for any number of copies: no lower end to hold to.
        self.bounded_below: NDArray[np.bool_] = np.all(np.isfinite(self.lower), axis=1)
        self.used = used

    def pairs(self) -> list[frozenset[int]]:
        """Pairs of lines that no packs can reconcile.

        Line i caps what line j asks for exactly when i's upper row is the larger in every format of j.
        """
        larger = np.greater(self.upper[:, None, :] * (1 - _TOUCH), self.lower[None, :, :])
        above = np.logical_or(larger, ~self.used[None, :, :]).all(axis=2) & self.bounded_below[None, :]
        return [frozenset((int(i), int(j))) for i, j in np.argwhere(above) if i != j]

    def _rows(self, kept: list[int]) -> tuple[Array, Array, list[int]]:
        """Rows A and ends b of A p <= b for the lines kept, and the line that each row belongs to."""
        below = [j for j in kept if self.bounded_below[j]]
        rows = np.vstack([self.upper[kept], -self.lower[below]])
        ends = np.concatenate([np.ones(len(kept)), -np.ones(len(below))])
        return rows, ends, [*kept, *below]

    def _solve(self, cost: Array, rows: Array, ends: Array) -> tuple[float, Array]:
        """Least cost over p >= 0 with rows @ p <= ends, and what easing each row would save."""
        self.programmes += 1
        return programmes.least(cost, rows, ends)

    def conflict(self, kept: list[int]) -> tuple[float, frozenset[int]]:
        """By how much the lines kept miss each other, and lines among them that already do.

        The widening t that reconciles all of them is minimised; where it is above 0, the rows with a price
        are at most F + 1 and contradict each other by themselves (Farkas; Helly).
        """
        rows, ends, owner = self._rows(kept)
        widened = np.hstack([rows, -np.ones((len(rows), 1))])
        cost = np.zeros(self.formats + 1)
        cost[-1] = 1
        miss, price = self._solve(cost, widened, ends)
        if miss <= _TOUCH:
            return miss, frozenset()
        return miss, frozenset(owner[r] for r in np.flatnonzero(price < -1e-9 * np.abs(price).max()))

    def smallest_sets(self, most: int) -> tuple[list[tuple[tuple[int, ...], float]], bool]:
        """Every smallest set of lines whose absence lets the rest agree, with what they still miss by.

        A set qualifies when it hits every conflict. Pairs are known beforehand; larger conflicts are found
        when a candidate leaves them standing, so only the few that matter are ever computed.
        """
        conflicts = self.pairs()
        found: list[tuple[tuple[int, ...], float]] = []
        size: int | None = None if conflicts else 0
        while True:
            aside = self._hitting(conflicts, [set_aside for set_aside, _ in found], size)
            if aside is None:
                return sorted(found), True
            if len(found) == most:
                return sorted(found), False
            kept = [j for j in range(self.lines) if j not in aside]
            miss, clash = self.conflict(kept) if kept else (0.0, frozenset())
            if clash:
                conflicts.append(clash)
                size = len(found[0][0]) if found else None
            else:
                found.append((aside, miss))
                size = len(aside)
            if found and size == 0:
                return found, True

    def _hitting(
        self, conflicts: list[frozenset[int]], found: list[tuple[int, ...]], size: int | None
    ) -> tuple[int, ...] | None:
        """A smallest set that hits every conflict and is none of those found; None if there is none."""
        if not conflicts:
            return ()
        rows = np.zeros((len(conflicts) + len(found), self.lines))
        low = np.concatenate([np.ones(len(conflicts)), np.full(len(found), -np.inf)])
        high = np.concatenate([np.full(len(conflicts), np.inf), [len(aside) - 1.0 for aside in found]])
        for r, lines in enumerate([*conflicts, *found]):
            rows[r, list(lines)] = 1
        if size is not None:
            rows = np.vstack([rows, np.ones(self.lines)])
            low, high = np.append(low, -np.inf), np.append(high, size)
        self.programmes += 1
        chosen = programmes.fewest(rows, low, high)
        return None if chosen is None else tuple(int(j) for j in chosen)

    def extremes(self, kept: list[int], miss: float) -> tuple[Array, Array, float, float]:
        """Lowest and highest packs of each format and of all, under the lines kept."""
        rows, ends, _ = self._rows(kept)
        ends = ends + 2 * miss
        spoken = self.used[kept].any(axis=0)
        low, high = np.zeros(self.formats), np.full(self.formats, np.inf)
        for f in np.flatnonzero(spoken):
            aim = np.zeros(self.formats)
            aim[f] = self.scale[f]
            low[f], high[f] = self._ends(aim, rows, ends)
        if not spoken.all():
            return low, high, float(low.sum()), math.inf
        if self.formats == 1:
            return low, high, float(low[0]), float(high[0])
        return low, high, *self._ends(self.scale, rows, ends)

    def _ends(self, weights: Array, rows: Array, ends: Array) -> tuple[float, float]:
        """Lowest and highest weights @ p; every format spoken of is bounded by its own lines."""
        largest = weights.max()
        lowest, _ = self._solve(weights / largest, rows, ends)
        highest, _ = self._solve(-weights / largest, rows, ends)
        return float(lowest * largest), float(-highest * largest)

    def least_squares(
        self, kept: list[int], low: Array, high: Array, miss: float
    ) -> tuple[Array, Array, float, float]:
        """Estimate of each format's packs, their standard errors, the error of the total and the misfit.

        Residuals are in copies; their variance follows from the rounding variance 1/12 of each X
        (`packs / X^2` copies a unit of X), for one format exactly sum(X/c) / sum(1/c^2). Errors are
        NaN where the lines leave a direction open, as when two formats have the same odds throughout: it is
        taken in the middle of its range.
        """
        spoken = np.flatnonzero(self.used[kept].any(axis=0))
        rates, copies = self.rates[kept][:, spoken], self.copies[kept]
        packs = middle = (low[spoken] + high[spoken]) / 2
        # in widths of their ranges all formats are of one order, however little some lines tell them apart
        width = np.maximum(high[spoken] - low[spoken], 1e-9 * self.scale[spoken])
        single = (rates > 0).sum(axis=1) == 1
        # Odds of one format only: packs / X is the copies, which are known, so no estimate is needed.
        known = copies * rates.max(axis=1) / math.sqrt(12)
        for _ in range(50):
            deviation = np.where(single, known, np.sqrt((packs * rates**2) ** 2 @ np.ones(len(spoken)) / 12))
            design = rates / deviation[:, None]
            told = int(np.linalg.matrix_rank(design * self.scale[spoken]))
            left, sizes, turned = np.linalg.svd(_tall(design * width), full_matrices=False)
            aim = left[: len(kept), :told].T @ ((copies - rates @ middle) / deviation)
            step = middle + width * (turned[:told].T @ (aim / sizes[:told]))
            settled = np.allclose(step, packs, rtol=1e-13, atol=0)
            packs = np.maximum(step, 1e-12 * self.scale[spoken])
            if settled:
                break
        sizes[told:] = _OPEN
        back = width[:, None] * turned.T / sizes
        # Nothing bounds the error in an open direction but the range itself.
        spread = np.full((len(spoken),) * 2, np.nan) if told < len(spoken) else back @ back.T
        packs = self._held_inside(kept, spoken, packs, back, miss)
        misfit = float((((rates @ packs - copies) / deviation) ** 2).sum())
        estimate, error = np.full(self.formats, np.nan), np.full(self.formats, np.nan)
        estimate[spoken], error[spoken] = packs, np.sqrt(np.diag(spread))
        return estimate, error, float(np.sqrt(spread.sum())), misfit

    def _held_inside(
        self, kept: list[int], spoken: NDArray[np.intp], packs: Array, back: Array, miss: float
    ) -> Array:
        """The point that the lines kept allow and that fits the least-squares design best.

        With p = packs + back z it is the least distance |z|.
        """
        rows, ends, _ = self._rows(kept)
        rows = rows[:, spoken] / self.scale[spoken]
        room = ends + miss - rows @ packs
        if (room >= 0).all():
            return packs
        turned = rows @ back
        # what is nothing but rounding must not decide along a direction that the lines leave open
        turned[np.abs(turned) < _ROUNDING * (np.abs(rows) @ np.abs(back))] = 0.0
        length = np.linalg.norm(turned, axis=1)
        held: Array = packs + back @ programmes.nearest(-turned / length[:, None], -room / length)
        return held


def _tall(design: Array) -> Array:
    """A design with rows of zeros below it where it has fewer rows than columns: no column is lost."""
    missing = design.shape[1] - design.shape[0]
    return np.vstack([design, np.zeros((max(0, missing), design.shape[1]))])
