"""The answers of `standings` about doubt: ranges of places, a landing, what moved between two days."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from rating.answers import parts
from rating.doubt.landing import Landing, Margin, Move, paragraph, told_between
from rating.doubt.ranges import Range, Ranges


def ranges(found: Ranges, *, season: str, as_of: date) -> dict[str, Any]:
    """The range of each place, and how often each release is before each other one."""
    names = [row.release for row in found.rows]
    return {
        "season": season,
        "as_of": as_of.isoformat(),
        "around": found.around,
        "spreads": found.with_spreads,
        "draws": found.draws,
        "seed": found.seed,
        "at_once": found.at_once,
        "each_at_once": found.each_at_once,
        "ranges": [one_range(row) for row in found.rows],
        "wins": [
            {
                "release": name,
                "before": {other: float(found.wins[i, j]) for j, other in enumerate(names) if j != i},
            }
            for i, name in enumerate(names)
        ],
    }


def one_range(row: Range) -> dict[str, Any]:
    """One release's range."""
    return {
        "release": row.release,
        "low": row.low,
        "high": row.high,
        "low_at_once": row.low_at_once,
        "high_at_once": row.high_at_once,
        "kept": row.kept,
        "firm": row.is_firm,
        "expected": row.expected,
        "shares": list(row.shares),
        "standard_error": row.standard_error,
        "first_for": row.first_for,
        "confidence": row.confidence,
    }


def landing(found: Landing, *, season: str) -> dict[str, Any]:
    """What a release changed when it landed."""
    return {
        "season": season,
        "release": found.release,
        "day": found.day or None,
        "reviewed_on": found.reviewed_on,
        "rank": int(found.place.removeprefix("=")),
        "grade": parts.points(found.grade),
        "above": _beside(found.above),
        "below": _beside(found.below),
        "moves": [_move(row) for row in found.rows],
        "told": paragraph(found),
    }


def between(rows: Sequence[Move], *, season: str, start: date, end: date) -> dict[str, Any]:
    """What moved from one day to another."""
    first, last = start.isoformat(), end.isoformat()
    return {
        "season": season,
        "from": first,
        "to": last,
        "moves": [_move(row) for row in rows],
        "told": told_between(tuple(rows), first, last),
    }


def _move(row: Move) -> dict[str, Any]:
    return {
        "release": row.release,
        "rank_before": row.before,
        "rank": row.after,
        "movement": row.moved,
        "grade_before": parts.points(row.grade_before),
        "grade": parts.points(row.grade),
        "passed": row.passed,
        "win_share": row.win_share,
        "kept": row.kept,
        "firm": row.is_firm,
    }


def _beside(beside: Margin | None) -> dict[str, Any] | None:
    if beside is None:
        return None
    return {
        "release": beside.release,
        "gap": beside.gap / 10,
        "for_it": {key: float(size) for key, size in beside.for_it},
        "against": {key: float(size) for key, size in beside.against},
        "win_share": beside.win_share,
    }
