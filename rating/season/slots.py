"""The slots of a break of a release in a season: what they hold, what others ask, and whom they suit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from rating.errors import refuse_if_any
from rating.facts.breaks.asked import with_asked
from rating.facts.breaks.compute import broken_down
from rating.facts.breaks.picks import picks
from rating.facts.breaks.value import Break
from rating.facts.facts import Facts
from rating.release.market import SlotPrice
from rating.rubric.rubric import Rubric
from rating.season import folder
from rating.season.settings import wishes


def slots(
    facts: Facts,
    rubric: Rubric,
    asked: Sequence[SlotPrice],
    *,
    day: date,
    packed: str,
    cases: int | None,
    boxes: int | None,
    by: Sequence[str],
) -> Break:
    """A break with the prices that were asked up to a day, and a pick for each buyer of the rubric.

    Raises
    ------
    rating.errors.RatingError
        for a break that cannot be cut so, see `rating.facts.breaks.compute.broken_down`, and for an unknown
        aim
    """
    refuse_if_any(wishes.problems(rubric, file=folder.RUBRIC_FILE))
    cut = broken_down(facts, packed=packed, cases=cases, boxes=boxes, by=by)
    asked_by_then = [price for price in asked if price.day <= day]
    priced = with_asked(cut, asked_by_then, facts.season)
    return replace(priced, picks=picks(priced, [(pick.aim, pick.under) for pick in rubric.picks]))
