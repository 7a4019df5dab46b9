"""What a release's grade and place hang on: the points of each criterion, or its own scores there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rating.doubt.ranges import CONCENTRATION, DRAWS, SEED
from rating.doubt.score_table import ScoreTable
from rating.sensitivity.drivers import linear_indices, sobol

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Driver:
    """One criterion's part in what is open about a grade and a place.

    score_alone is the exact share of the grade's variance that the doubt of its score brings at the rubric's
    points. The others are total Sobol indices with points and scores in doubt at once: what would stay open
    if the points of this criterion, or its score, alone were not known.
    """

    criterion: str
    score_alone: float
    grade_points: float
    grade_score: float
    place_points: float
    place_score: float


def drivers(table: ScoreTable, release: str, *, draws: int = DRAWS, seed: int = SEED) -> tuple[Driver, ...]:
    """What a release's grade and place hang on, criterion by criterion.

    Points are drawn evenly around the rubric's, as wide as in the ranges of places, and the release's scores
    evenly within their spreads, an unknown one from 0 to 100. The other releases keep their scores, what is
    unknown of them at their own mean.

    Raises
    ------
    ValueError
        if the release has no place, or for a negative seed
    """
    own = table.ranked_row(release)
    n = len(table.criteria)
    points = np.array(table.points, dtype=float)
    shares = points / points.sum()
    half = np.sqrt(3 * shares * (1 - shares) / (CONCENTRATION + 1))
    middle = np.array([50.0 if score is None else score for score in own.scores])
    known = np.array([score is not None for score in own.scores])
    applies = np.array(own.applies)
    wide = np.where(applies, np.where(known, np.array(own.spreads, dtype=float), 50.0), 0.0)
    bounds = np.concatenate(
        [
            np.column_stack([np.maximum(0, shares - half), shares + half]),
            np.column_stack([np.maximum(0, middle - wide), np.minimum(100, middle + wide)]),
        ]
    )
    rivals = table.only([row for row in table.ranked if row is not own]).filled()

    def grade(inputs: Array) -> Array:
        weights = inputs[:, :n] * applies
        return np.asarray((weights * inputs[:, n:]).sum(axis=1) / weights.sum(axis=1))

    def place(inputs: Array) -> Array:
        weights = inputs[:, :n] / inputs[:, :n].sum(axis=1, keepdims=True)
        return np.asarray((weights @ rivals.T > grade(inputs)[:, np.newaxis]).sum(axis=1) + 1.0)

    of_grade = sobol(grade, bounds, max(2, draws), seed).total
    of_place = sobol(place, bounds, max(2, draws), seed).total
    alone = linear_indices(
        np.where(applies, points, 0), np.where(known | ~applies, np.where(applies, own.spreads, 0.0), np.nan)
    )
    return tuple(
        Driver(
            criterion=key,
            score_alone=float(alone[k]),
            grade_points=float(of_grade[k]),
            grade_score=float(of_grade[n + k]),
            place_points=float(of_place[k]),
            place_score=float(of_place[n + k]),
        )
        for k, key in enumerate(table.criteria)
    )
