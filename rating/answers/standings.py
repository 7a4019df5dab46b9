"""The answer of `standings`: every release with its place, what is to come, and whether price decides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from rating.answers import parts
from rating.season.beside import Beside
from rating.standings import Audit, Restated, Standing


def standings(
    rows: Sequence[Standing],
    *,
    season: str,
    as_of: date,
    rubric: str,
    to_come: Sequence[tuple[str, date | None]],
    beside: Mapping[str, Beside],
) -> dict[str, Any]:
    """A ranking.

    Parameters
    ----------
    season : its name
    rubric : the hash of the rubric it has now
    to_come : releases without a review, each with its day
    beside : what stands beside the grade of each
    """
    return {
        "season": season,
        "as_of": as_of.isoformat(),
        "rubric": rubric,
        "standings": [standing(one) | parts.beside(beside[one.release]) for one in rows],
        "to_come": [{"release": slug, "date": parts.day(day)} for slug, day in to_come],
    }


def standing(one: Standing) -> dict[str, Any]:
    """One release's place."""
    return {
        "release": one.release,
        "title": one.title,
        "rank": one.rank,
        "class_rank": one.class_rank,
        "class": one.price_class or None,
        "tied": one.tied,
        "grade": parts.points(one.grade),
        "lowest": parts.points(one.lowest),
        "highest": parts.points(one.highest),
        "verdict": one.verdict or None,
        "stage": one.stage,
        "partial": one.partial,
        "ranked_apart": one.ranked_apart,
        "movement": one.movement,
        "published_on": one.published_on,
        "rubric": one.rubric,
        "review": one.review,
    }


def restated(rows: Sequence[Restated], *, season: str, as_of: date, rubric: str) -> dict[str, Any]:
    """The ranking as it was published, and by the rubric of today; `rubric` is the hash of that one."""
    return {
        "season": season,
        "as_of": as_of.isoformat(),
        "rubric": rubric,
        "restated": [
            {
                "release": one.published.release,
                "title": one.published.title,
                "rubric": one.published.rubric,
                "published": _place(one.published),
                "restated": _place(one.restated),
            }
            for one in rows
        ],
        "places_that_differ": sum(one.differs for one in rows),
    }


def _place(one: Standing) -> dict[str, Any]:
    return {
        "rank": one.rank,
        "tied": one.tied,
        "grade": parts.points(one.grade),
        "verdict": one.verdict or None,
    }


def audit(found: Audit) -> dict[str, Any]:
    """How far each criterion, and the grade, go with the price and with each other."""
    return {
        "releases": found.releases,
        "with_price": {key: _rho(rho) for key, rho in found.with_price.items()},
        "between": [
            {"first": first, "second": second, "rho": _rho(rho)}
            for (first, second), rho in found.between.items()
        ],
        "alike": [
            {"first": first, "second": second, "rho": float(rho)} for first, second, rho in found.alike
        ],
    }


def _rho(rho: Decimal | None) -> float | None:
    return None if rho is None else float(rho)
