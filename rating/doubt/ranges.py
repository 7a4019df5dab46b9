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
from rating.core.exact import HIGHEST, LOWEST
from rating.doubt.levels import FIRM, percent_text
from rating.doubt.score_table import ScoreTable
from rating.sensitivity.grades import LEVEL
from rating.sensitivity.ranges import rank_ranges, rank_shares

if TYPE_CHECKING:
    import pandas as pd

Around = Literal["rubric", "uniform", "order"]
AROUND: tuple[Around, ...] = ("rubric", "uniform", "order")
# how close drawn weights keep to the rubric's: of 100 points, 10 then have a standard deviation of 3
CONCENTRATION = 100.0
DRAWS, SEED = 20_000, 1
# what is told is rounded far above what processors differ by: 1e-15 in counts of draws, 1e-8 in drawn points
_PLACES, _POINTS_PLACES = 9, 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """One release's places over the draws.

    low, high
        the best and the worst place in 90 % of them
    low_at_once, high_at_once
        the same so that the ranges of all releases hold together in 90 % of them
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
    low_at_once: int
    high_at_once: int
    expected: float
    shares: tuple[float, ...]
    standard_error: float
    first_for: dict[str, float] | None
    confidence: float | None

    @property
    def rank(self) -> int:
        """The published place as a number, shared or not."""
        return int(self.place.removeprefix("="))

    @property
    def kept(self) -> float:
        """The share of draws that give it the published place."""
        return self.shares[self.rank - 1]

    @property
    def is_firm(self) -> bool:
        """Whether the published place is kept in nine of ten draws."""
        return self.kept >= FIRM


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranges:
    """The ranges of every ranked release in order of place, and who beats whom.

    `wins[i][j]` is the share of draws in which row i is before row j. Of fresh draws, `at_once` is the share
    in which the ranges at once hold for all releases together, `each_at_once` that in which all single ones
    do; 1 where there are none.
    """

    around: Around
    with_spreads: bool
    draws: int
    seed: int
    rows: tuple[Range, ...]
    wins: npt.NDArray[np.float64]
    at_once: float
    each_at_once: float
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
                "rank": row.rank,
                "low": row.low,
                "high": row.high,
                "low_at_once": row.low_at_once,
                "high_at_once": row.high_at_once,
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
            "rubric": "with points a little to either side of the rubric's",
            "uniform": "with any points at all",
            "order": "with any points that keep the rubric's order",
        }[self.around]
        scores = (
            "each score varied as far as it is in doubt" if self.with_spreads else "the scores as they are"
        )
        return f"{weights}, and {scores}"


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
        return Ranges(
            around=around,
            with_spreads=spreads,
            draws=draws,
            seed=seed,
            rows=(),
            wins=np.empty((0, 0)),
            at_once=1.0,
            each_at_once=1.0,
            criteria=(),
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
        within=(LOWEST, HIGHEST),
        at_once=LEVEL,
        progress=progress,
    )
    if drawn.wins is None or drawn.at_once is None:
        raise ValueError("pairs and ranges at once were asked for and not counted")
    low, high = rank_ranges(drawn.shares, LEVEL)
    places = here.shown_places()
    rows = [
        Range(
            release=row.release,
            title=row.title,
            place=places[row.release],
            low=int(low[i]),
            high=int(high[i]),
            low_at_once=int(drawn.at_once.low[i]),
            high_at_once=int(drawn.at_once.high[i]),
            expected=round(float(drawn.expected_rank[i]), _PLACES),
            shares=tuple(map(float, drawn.shares[i])),
            standard_error=round(float(drawn.standard_error[i].max()), _PLACES),
            first_for=_points(table, drawn.central_weights[i]),
            confidence=None if np.isnan(drawn.confidence[i]) else round(float(drawn.confidence[i]), _PLACES),
        )
        for i, row in enumerate(here.rows)
    ]
    return Ranges(
        around=around,
        with_spreads=spreads,
        draws=draws,
        seed=seed,
        rows=tuple(rows),
        wins=drawn.wins,
        at_once=drawn.at_once.share,
        each_at_once=drawn.at_once.share_of_single,
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
        return "It comes first in none of the simulations."
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
    often = f"It comes first in {percent_text(share)} of simulations"
    if not care:
        return f"{often}, with much the same points as in the rubric."
    return f"{often}, mostly where {text.listed(care)} {'counts' if len(care) == 1 else 'count'} for more."


def words(row: Range, of: int) -> str:
    """A place with its range: '6th of 18; 4th to 9th in at least nine of ten simulations'."""
    shared = "tied for " if row.place.startswith("=") else ""
    return (
        f"{shared}{text.ordinal(row.rank)} of {of}; {between(row.low, row.high)} in at least nine of ten "
        "simulations"
    )


def between(low: int, high: int) -> str:
    """A range of places in words: '2nd to 4th', '2nd or 3rd', '3rd'."""
    if low == high:
        return text.ordinal(low)
    return f"{text.ordinal(low)} {'or' if high == low + 1 else 'to'} {text.ordinal(high)}"


def together(drawn: Ranges) -> str:
    """How often the ranges of all places hold together, each by itself and those made to, in a sentence."""
    return (
        f"Each range holds in at least nine of ten simulations on its own; all of them hold together in "
        f"{tenths.percent(tenths.six_digits(drawn.each_at_once))} %. The wider ranges under 'at once' hold "
        f"together in {percent_text(drawn.at_once)}."
    )


def basis(drawn: Ranges) -> str:
    """What ranges rest on, in a sentence."""
    most = max((row.standard_error for row in drawn.rows), default=0.0)
    return (
        f"{drawn.draws:,} simulations, {drawn.assumed} (seed {drawn.seed}; the standard error of a share is "
        f"at most {100 * most:.2f} %)."
    )


def least_sure(drawn: Ranges) -> str:
    """Which place is least sure, and how often each of the two likeliest is first, in words."""
    if len(drawn.rows) < 2:
        return "With fewer than two places there is nothing to doubt."
    names = text.short_names({row.release: row.title for row in drawn.rows})
    widest = max(drawn.rows, key=lambda row: row.high - row.low)
    often, second = sorted(drawn.rows, key=lambda row: -row.shares[0])[:2]
    told = f"{names[widest.release]} has the least sure place: {between(widest.low, widest.high)}."
    told += f" {names[often.release]} is first in {percent_text(often.shares[0])} of simulations"
    told += f", {names[second.release]} in {percent_text(second.shares[0])}." if second.shares[0] > 0 else "."
    if often.place not in {"1", "=1"}:
        told += " The release with the highest grade is not the one that comes first most often."
    return told
