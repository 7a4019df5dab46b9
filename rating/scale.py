"""Value scales: a measure goes in, a score from 0 to 100 comes out, by declared goalposts.

A scale is declared in the rubric, never observed from the season, so that a new release cannot move the
score of another. Between its goalposts a measure is placed exactly (fractions; 40-digit logarithms), the
score is that place rounded half up; outside them it is capped, and the answer says so.

One shape, a list of goalposts, covers worst, typical and best, so that "50 is typical" can be declared; a
separate low and high with a direction would be two ways to say one thing. A logarithmic place is worked out
to 30 places and then rounded half up: the same score on every machine, and an exact half stays one.
"""

from __future__ import annotations

import bisect
import itertools
from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction
from typing import Literal

from rating import tenths

Kind = Literal["linear", "logarithmic", "step", "peak"]
Better = Literal["high", "low", "middle"]
Number = Decimal | Fraction | int
KINDS: tuple[Kind, ...] = ("linear", "logarithmic", "step", "peak")

_LOGARITHMS = Context(prec=40)
# two more than enough digits are dropped after a logarithm, so that an exact half stays an exact half
_LOGARITHM_PLACES = 10**30


@dataclass(frozen=True, slots=True)
class Placed:
    """A score from a scale, and the end it was capped at: 'low' or 'high' measure, '' where it was not."""

    score: int
    capped: Literal["", "low", "high"] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """The goalposts of one criterion: pairs of a measure and the score it gets, in rising measure.

    kind
        linear or logarithmic between the goalposts; step: the score of the last goalpost reached;
        peak: linear, best in the middle
    """

    kind: Kind
    unit: str
    points: tuple[tuple[Decimal, int], ...]

    def __post_init__(self) -> None:
        measures = [measure for measure, _ in self.points]
        scores = [score for _, score in self.points]
        if self.kind not in KINDS:
            raise ValueError(f"a scale is one of {', '.join(KINDS)}, not {self.kind!r}")
        if len(measures) < 2:
            raise ValueError("a scale needs at least two goalposts")
        if not all(measure.is_finite() for measure in measures):
            raise ValueError("a goalpost must be a finite number")
        if any(first >= second for first, second in itertools.pairwise(measures)):
            raise ValueError(f"goalposts must rise, got {', '.join(map(str, measures))}")
        if not all(0 <= score <= 100 for score in scores):
            raise ValueError(f"the scores of goalposts must lie from 0 to 100, got {scores}")
        if self.kind == "logarithmic" and measures[0] <= 0:
            raise ValueError(f"a logarithmic scale needs goalposts above 0, got {measures[0]}")
        if self.kind == "peak":
            top = scores.index(max(scores))
            if top in {0, len(scores) - 1} or scores != [*sorted(scores[:top]), *sorted(scores[top:])[::-1]]:
                raise ValueError("a peak scale rises to its best goalpost in the middle and falls after it")
        elif scores not in (sorted(scores), sorted(scores)[::-1]) or scores[0] == scores[-1]:
            raise ValueError(f"scores must rise or fall along a {self.kind} scale, got {scores}")

    @property
    def better(self) -> Better:
        """Which measures score best: high, low or middle ones."""
        if self.kind == "peak":
            return "middle"
        return "high" if self.points[0][1] < self.points[-1][1] else "low"

    def position(self, measure: Number) -> Fraction:
        """The place of a measure between 0 and 100, not yet rounded, capped at the ends.

        Raises
        ------
        ValueError
            if the measure is not finite
        """
        if isinstance(measure, Decimal) and not measure.is_finite():
            raise ValueError(f"a measure must be a finite number, got {measure}")
        where = Fraction(measure)
        posts = [Fraction(post) for post, _ in self.points]
        if where <= posts[0]:
            return Fraction(self.points[0][1])
        if where >= posts[-1]:
            return Fraction(self.points[-1][1])
        above = bisect.bisect_right(posts, where)
        low, high = self.points[above - 1], self.points[above]
        if self.kind == "step":
            return Fraction(low[1])
        if self.kind == "logarithmic":
            share = _log_share(where, posts[above - 1], posts[above])
        else:
            share = (where - posts[above - 1]) / (posts[above] - posts[above - 1])
        return low[1] + share * (high[1] - low[1])

    def place(self, measure: Number) -> Placed:
        """The score of a measure, halves up, with the end it was capped at."""
        position = self.position(measure)
        where = Fraction(measure)
        capped: Literal["", "low", "high"] = ""
        if where < self.points[0][0]:
            capped = "low"
        elif where > self.points[-1][0]:
            capped = "high"
        return Placed(tenths.half_up(position), capped)

    def as_plain(self) -> dict[str, object]:
        """The scale as text, lists and whole numbers only: what the hash of a rubric is made from."""
        return {
            "kind": self.kind,
            "unit": self.unit,
            "points": [[tenths.plain(measure), score] for measure, score in self.points],
        }

    def describe(self) -> str:
        """The scale in one line a person can read."""
        posts = ", ".join(f"{tenths.plain(measure)} gives {score}" for measure, score in self.points)
        return f"{self.kind}, {self.unit}: {posts}"


def scale(kind: Kind, unit: str, *points: tuple[str | int, int]) -> Scale:
    """A scale written shortly: `scale("linear", "share", ("0.5", 0), (1, 100))`."""
    return Scale(kind=kind, unit=unit, points=tuple((Decimal(measure), score) for measure, score in points))


def _log_share(where: Fraction, low: Fraction, high: Fraction) -> Fraction:
    """How far a measure lies between two goalposts on a logarithmic scale, 0 to 1, to 30 places."""
    part, whole = _ln(where / low), _ln(high / low)
    return Fraction(round(Fraction(part) / Fraction(whole) * _LOGARITHM_PLACES), _LOGARITHM_PLACES)


def _ln(ratio: Fraction) -> Decimal:
    exact = _LOGARITHMS.divide(Decimal(ratio.numerator), Decimal(ratio.denominator))
    return exact.ln(_LOGARITHMS)
