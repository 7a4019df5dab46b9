"""The answer of `what-if`: what was tried, and every release before and after."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rating.answers import parts
from rating.answers.standings import standing
from rating.doubt.what_if import Outcome, WhatIf
from rating.standings import Standing


def what_if(
    change: WhatIf, *, season: str, before: Sequence[Standing], after: Sequence[Outcome]
) -> dict[str, Any]:
    """A change that was tried, with the standings before and after it."""
    return {
        "season": season,
        "tried": {
            "weights": {key: points / 10 for key, points in change.points.items()},
            "scores": {f"{release}.{key}": score for (release, key), score in change.scores.items()},
            "without": sorted(change.without),
            "rule": change.rule,
        },
        "before": [standing(one) for one in before],
        "after": [_after(one) for one in after],
    }


def _after(one: Outcome) -> dict[str, Any]:
    return {
        "release": one.release,
        "title": one.title,
        "rank": one.after,
        "tied": one.after_tied,
        "grade": parts.points(one.after_grade),
        "value": None if one.value is None else float(one.value),
        "movement": one.moved,
    }
