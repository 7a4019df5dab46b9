"""How a host runs a break: who gets which card, what is charged, and how slots are put into tiers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import NamedTuple

RANDOMISED, HOST = "randomised", "host"
FIRST_NAMED, TEAM_SHOWN, TEAM_NOW, TEAM_NAMED = "first named", "team shown", "team now", "team named"
SHIPPED, NOT_SHIPPED = "shipped", "not shipped"
TWO_TEAMS = (RANDOMISED, FIRST_NAMED, TEAM_SHOWN)
NO_TEAM = (RANDOMISED, HOST)
TRADED = (TEAM_SHOWN, TEAM_NOW)
REDEMPTIONS = (TEAM_NAMED, HOST)
BASE = (SHIPPED, NOT_SHIPPED)

# what a copy counts while no price is known, before demand: common practice, no source
CONTENT_POINTS: Mapping[str, Decimal] = {
    "base": Decimal(1),
    "insert": Decimal(2),
    "relic": Decimal(5),
    "autograph": Decimal(15),
    "autograph relic": Decimal(20),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseRules:
    """Who gets a card that more than one slot, or none, has a claim to.

    two_teams
        randomised among the owners of its teams, the team first named, or the team shown on the card, for
        which the checklist's first stands
    no_team
        randomised among all slots, or kept by the host
    traded
        the team shown on the card, or the one that `now_with` names, by subjects as compared
    redemptions
        the team that the checklist names, or kept by the host
    base
        whether cards of the base set are shipped; else they are nobody's
    """

    two_teams: str = RANDOMISED
    no_team: str = RANDOMISED
    traded: str = TEAM_SHOWN
    redemptions: str = TEAM_NAMED
    base: str = SHIPPED
    now_with: Mapping[str, str] = field(default_factory=dict)


class TierMove(NamedTuple):
    """A slot that the host puts into another tier than the breaks in the values do, and why."""

    release: str
    slot: str
    tier: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotRules:
    """How slots are priced and put into tiers.

    margin
        what the host adds to the landed cost of the cases, as a share
    tiers
        their names, the best first; their number is how many tiers there are
    pairs
        teams that are sold together; without them the strongest goes with the weakest
    divisions
        the teams of each division, by its name
    content
        what a copy of each kind counts while no price is known
    """

    margin: Decimal = Decimal(0)
    tiers: tuple[str, ...] = ("first", "second", "third", "fourth")
    pairs: tuple[tuple[str, ...], ...] = ()
    divisions: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    content: Mapping[str, Decimal] = field(default_factory=lambda: CONTENT_POINTS)
    moves: tuple[TierMove, ...] = ()
