"""The frozen values of the section on values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from rating.facts.worth.value import LineWorth, SubjectEffect

if TYPE_CHECKING:
    from rating.facts.worth.level import Level  # which loads scipy
    from rating.numerics.robust_fit import Floats

# what the value of a card can rest on
SOLD, MODELLED, CARRIED_OVER, BULK = "sold", "modelled", "carried over", "bulk"


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What something does to the logarithm of a price, and the standard error; e to the value is a factor."""

    name: str
    value: Decimal
    error: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Dearest:
    """The card that is worth most to a seller, in half-up cents; `basis` as in `LineWorth`."""

    name: str
    value: Decimal
    basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Values:
    """What the cards are worth to a seller, net of what selling costs, as of a day.

    sales
        those that could be used; `presales` of them are from before the release and weigh half
    set_aside
        how many sales could not be used, by reason
    wild
        sales so far off what is expected of the card that they weigh little
    sold_share, modelled_share, carried_over, bulk_share
        of the value of all copies that are known of; they sum to 1, or are all 0 where no copies are known
    least
        the price that many sales share and none is below: a card may be worth less than it; None without one
    coverage
        how many of the held-out sales lie in their 90 % intervals, as a share; None where nothing is modelled
    effects
        of week (each since the release), rookie, demand (exponent of 1 + demand, where the season knows it),
    carried_from
        the titles of the releases that prices are carried over from, none where they are not; `carried_on` is
        the day as of which they are
    never_sold
        kinds of which no sale speaks, so that they count as bulk
    level_error
        the standard error of the logarithm of what all cards are worth together: e to 1.645 times this is how
        many times too high or too low they may be as a whole, nine times in ten
    dearest
        the card that is worth most; None where there is none
    below_sold
        by what share cards of anybody are taken to go for less than those that sold, where sales are too few
        to tell people apart: who is wanted sells more often
    as_of
        the day as of which cards are worth so much, that of the last sale
    """

    sales: int
    presales: int
    set_aside: Mapping[str, int]
    wild: int
    sold_share: Decimal
    modelled_share: Decimal
    carried_over: Decimal
    bulk_share: Decimal
    least: Decimal | None
    coverage: Decimal | None
    effects: tuple[Effect, ...]
    carried_from: tuple[str, ...] = ()
    carried_on: date | None = None
    never_sold: tuple[str, ...] = ()
    level_error: Decimal = Decimal(0)
    dearest: Dearest | None = None
    below_sold: Decimal = Decimal(0)
    as_of: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What each of m cards is expected to go for when it is sold, before anything that selling costs.

    kinds
        (m,) blank where no sale speaks of its kind
    middle, spread
        (m,) the middle of the logarithm of the price, and its standard error, that of the level included
    errors
        by how many standard errors sales lie off, as evenly spaced quantiles
    least
        no sale goes for less; 0 where none is known
    """

    kinds: tuple[str, ...]
    middle: Floats
    spread: Floats
    errors: Floats
    least: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Valuation:
    """The section with what it sums up, for whoever computes with single cards.

    subjects
        what each subject that was sold does to a price; none where prices are carried over
    lines
        what the cards of each of the release's lines are worth, in their order
    asked
        what each is expected to go for, one line after the other
    level
        how sure a sum of them is
    """

    values: Values
    subjects: tuple[SubjectEffect, ...]
    lines: tuple[LineWorth, ...]
    asked: Asked | None = field(default=None, compare=False, repr=False)
    level: Level | None = field(default=None, compare=False, repr=False)
