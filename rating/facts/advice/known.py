"""What all advice goes by, the words for what to buy, and how an entry is made of what was chosen."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from rating import money
from rating.facts.advice.value import AimAdvice
from rating.facts.completing.singles import Common, single_price, single_prices
from rating.facts.completing.value import Completing
from rating.facts.content.value import Content
from rating.facts.context import Buying, SeasonContext
from rating.facts.economics.compute import landed_exactly
from rating.facts.economics.value import Economics, FormatEconomics
from rating.facts.falling.collation import Collation
from rating.facts.falling.lines import CardLine
from rating.facts.people.value import People
from rating.facts.plain import Unknown
from rating.facts.returns.value import Returns
from rating.facts.values.value import Valuation
from rating.numerics.offers import Offer, turning_price

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

BOX, CASE, SLOT, SINGLES, COMPLETE_SET = "box", "case", "slot", "singles", "complete set"
WAIT = "wait"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The best slot of a break of one case of the headline format: what its cards bring, and its price.

    It is an order of its own, so shipping, duty and tax come on top as they do for a box.
    """

    slot: str
    worth: Decimal
    asked: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """All that advice goes by.

    worth
        what each card is worth
    common
        what a base card costs as a single, which no other card goes below
    last_sale
        the day of the last sale that this rests on, None where there is none
    asked
        the best slot of a break, None where no slots are known
    """

    economics: Economics
    content: Content | Unknown
    people: People | Unknown
    completing: Completing | Unknown
    worth: Valuation | Unknown
    common: Common | Unknown
    returns: Returns | Unknown
    lines: Sequence[CardLine]
    collations: Mapping[str, Collation]
    season: SeasonContext
    released_on: date | None
    last_sale: date | None
    asked: Asked | None

    @property
    def buying(self) -> Buying:
        """What is added to a price."""
        return self.season.buying

    def single(self, value: Decimal | float) -> Decimal:
        """What a card of some value costs posted as a single."""
        found = single_price(value, self.season.selling)
        return found if isinstance(self.common, Unknown) else max(found, self.common.single)

    def singles(self, values: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        """As `single`, of (m,) values."""
        found = single_prices(values, self.season.selling)
        return found if isinstance(self.common, Unknown) else found.clip(min=float(self.common.single))

    def told(self, amount: Decimal | Fraction) -> str:
        """An amount with its currency, as it is said."""
        return money.told(amount, self.season.currency)

    def formats(self) -> list[tuple[str, FormatEconomics]]:
        """Every format, the headline first."""
        headline = self.economics.headline
        return sorted(self.economics.formats.items(), key=lambda one: one[0] != headline)

    def landed(self, price: Decimal | Fraction) -> str:
        """What an order costs on the table, as people read it."""
        return self.told(landed_exactly(price, self.buying))


def entry(aim: str, buy: str, why: str) -> AimAdvice:
    """An entry that no price belongs to."""
    return AimAdvice(aim=aim, buy=buy, format="", of="", boxes=None, price=None, below=None, why=said(why))


def said(words: str) -> str:
    """As a sentence: a capital letter first, a full stop last."""
    return f"{words[:1].upper()}{words[1:].removesuffix('.')}."


def fixed(amount: Fraction, _: Decimal) -> Fraction:
    """The cost of an offer that goes by no price."""
    return amount


def decided(
    aim: str, offers: Sequence[Offer], chosen: Offer, why: Callable[[Offer], str], kinds: Sequence[str]
) -> AimAdvice:
    """An entry for what was chosen, with the price at which it turns.

    Of an offer with an article that is the price of its own; else that of the article which is nearest to
    being chosen, of the first of the kinds that has one; else there is none.

    Parameters
    ----------
    why : the evidence, in words, about the offer whose price is told
    """
    told, below = chosen, None
    if chosen.of:
        below = turning_price(offers, chosen, chosen.article)
    else:
        told, below = _nearest(offers, chosen, kinds)
    return AimAdvice(
        aim=aim,
        buy=chosen.buy,
        format=told.format,
        of=told.of,
        boxes=chosen.boxes,
        then=chosen.then,
        price=None if told.price is None else money.cents(told.price),
        below=below,
        why=said(why(told)),
    )


def _nearest(offers: Sequence[Offer], chosen: Offer, kinds: Sequence[str]) -> tuple[Offer, Decimal | None]:
    """The article whose price has to fall by the least share until it is chosen, and that price.

    Where no price would do it is the first article, and no price.
    """
    fallback: Offer | None = None
    for kind in kinds:
        articles = {one.article: one for one in reversed(offers) if one.of == kind}
        found = []
        for one in reversed(articles.values()):
            fallback = fallback or one
            below = turning_price(offers, chosen, one.article)
            if below is not None:
                kept = Fraction(below) / Fraction(one.price) if one.price else Fraction(0)
                found.append((kept, one, below))
        if found:
            _, near, below = max(found, key=lambda each: each[0])
            return near, below
    return fallback or chosen, None
