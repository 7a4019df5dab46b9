"""What the facts of a release need to know of its season, and of other releases."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from rating import text
from rating.facts.house import HouseRules, SlotRules
from rating.release.release import Release


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceClass:
    """A band of headline box prices, up to but not including `below`; typical amounts are declared."""

    name: str
    below: Decimal | None
    typical_box: Decimal | None = None
    typical_card: Decimal | None = None
    typical_hit: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rookie:
    """A member of the season's rookie class, from a day on."""

    subject: str
    team: str
    since: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Buying:
    """What is added to a price until the box is on the table: shares 0 to 1, shipping per order.

    `entertainment` is the share of that which has to come back on average for opening to be fair as
    entertainment: a choice of the season's, not a price at which anybody breaks even.
    """

    tax: Decimal = Decimal(0)
    shipping: Decimal = Decimal(0)
    duty: Decimal = Decimal(0)
    entertainment: Decimal = Decimal("0.5")


@dataclass(frozen=True, slots=True, kw_only=True)
class Selling:
    """What selling a card costs: fee as a share of price and postage, a fixed charge, postage, bulk floor."""

    fee: Decimal = Decimal(0)
    fixed: Decimal = Decimal(0)
    postage: Decimal = Decimal(0)
    bulk_floor: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """How much collectors want a subject, 0 to 100.

    `basis` says where it comes from: sales, nudge (the host's own word) or both; `why` says it in words.
    """

    subject: str
    demand: Decimal
    basis: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonContext:
    """What the facts of a release need to know of its season.

    rookies
        None where there is no rookies.csv
    aliases
        every spelling of every team, as compared, to the compared form of its name
    demand
        how much subjects are wanted, by their names as compared; None where nobody knows
    demand_elsewhere
        the same without the release's own sales, where these are among what `demand` rests on
        (`has_own_sales`): a model of its prices has seen them already
    frozen_class
        the price class that the release was launched in, which no band changes; blank before
    """

    name: str
    currency: str
    teams: tuple[str, ...]
    rookies: tuple[Rookie, ...] | None
    classes: tuple[PriceClass, ...]
    buying: Buying
    aliases: Mapping[str, str]
    selling: Selling = Selling()
    demand: Mapping[str, Demand] | None = None
    demand_elsewhere: Mapping[str, Demand] | None = None
    has_own_sales: bool = False
    frozen_class: str = ""
    house: HouseRules = field(default_factory=HouseRules)
    slots: SlotRules = field(default_factory=SlotRules)

    @property
    def demand_of_others(self) -> Mapping[str, Demand] | None:
        """The demand that rests on other releases and the host, not on the release's own sales."""
        return self.demand_elsewhere if self.has_own_sales else self.demand

    @property
    def is_demand_its_own(self) -> bool:
        """Whether nothing but the release's own sales says who is wanted: whoever was sold in it is in it."""
        return self.has_own_sales and not self.demand_of_others

    def team_names(self) -> dict[str, str]:
        """Every spelling of every team, as compared, to its name as the season writes it."""
        shown = {text.key(team): team for team in self.teams}
        return {spelling: shown[name] for spelling, name in self.aliases.items() if name in shown} | shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """The edition before a release: its files, and its own season without who was wanted there."""

    release: Release
    season: SeasonContext


class Donor(NamedTuple):
    """What a card of an earlier or similar release went for.

    `subjects` are names as compared, `demand` is how much each was wanted in its own season by what others
    sold for (none where nobody knows), `week` counts from that release's date, a presale is from before it.
    `box` is what a headline box of that release goes for; `same_line` marks an earlier edition.
    """

    kind: str
    copies: Decimal | int | None
    price: Decimal
    rookie: bool = False
    subjects: tuple[str, ...] = ()
    week: float = 0.0
    presale: bool = False
    release: str = ""
    demand: tuple[Decimal | None, ...] = ()
    box: Decimal | None = None
    same_line: bool = False
