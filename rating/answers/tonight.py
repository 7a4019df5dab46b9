"""The answer of `tonight`: what is left to do, release by release."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rating.answers import parts
from rating.season.tonight import Due, Need, Tonight


def tonight(found: Tonight, *, season: str) -> dict[str, Any]:
    """What is left to do; `settle` is the command, or the hand, that settles it."""
    return {
        "season": season,
        "as_of": found.day.isoformat(),
        "needs": _needs(found.season),
        "due": [_due(one) for one in found.due],
        "outrun": [_due(one) for one in found.outrun],
        "later": [{"release": slug, "date": day.isoformat()} for slug, day in found.later],
    }


def _due(one: Due) -> dict[str, Any]:
    return {
        "release": one.release,
        "title": one.title,
        "date": parts.day(one.day),
        "why": one.why,
        "needs": _needs(one.needs),
    }


def _needs(needs: Sequence[Need]) -> list[dict[str, str]]:
    return [{"what": one.what, "settle": one.settle} for one in needs]
