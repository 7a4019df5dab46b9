"""The other fair ways of combining scores, to ask whether a place hangs on the rule. None is published."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from rating import tenths
from rating.core.rank import competition_ranks
from rating.doubt.score_table import ScoreTable

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

RULES = ("mean", "geometric", "topsis", "promethee", "distance")
# a lead of so many points in one criterion is a full one; less counts in proportion
FULL_LEAD = 50.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RulePlace:
    """A release's place under another rule, and Kendall's tau-b of that rule's places with the published."""

    place: int
    tau: float | None


def results_by(table: ScoreTable, rule: str) -> list[Decimal]:
    """What a rule makes of each row, best highest, to six digits so that ties are ties.

    The weighted mean and the geometric mean are points; TOPSIS is a closeness from 0 to 1, PROMETHEE a net
    flow from -1 to 1. The distance is 1 less the distance on declared bounds: on scales of 0 to 100 it
    orders as the mean does, and stands here to show just that.

    Raises
    ------
    ValueError
        for a rule that is none of `RULES`
    """
    from rating.core import combine

    if rule not in RULES:
        raise ValueError(f"a rule is one of {', '.join(RULES)}, got {rule!r}")
    if not table.rows:
        return []
    if rule == "mean":
        return [tenths.six_digits(table.unrounded(row) or 0) for row in table.rows]
    weights = [float(one) for one in table.points]
    if rule == "geometric":
        return [tenths.six_digits(float(one)) for one in _geometric(table, weights)]
    scores = table.filled()
    if rule == "topsis":
        results = combine.topsis(scores, weights)
    elif rule == "promethee":
        results = combine.promethee(scores, weights, "linear", FULL_LEAD)
    else:
        bounds = [(0.0, 100.0)] * len(table.criteria)
        results = 1 - combine.declared_distance(scores, weights, bounds, ["high"] * len(table.criteria))
    return [tenths.six_digits(float(one)) for one in results]


def _geometric(table: ScoreTable, weights: Sequence[float]) -> npt.NDArray[np.float64]:
    """The geometric mean of what is known; 0 where nothing that weighs is.

    A gap is left out with its weight. Filled with the arithmetic mean it would stand above the geometric one,
    and so favour whatever is not known.
    """
    import numpy as np

    from rating.core import combine

    return np.nan_to_num(combine.weighted_geometric_mean(table.with_gaps(), weights), nan=0.0)


def places_by(table: ScoreTable, rule: str) -> dict[str, int]:
    """The competition rank of each ranked release under a rule; under the mean by published tenths."""
    if rule == "mean":
        return table.places()
    ranked = table.only(table.ranked)
    return dict(
        zip(
            (row.release for row in ranked.rows),
            competition_ranks(results_by(ranked, rule), best="high"),
            strict=True,
        )
    )


def under_rules(table: ScoreTable, release: str) -> dict[str, RulePlace]:
    """A release's place under each rule, with how far that rule agrees on all places."""
    from rating.core.agreement import kendall_tau  # numpy is loaded where other rules are asked for

    published = table.places()
    by_rule = {}
    for rule in RULES:
        places = places_by(table, rule)
        tau = (
            kendall_tau([published[name] for name in places], list(places.values()))
            if len(places) > 1
            else None
        )
        by_rule[rule] = RulePlace(place=places[release], tau=tau)
    return by_rule
