"""The answers of `tonight` and `ledger due`: what is left to do, release by release."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rating.answers import parts
from rating.season.due import LedgerDue
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


def ledger_due(found: LedgerDue, *, season: str) -> dict[str, Any]:
    """What of the ledger is due, by why it is."""
    kinds = ("outrun", "stages", "provisional", "not_reviewed")
    listed = {kind: [_due(one) for one in getattr(found, kind)] for kind in kinds}
    return {"season": season, "as_of": found.day.isoformat(), **listed}


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
