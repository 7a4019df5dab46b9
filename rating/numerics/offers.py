"""Ways to spend money that compete, the best of them, and the price at which the choice turns."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

# no article is followed to a price above this, in cents
_MOST = 10**11


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One way to spend money.

    buy
        what it is, in a word: box, case, slot, singles, complete set, wait
    of, format
        the article whose price it goes by, such as a box of a format; blank where it goes by none
    price
        what the article goes for; None where nobody offers it
    cost
        from a price of the article to what is compared, of which less is better
    boxes, then
        how many boxes are bought, where that was chosen, and what after them
    what
        the way in words
    """

    buy: str
    cost: Callable[[Decimal], Fraction]
    of: str = ""
    format: str = ""
    price: Decimal | None = None
    boxes: int | None = None
    then: str = ""
    what: str = ""

    @property
    def article(self) -> tuple[str, str]:
        """What its price is of."""
        return self.of, self.format

    @property
    def now(self) -> Fraction | None:
        """Its cost at the price of today; None where it has none."""
        if self.of and self.price is None:
            return None
        return self.cost(self.price or Decimal(0))


def best(offers: Iterable[Offer]) -> Offer | None:
    """The offer of least cost, of equal ones the first; None where nothing is offered."""
    found = [(cost, place, one) for place, one in enumerate(offers) if (cost := one.now) is not None]
    return min(found, key=lambda each: each[:2])[2] if found else None


def turning_price(offers: Sequence[Offer], chosen: Offer, article: tuple[str, str]) -> Decimal | None:
    """The price of an article below which the choice is for it, in cents; all other prices as they are.

    Of the chosen offer's own article: up to below this price the same offer stays the best. Of another
    article: below this price some offer of that article is the best. None where that holds at no price.

    Notes
    -----
    Costs rise with their article's price, so what the price decides turns once; it is found by bisection.
    """
    others = [one for one in offers if one.article != article]
    own = [one for one in offers if one.article == article]
    rivals = best(others)
    limit = rivals.now if rivals is not None else None
    # of equal costs the first is taken
    first = {id(one): place for place, one in enumerate(offers)}

    def is_taken(price_in_cents: int) -> bool:
        price = Decimal(price_in_cents) / 100
        cost, place = min((each.cost(price), first[id(each)]) for each in own)
        if rivals is not None and limit is not None and (limit, first[id(rivals)]) < (cost, place):
            return False
        return offers[place] is chosen or chosen.article != article

    start = 0
    if chosen.article == article and chosen.price is not None:
        start = int(chosen.price * 100)
    if not own or not is_taken(start):
        return None
    step = 1
    while is_taken(start + step):
        step *= 2
        if start + step > _MOST:
            return None
    low, high = start + step // 2, start + step
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if is_taken(middle) else (low, middle)
    return (Decimal(high) / 100).quantize(Decimal("0.01"))
