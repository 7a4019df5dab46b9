"""All that is known of a release, a section each, and what of it a review keeps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from rating import text
from rating.facts.advice.value import Advice
from rating.facts.chances.value import Chances
from rating.facts.completing.value import Completing
from rating.facts.content.value import Content
from rating.facts.context import Demand, SeasonContext
from rating.facts.earlier.value import Earlier
from rating.facts.economics.value import Economics
from rating.facts.falling.collation import Collation
from rating.facts.falling.lines import Line
from rating.facts.history.value import History
from rating.facts.opening.value import Opening
from rating.facts.people.value import People
from rating.facts.plain import NOT_ASKED, Unknown, as_text_values
from rating.facts.returns.value import Returns
from rating.facts.scarcity.value import Scarcity
from rating.facts.values.value import Values
from rating.release.checklist import Card, Odds, Parallel


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """All that is known of a release, one section each; a section that cannot be computed says why.

    `cards`, `parallels` and `odds` are the tables themselves, for modules that count for themselves; `lines`
    are the subsets by version, and `collations` how the cards of each format fall.
    """

    release: str
    title: str
    maker: str
    line: str
    released_on: date | None
    headline: str
    season: SeasonContext
    economics: Economics | Unknown
    content: Content | Unknown
    people: People | Unknown
    history: History
    cards: tuple[Card, ...] | None
    parallels: tuple[Parallel, ...] | None
    odds: tuple[Odds, ...] | None
    lines: tuple[Line, ...] = ()
    collations: Mapping[str, Collation] = field(default_factory=dict)
    scarcity: Scarcity | Unknown = NOT_ASKED
    chances: Chances | Unknown = NOT_ASKED
    completing: Completing | Unknown = NOT_ASKED
    opening: Opening | Unknown = NOT_ASKED
    earlier: Earlier | Unknown = NOT_ASKED
    values: Values | Unknown = NOT_ASKED
    returns: Returns | Unknown = NOT_ASKED
    advice: Advice | Unknown = NOT_ASKED


SECTIONS = (
    "economics",
    "content",
    "people",
    "scarcity",
    "chances",
    "completing",
    "opening",
    "values",
    "returns",
    "advice",
    "history",
    "earlier",
)


def stored(facts: Facts) -> dict[str, Any]:
    """The facts that a review keeps: every section and the demand, without the tables they come from."""
    kept = {name: as_text_values(getattr(facts, name)) for name in SECTIONS}
    season = facts.season
    kept["demand"] = _kept_demand(season.demand)
    if season.has_own_sales:
        kept["demand_elsewhere"] = _kept_demand(season.demand_elsewhere)
    for name in ("release", "title", "maker", "line", "released_on", "headline"):
        kept[name] = as_text_values(getattr(facts, name))
    kept["format"] = 1
    return kept


def _kept_demand(demand: Mapping[str, Demand] | None) -> Any:
    return None if demand is None else as_text_values(tuple(demand.values()))


def demand_of(kept: list[dict[str, str]] | None) -> dict[str, Demand] | None:
    """The demand that a review kept, see `stored`."""
    if kept is None:
        return None
    found = [Demand(**one | {"demand": Decimal(one["demand"])}) for one in kept]  # type: ignore[arg-type]  # its only number
    return {text.key(one.subject): one for one in found}
