"""The frozen values of the section on advice."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from rating.facts.plain import Unknown

# what to buy where nothing says it
NOT_KNOWN, NOTHING = "not known", "nothing"


@dataclass(frozen=True, slots=True, kw_only=True)
class AimAdvice:
    """What a buyer with an aim should do.

    buy
        box, case, slot, singles, complete set, wait, nothing (there is none of it), or not known
    format
        the format that serves the aim best, blank where none does
    of, price, below
        below an amount `of` it (a box, a case, a slot; before shipping, duty and tax) is what to buy, from
        there up it is not; and what it goes for now. None where not known, or where no price would do
    boxes, then
        how many of them, where that is part of the advice, and what is bought after them: singles, or blank
    why
        the evidence in words, with its numbers
    """

    aim: str
    buy: str
    format: str
    of: str
    boxes: int | None
    price: Decimal | None
    below: Decimal | None
    why: str
    then: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceAdvice:
    """The price of a headline box, before shipping, duty and tax, below which it is sensible; in words too.

    `below` is None where no price is low enough.
    """

    format: str
    price: Decimal | None
    below: Decimal | None
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What to buy, aim by aim, and the price that goes with the verdict."""

    aims: tuple[AimAdvice, ...]
    price: PriceAdvice | Unknown
