"""The current reviews as one table of scores: what sensitivity, what-if and landing work on, exactly.

A row knows which criteria apply to it and which scores are known; points are those of one rubric, so that all
rows can be weighed alike. Grades are the published rule in whole tenths.
"""

from __future__ import annotations

import dataclasses
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from rating.core import exact
from rating.core.rank import competition_ranks, tied
from rating.ledger.ledger import ScoreEntry
from rating.rubric.rubric import points_of
from rating.standings import Standing

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt


RESTATED = (
    "Some of these reviews were graded by another rubric than most; here all are weighed alike, so "
    "a grade may differ from the published one."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ScoreRow:
    """One release: its scores (None where unknown or where the criterion does not apply) and their spreads.

    `published` is the recorded grade in tenths; `restated` says that it was recorded under another rubric
    than the table's, so that the table's own grade may differ from it.
    """

    release: str
    title: str
    released_on: str
    price_class: str
    stage: str
    published: int | None
    restated: bool
    scores: tuple[int | None, ...]
    applies: tuple[bool, ...]
    spreads: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScoreTable:
    """m rows and n criteria with their groups and points in tenths."""

    criteria: tuple[str, ...]
    groups: tuple[str, ...]
    points: tuple[int, ...]
    rows: tuple[ScoreRow, ...]

    def grade(self, row: ScoreRow) -> int | None:
        """The grade of a row in whole tenths, by the published rule."""
        return exact.grade_tenths(row.scores, self.points)

    def unrounded(self, row: ScoreRow) -> Fraction | None:
        """The grade of a row before it is rounded, in points."""
        total, weight = self.sums(row)
        return Fraction(total, weight) if weight else None

    def sums(self, row: ScoreRow) -> tuple[int, int]:
        """Weight times score, and weight, over what counts."""
        known = [
            (score, weight)
            for score, weight in zip(row.scores, self.points, strict=True)
            if score is not None
        ]
        return sum(score * weight for score, weight in known), sum(weight for _, weight in known)

    def is_apart(self, row: ScoreRow) -> bool:
        """Whether too much of what applies is unknown for a place."""
        return not exact.has_place(row.scores, row.applies, self.points)

    @property
    def ranked(self) -> tuple[ScoreRow, ...]:
        """The rows that have a place."""
        return tuple(row for row in self.rows if not self.is_apart(row))

    @property
    def restated(self) -> str:
        """What is said where a row was recorded under another rubric than the table's, '' where none was."""
        return RESTATED if any(row.restated for row in self.rows) else ""

    def places(self) -> dict[str, int]:
        """The competition rank of each ranked release on its grade in tenths."""
        ranked = self.ranked
        ranks = competition_ranks([grade for row in ranked if (grade := self.grade(row)) is not None])
        return {row.release: rank for row, rank in zip(ranked, ranks, strict=True)}

    def shown_places(self) -> dict[str, str]:
        """The places as they are shown, '=4' where one is shared."""
        places = self.places()
        shared = tied(tuple(places.values()))
        return {
            release: f"={rank}" if is_shared else str(rank)
            for (release, rank), is_shared in zip(places.items(), shared, strict=True)
        }

    def row(self, release: str) -> ScoreRow | None:
        """The row of a release, None where it has none."""
        return next((row for row in self.rows if row.release == release), None)

    def ranked_row(self, release: str) -> ScoreRow:
        """The row of a release that has a place; ValueError where it has none."""
        row = self.row(release)
        if row is None or self.is_apart(row):
            raise ValueError(f"{release} has no place")
        return row

    def with_points(self, points: Mapping[str, int]) -> ScoreTable:
        """The same scores under other points, in tenths, of some of the criteria."""
        new = tuple(points.get(key, old) for key, old in zip(self.criteria, self.points, strict=True))
        return dataclasses.replace(self, points=new)

    def only(self, rows: Sequence[ScoreRow]) -> ScoreTable:
        """The same criteria and points with these rows alone."""
        return dataclasses.replace(self, rows=tuple(rows))

    def with_gaps(self) -> npt.NDArray[np.float64]:
        """The scores as an array of shape (m, n), NaN where unknown or where a criterion does not apply."""
        import numpy as np

        return np.array(
            [[np.nan if score is None else score for score in row.scores] for row in self.rows], dtype=float
        ).reshape(len(self.rows), len(self.criteria))

    def filled(self) -> npt.NDArray[np.float64]:
        """The scores as an array of shape (m, n), for rules that know no gaps.

        What does not count stands at the release's own mean: under the weighted mean that is the same as
        sharing its weight out over the rest, and it favours nobody under another rule.
        """
        import numpy as np

        scores = self.with_gaps()
        own = [float(self.unrounded(row) or 0) for row in self.rows]
        return np.where(np.isnan(scores), np.array(own)[:, None], scores)


def table_of(
    rows: Sequence[Standing],
    scores: Mapping[int, Sequence[ScoreEntry]],
    rubric_texts: Mapping[str, str],
) -> ScoreTable:
    """The table of some standings with their recorded scores.

    All are weighed by the rubric that most of them were graded by, of equally many the one used last.
    """
    used = Counter(row.rubric for row in rows)
    newest = {row.rubric: row.seq for row in sorted(rows, key=lambda row: row.seq)}
    rubric = max(used, key=lambda name: (used[name], newest[name]), default="")
    counted = points_of(rubric_texts[rubric]) if rubric else {}
    criteria = tuple(counted)
    score_rows = []
    for standing in rows:
        given = {scored.criterion: scored for scored in scores[standing.seq]}
        score_rows.append(
            ScoreRow(
                release=standing.release,
                title=standing.title,
                released_on=standing.released_on,
                price_class=standing.price_class,
                stage=standing.stage,
                published=standing.grade,
                restated=standing.rubric != rubric,
                scores=tuple(given[key].score if key in given else None for key in criteria),
                applies=tuple(key in given for key in criteria),
                spreads=tuple(given[key].spread if key in given else 0 for key in criteria),
            )
        )
    return ScoreTable(
        criteria=criteria,
        groups=tuple(group for group, _ in counted.values()),
        points=tuple(points for _, points in counted.values()),
        rows=tuple(score_rows),
    )
