"""The slots of a break of a release in a season: what they hold, what others ask, and whom they suit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from rating.errors import refuse_if_any
from rating.facts.breaks.asked import with_asked
from rating.facts.breaks.compute import broken_down
from rating.facts.breaks.picks import picks
from rating.facts.breaks.value import Break
from rating.season import folder
from rating.season.settings import wishes

if TYPE_CHECKING:
    from rating.season.season import Season


def slots(
    season: Season, slug: str, *, packed: str, cases: int | None, boxes: int | None, by: Sequence[str]
) -> Break:
    """The break with the prices that are asked up to today, and a pick for each buyer of the rubric.

    Raises
    ------
    rating.errors.RatingError
        for a break that cannot be cut so, see `rating.facts.breaks.broken_down`, and for an unknown aim
    """
    refuse_if_any(wishes.problems(season.rubric, file=folder.RUBRIC_FILE))
    facts = season.facts(slug)
    found = broken_down(facts, packed=packed, cases=cases, boxes=boxes, by=by)
    asked = [one for one in season.release(slug).slots or () if one.day <= season.today]
    found = with_asked(found, asked, facts.season.team_names())
    return replace(found, picks=picks(found, [(one.aim, one.under) for one in season.rubric.picks]))
