"""The answer of `stability`: how far points can go, the smallest changes, other rules, what it hangs on."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from rating.answers import parts
from rating.answers.doubt import one_range
from rating.doubt.drivers import Driver
from rating.doubt.ranges import Ranges
from rating.doubt.spans import CriterionSpans
from rating.doubt.stability import Stability
from rating.doubt.swaps import Swap


def stability(
    found: Stability,
    *,
    season: str,
    wanted: Sequence[tuple[Swap, int | None]],
    ranges: Ranges | None,
    drivers: Sequence[Driver],
) -> dict[str, Any]:
    """How firm a place is, or the whole order.

    Parameters
    ----------
    wanted : the smallest changes that were asked for, each with the place that it is to give
    ranges : where places were drawn
    drivers : what the place hangs on, where that was asked for
    """
    answer: dict[str, Any] = {
        "season": season,
        "release": found.release,
        "place": found.place,
        "rank": int(found.place.removeprefix("=")),
        "of": found.of,
        "told": found.told,
        "kept": found.kept,
        "intervals": [_interval(hold) for hold in found.spans],
        "swaps": [swap(one) for one in found.swaps],
        "wanted": [swap(one) for one, _ in wanted],
        "without": [
            {"what": one.what, "rank": one.place, "leaders": list(one.leaders)} for one in found.left_out
        ],
        "rules": {rule: one.place for rule, one in found.rules.items()},
        "agreement": {rule: one.tau for rule, one in found.rules.items()},
    }
    lifts = [{"place": place} | _moved(one) for one, place in wanted if place is not None]
    if lifts:
        answer["lift"] = lifts[0]
    if ranges is not None:
        answer["ranges"] = [one_range(row) for row in ranges.rows]
    if drivers:
        answer["drivers"] = [dataclasses.asdict(one) for one in drivers]
    return answer


def _interval(hold: CriterionSpans) -> dict[str, Any]:
    return {
        "criterion": hold.criterion,
        "points": hold.points / 10,
        "low": float(hold.order.low) / 10,
        "high": _bound(hold.order.high),
        "leader_low": float(hold.leader.low) / 10,
        "leader_high": _bound(hold.leader.high),
        "place_low": float(hold.place.low) / 10,
        "place_high": _bound(hold.place.high),
    }


def _bound(size: Fraction | None) -> float | None:
    """Points from exact tenths, None where nothing bounds them."""
    return None if size is None else float(size) / 10


def swap(found: Swap) -> dict[str, Any]:
    """A change of points that puts one release above another."""
    level = None if found.level is None else found.level / 10
    ends = {"up": found.up or None, "down": found.down}
    return ends | _moved(found) | {"level": level, "reason": found.reason or None}


def _moved(found: Swap) -> dict[str, Any]:
    """What is moved, and how sure it is that nothing less does it."""
    return {
        "moves": {key: change / 10 for key, change in found.moves.items()},
        "total": parts.points(found.total),
        "proved": found.proved,
        "at_least": parts.points(found.at_least),
    }
