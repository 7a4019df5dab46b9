"""What a host would say of economics."""

from __future__ import annotations

from fractions import Fraction

from rating import money, tenths, text
from rating.facts.economics.value import Economics
from rating.facts.section import Kept


def told(economics: Economics, facts: Kept) -> str:
    """What a headline box, card and hit cost, against the maker's price, and what a case saves."""
    main = economics.main
    if main.box_price is None:
        return f"There is no price of a {main.name} box yet."
    currency = facts.rules.currency
    words = f"A {main.name} box goes for {money.told(main.box_price, currency)} ({main.price_kind} price)"
    each = [
        f"{money.told(amount, currency)} a {what}"
        for amount, what in ((main.per_card, "card"), (main.per_hit, "hit"))
        if amount is not None
    ]
    if each:
        words += f", that is {text.listed(each)}"
    if main.per_hit is not None and economics.is_by_odds:
        words += " by its odds, which contradict the maker's promises"
    if main.landed_box is not None and main.landed_box != main.box_price:
        words += f"; with tax and shipping it costs {money.told(main.landed_box, currency)}"
    words += "."
    if main.street_price and main.list_price and main.street_price != main.list_price:
        ratio = Fraction(main.street_price) / Fraction(main.list_price)
        way = "above" if ratio > 1 else "below"
        apart = tenths.percent(abs(ratio - 1))
        words += f" That is {apart} % {way} the maker's price." if apart else " That is the maker's price."
    if main.case_discount is not None and main.case_discount > 0 and main.case_price is not None:
        words += (
            f" At the {main.case_kind} price of a case, {money.told(main.case_price, currency)}, a box is "
            f"{tenths.percent(main.case_discount)} % cheaper than at the {main.case_kind} price of one."
        )
    return words
