"""The frozen values of the section on people."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from rating.facts.context import Demand
from rating.facts.plain import NOT_ASKED, Unknown

# from this demand on a subject counts as wanted: one deviation above the mean where sales say it
WANTED_FROM = Decimal(84)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A subject that collectors want, and what the release holds of it.

    cards
        those that name it, each once, whatever its parallels; `signatures` of them are signed
    per_box, p_box
        copies to expect in a box of the headline format, parallels among them, and the chance of at least
        one; None where nothing says how often any of its cards falls
    at_least
        that more of them may fall, of which nothing says how often
    """

    subject: str
    team: str
    demand: Decimal
    basis: str
    why: str
    cards: int
    signatures: int
    relics: int
    rookie: bool
    subsets: tuple[str, ...]
    per_box: Decimal | None
    p_box: Decimal | None
    at_least: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class People:
    """Who is in it: the season's teams, the rookie class as of the release date, and those who are wanted.

    rookies_only_signing
        those of whom every card is signed; `rookies_only_base` have base cards and no others
    wanted
        subjects with a demand of `wanted_from` or more and a card, most wanted first
    wanted_missing
        those of the same demand without one
    signer_demand
        mean demand of those who sign, card by card; who has no demand of their own counts as typical, 50
    """

    teams_served: tuple[str, ...]
    teams_missing: tuple[str, ...]
    rookie_class: int | None
    rookies_carded: tuple[str, ...]
    rookies_in_base: tuple[str, ...]
    rookies_signing: tuple[str, ...]
    rookies_missing: tuple[str, ...]
    rookies_only_signing: tuple[str, ...] = ()
    rookies_only_base: tuple[str, ...] = ()
    wanted: tuple[Wanted, ...] | Unknown = NOT_ASKED
    wanted_missing: tuple[Demand, ...] = ()
    wanted_from: Decimal = WANTED_FROM
    signer_demand: Decimal | None = None
