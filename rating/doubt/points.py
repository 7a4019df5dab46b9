"""What other points would do: places under them, and the points that recorded scores alone would give."""

from __future__ import annotations

from collections.abc import Mapping

from rating import tenths
from rating.doubt import what_if
from rating.doubt.score_table import ScoreTable
from rating.doubt.what_if import Outcome, WhatIf

FROM_SCORES = ("entropy", "deviation", "critic")


def under(table: ScoreTable, points: Mapping[str, int]) -> ScoreTable:
    """The same scores under the points (tenths) of a whole rubric; what it does not have counts nothing."""
    return table.with_points(_all(table, points))


def moves(table: ScoreTable, points: Mapping[str, int]) -> tuple[Outcome, ...]:
    """Every release before and after, see `what_if.try_out`."""
    return what_if.try_out(table, WhatIf(points=_all(table, points)))


def from_scores(table: ScoreTable) -> dict[str, dict[str, int]]:
    """The points (tenths, 100.0 in all) that recorded scores alone give, by `FROM_SCORES` and criterion.

    For comparison only: they say where the releases differ, not what matters. A score that is unknown or does
    not apply stands at the release's own mean. Nothing where under two releases have a place.
    """
    from rating.core import weights  # numpy is loaded where weights are asked for

    ranked = table.only(table.ranked)
    if len(ranked.rows) < 2:
        return {}
    scores = ranked.filled()
    by_method = (
        weights.entropy(scores),
        weights.standard_deviation(scores),
        weights.critic(scores, ["high"] * len(table.criteria)),
    )
    return {
        name: dict(zip(table.criteria, tenths.shared_out(shares.tolist()), strict=True))
        for name, shares in zip(FROM_SCORES, by_method, strict=True)
    }


def _all(table: ScoreTable, points: Mapping[str, int]) -> dict[str, int]:
    return {key: points.get(key, 0) for key in table.criteria}
