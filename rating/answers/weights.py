"""The answers of `weights`: points beside those proposed, what they move, places by kinds of buyers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from rating.answers import parts
from rating.doubt.what_if import Outcome
from rating.rubric.choosing import ComparedSet, Proposal
from rating.rubric.rubric import Rubric
from rating.season.settings.config import Profile
from rating.standings import Standing


def weights(
    rubric: Rubric,
    *,
    season: str,
    proposal: Proposal | None,
    beside: Mapping[str, Mapping[str, int]],
    moved: Sequence[Outcome] | None,
    written: bool,
) -> dict[str, Any]:
    """The rubric's points.

    Parameters
    ----------
    beside : other points (tenths) by name and criterion
    moved : what the proposal moves, None where nothing is recorded or proposed
    written : whether the proposal stands in rubric.toml now
    """
    return {
        "season": season,
        "rubric": rubric.hash,
        "method": rubric.method or None,
        "on": parts.day(rubric.chosen_on),
        "proposed_method": proposal.method if proposal else None,
        "points": [
            {
                "criterion": one.key,
                "group": one.group,
                "points": one.points / 10,
                "proposed": proposal.points[one.key] / 10 if proposal else None,
                **{name: parts.points(column.get(one.key)) for name, column in beside.items()},
            }
            for one in rubric.criteria
        ],
        "consistency": [_consistency(one) for one in proposal.compared] if proposal else [],
        "moves": [_move(one) for one in moved] if moved is not None else None,
        "written": written,
    }


def _consistency(one: ComparedSet) -> dict[str, Any]:
    found = one.pairwise
    return {
        "within": one.within or None,
        "names": list(one.names),
        "weights": found.weights.tolist(),
        "lambda_max": found.lambda_max,
        "consistency_index": found.consistency_index,
        "consistency_ratio": found.consistency_ratio,
        "table": found.table,
        "inconsistent": found.is_inconsistent,
        "worst_triple": list(one.triple) if one.triple else None,
        "missing": found.missing,
    }


def _move(one: Outcome) -> dict[str, Any]:
    return {
        "release": one.release,
        "title": one.title,
        "rank_before": one.before,
        "rank": one.after,
        "tied": one.after_tied,
        "grade_before": parts.points(one.before_grade),
        "grade": parts.points(one.after_grade),
        "movement": one.moved,
    }


def profiles(
    wanted: Sequence[Profile],
    *,
    season: str,
    as_of: date,
    points: Mapping[str, Mapping[str, int]],
    published: Sequence[Standing],
    places: Mapping[str, Mapping[str, int]],
) -> dict[str, Any]:
    """The place of each release for each kind of buyer.

    Parameters
    ----------
    points : every criterion's (tenths) by profile
    places : of the releases by profile
    """
    return {
        "season": season,
        "as_of": as_of.isoformat(),
        "profiles": [
            {
                "profile": one.name,
                "why": one.why,
                "points": {key: number / 10 for key, number in points[one.name].items()},
            }
            for one in wanted
        ],
        "places": [
            {
                "release": one.release,
                "title": one.title,
                "rank": one.rank,
                "profiles": {name: ranks.get(one.release) for name, ranks in places.items()},
            }
            for one in published
        ],
    }
