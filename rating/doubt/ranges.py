"""The range of places that doubt about weights and scores leaves, and whose weights put a release first.

Weights are drawn from a Dirichlet law of concentration 100 around the rubric's: 10 of 100 points then have a
standard deviation of 3, as people have who agree on the rubric and argue over a few points. Uniform weights,
which nobody holds, are an option.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
import numpy.typing as npt

from rating import tenths, text
from rating.doubt.score_table import ScoreTable
from rating.sensitivity.ranges import rank_ranges, rank_shares

if TYPE_CHECKING:
    import pandas as pd

Around = Literal["rubric", "uniform", "order"]
AROUND: tuple[Around, ...] = ("rubric", "uniform", "order")
# how close drawn weights keep to the rubric's: of 100 points, 10 then have a standard deviation of 3
CONCENTRATION = 100.0
DRAWS, SEED, LEVEL = 20_000, 1, 0.9
# as sure as a host would want before calling it settled
SOLID = 0.9
# what is told is rounded far above what processors differ by: 1e-15 in counts of draws, 1e-8 in drawn points
_PLACES, _POINTS_PLACES = 9, 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """One release's places over the draws.

    low, high
        the best and the worst place in 90 % of them
    shares
        of each place from the first, by share of draws
    first_for
        the central weights of the draws that put it first, in points of 100 by criterion; None where none did
    """

    release: str
    title: str
    place: str
    low: int
    high: int
    expected: float
    shares: tuple[float, ...]
    standard_error: float
    first_for: dict[str, float] | None
    confidence: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranges:
    """The ranges of every ranked release in order of place, and who beats whom.

    `wins[i][j]` is the share of draws in which row i is before row j.
    """

    around: Around
    with_spreads: bool
    draws: int
    seed: int
    rows: tuple[Range, ...]
    wins: npt.NDArray[np.float64]
    criteria: tuple[str, ...]

    def of(self, release: str) -> Range | None:
        """The range of a release, None where it has no place."""
        return next((row for row in self.rows if row.release == release), None)

    def win_share(self, first: str, second: str) -> float:
        """The share of draws in which one release is before another."""
        names = [row.release for row in self.rows]
        return float(self.wins[names.index(first), names.index(second)])

    def frame(self) -> pd.DataFrame:
        """The ranges as a data frame, one release a row, with a column for the share of each place."""
        import pandas as pd

        rows = [
            {
                "release": row.release,
                "title": row.title,
                "place": row.place,
                "low": row.low,
                "high": row.high,
                "expected": row.expected,
                **{f"place_{rank}": share for rank, share in enumerate(row.shares, start=1)},
            }
            for row in self.rows
        ]
        return pd.DataFrame(rows)

    @property
    def assumed(self) -> str:
        """What the draws assume, in words."""
        weights = {
            "rubric": "weights a few points around the rubric's",
            "uniform": "any weights at all",
            "order": "any weights in the rubric's order",
        }[self.around]
        return f"{weights}, scores {'within their spreads' if self.with_spreads else 'as they are'}"


def ranges(
    table: ScoreTable,
    *,
    around: Around = "rubric",
    spreads: bool = True,
    draws: int = DRAWS,
    seed: int = SEED,
    threads: int = 1,
    progress: Callable[[int], None] | None = None,
) -> Ranges:
    """Where each ranked release stands when weights and scores are drawn.

    What is unknown is drawn from 0 to 100; the weight of what does not apply is shared out.

    Parameters
    ----------
    around : weights around the rubric's, any at all, or any in the rubric's order
    spreads : whether scores are drawn within their spreads too

    Raises
    ------
    ValueError
        for no draws or a negative seed
    """
    here = table.only(table.ranked)
    if not here.rows:
        empty = np.empty((0, 0))
        return Ranges(
            around=around, with_spreads=spreads, draws=draws, seed=seed, rows=(), wins=empty, criteria=()
        )
    scores = np.array(
        [[np.nan if score is None else score for score in row.scores] for row in here.rows], dtype=float
    )
    drawn = rank_shares(
        scores,
        draws,
        seed,
        weights=None if around == "uniform" else list(table.points),
        concentration=CONCENTRATION if around == "rubric" else None,
        spreads=np.array([row.spreads for row in here.rows], dtype=float) if spreads else None,
        threads=threads,
        order=around == "order",
        applies=np.array([row.applies for row in here.rows]),
        wins=True,
        progress=progress,
    )
    low, high = rank_ranges(drawn.shares, LEVEL)
    places = here.shown_places()
    rows = [
        Range(
            release=row.release,
            title=row.title,
            place=places[row.release],
            low=int(low[i]),
            high=int(high[i]),
            expected=round(float(drawn.expected_rank[i]), _PLACES),
            shares=tuple(map(float, drawn.shares[i])),
            standard_error=round(float(drawn.standard_error[i].max()), _PLACES),
            first_for=_points(table, drawn.central_weights[i]),
            confidence=None if np.isnan(drawn.confidence[i]) else round(float(drawn.confidence[i]), _PLACES),
        )
        for i, row in enumerate(here.rows)
    ]
    if drawn.wins is None:
        raise ValueError("pairs were asked for and not counted")
    return Ranges(
        around=around,
        with_spreads=spreads,
        draws=draws,
        seed=seed,
        rows=tuple(rows),
        wins=drawn.wins,
        criteria=table.criteria,
    )


def _points(table: ScoreTable, weights: npt.NDArray[np.float64]) -> dict[str, float] | None:
    if np.isnan(weights).any():
        return None
    return {
        key: round(100 * float(one), _POINTS_PLACES) for key, one in zip(table.criteria, weights, strict=True)
    }


def who_would_put_first(table: ScoreTable, row: Range) -> str:
    """Whose weights put a release first, in words."""
    if row.first_for is None:
        return "In none of the draws is it first."
    total = sum(table.points)
    more = sorted(
        (
            (row.first_for[key] - 100 * points / total, key)
            for key, points in zip(table.criteria, table.points, strict=True)
        ),
        reverse=True,
    )
    care = [key for gain, key in more[:2] if gain >= 0.5 and gain >= more[0][0] / 2]
    share = row.shares[0]
    often = f"first in {percent_text(share)} of the draws"
    if not care:
        return f"It is {often}, for much the same weights as the rubric's."
    return f"It is {often}: for somebody who cares more for {text.listed(care)}."


def words(row: Range, of: int) -> str:
    """A place with its range: '6 of 18; 4 to 9 in nine cases of ten'."""
    place = f"{row.place} of {of}"
    if row.low == row.high:
        return f"{place}; just there in nine cases of ten"
    return f"{place}; {row.low} to {row.high} in nine cases of ten"


def basis(drawn: Ranges) -> str:
    """What ranges rest on, in a sentence."""
    most = max((row.standard_error for row in drawn.rows), default=0.0)
    return (
        f"Ranges hold in nine draws of ten: {drawn.assumed}; {drawn.draws:,} draws, seed {drawn.seed}, "
        f"standard error of a share at most {100 * most:.2f} points."
    )


def least_sure(drawn: Ranges) -> str:
    """Which place is least sure, and how often each of the two likeliest is first, in words."""
    if len(drawn.rows) < 2:
        return "With fewer than two places there is nothing to doubt."
    names = text.short_names({row.release: row.title for row in drawn.rows})
    widest = max(drawn.rows, key=lambda row: row.high - row.low)
    often, second = sorted(drawn.rows, key=lambda row: -row.shares[0])[:2]
    told = f"The place that is least sure is that of {names[widest.release]}: {widest.low} to {widest.high}."
    told += f" First is {names[often.release]} in {percent_text(often.shares[0])} of the draws"
    told += f", {names[second.release]} in {percent_text(second.shares[0])}." if second.shares[0] > 0 else "."
    if often.place not in {"1", "=1"}:
        told += " The release that leads by its grade is not the one that is first most often."
    return told


def percent_text(share: float) -> str:
    """A share of draws in words that claim no more than draws can tell: '85 %', 'under 1 %', 'over 99 %'."""
    if 0 < share < 0.01:
        return "under 1 %"
    if 0.99 < share < 1:
        return "over 99 %"
    return f"{tenths.percent(tenths.six_digits(share))} %"
