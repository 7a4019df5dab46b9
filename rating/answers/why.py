"""The answer of `why`: the difference of two grades by criterion, its reasons, and what would turn it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rating.answers import parts
from rating.answers.stability import swap
from rating.doubt.why import Why


def why(found: Why, *, season: str, reasons: Mapping[str, Mapping[str, str]]) -> dict[str, Any]:
    """The parts of a difference, the largest first; they sum to it to the tenth.

    Parameters
    ----------
    reasons : by release and criterion
    """
    return {
        "season": season,
        "first": found.first,
        "second": found.second,
        "grades": [parts.points(grade) for grade in found.grades],
        "difference": parts.points(found.difference),
        "parts": [
            {
                "criterion": part.criterion,
                "points": parts.points(part.points),
                "scores": [part.first, part.second],
                "brings": parts.points(part.brings),
                "reasons": [reasons[one].get(part.criterion) for one in (found.first, found.second)],
            }
            for part in found.parts
        ],
        "turn": None if found.turn is None else swap(found.turn),
    }
