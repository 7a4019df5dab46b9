"""What a host would say of economics."""

from __future__ import annotations

from fractions import Fraction

from rating import money, tenths
from rating.facts.economics.value import Economics
from rating.facts.section import Kept


def told(economics: Economics, facts: Kept) -> str:
    """What a headline box, card and hit cost, against the maker's price, and what a case saves."""
    main = economics.main
    if main.box_price is None:
        return f"There is no price of a {main.name} box yet."
    price = f"{money.show(main.box_price)} {facts.rules.currency}"
    words = f"A {main.name} box goes for {price} ({main.price_kind} price)"
    if main.per_card is not None:
        words += f", that is {money.show(main.per_card)} a card"
    if main.per_hit is not None:
        words += f" and {money.show(main.per_hit)} a hit"
    if main.per_hit is not None and economics.is_by_odds:
        words += " by its odds, which contradict the maker's promises"
    if main.landed_box is not None and main.landed_box != main.box_price:
        words += f"; on your table it costs {money.show(main.landed_box)}"
    words += "."
    if main.street_price and main.list_price and main.street_price != main.list_price:
        ratio = Fraction(main.street_price) / Fraction(main.list_price)
        way = "above" if ratio > 1 else "below"
        apart = tenths.percent(abs(ratio - 1))
        words += f" That is {apart} % {way} the maker's price." if apart else " That is the maker's price."
    if main.case_discount is not None and main.case_discount > 0:
        words += f" A box in a case is {tenths.percent(main.case_discount)} % cheaper."
    return words
