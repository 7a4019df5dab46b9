"""What a host would say of economics."""

from __future__ import annotations

from fractions import Fraction

from rating import money, tenths, text
from rating.facts import said
from rating.facts.economics.value import Economics
from rating.facts.section import Kept


def lead(economics: Economics, facts: Kept) -> str:
    """What a headline box costs, and what that is a card and a hit."""
    main, currency = economics.main, facts.rules.currency
    if main.box_price is None:
        return f"There is no price for {said.a(main.name)} box yet."
    words = f"{said.sentence(said.a(main.name))} box {said.goes(main.price_kind)} "
    words += money.told(main.box_price, currency)
    each = [
        f"{money.told(amount, currency)} a {what}"
        for amount, what in ((main.per_card, "card"), (main.per_hit, "hit"))
        if amount is not None
    ]
    if each:
        words += f": {text.listed(each)}"
    return f"{words}."


def told(economics: Economics, facts: Kept) -> str:
    """The lead, then what is added, the price against the maker's, and what a case saves."""
    main, words = economics.main, lead(economics, facts)
    if main.box_price is None:
        return words
    if main.landed_box is not None and main.landed_box != main.box_price:
        words += f" With tax and shipping it costs {money.told(main.landed_box, facts.rules.currency)}."
    if main.per_hit is not None and economics.is_by_odds:
        words += " Hits are counted by the odds, which contradict the maker's promises."
    if main.street_price and main.list_price and main.street_price != main.list_price:
        ratio = Fraction(main.street_price) / Fraction(main.list_price)
        apart = tenths.percent(abs(ratio - 1))
        how = f"{apart} % {'above' if ratio > 1 else 'below'}" if apart else "right at"
        words += f" The going price is {how} the maker's price."
    if main.case_discount is not None and main.case_discount > 0 and main.case_price is not None:
        price = "the maker's price" if main.case_kind == "list" else f"the {main.case_kind} price"
        words += (
            f" A case {said.goes(main.case_kind)} {money.told(main.case_price, facts.rules.currency)}, "
            f"{tenths.percent(main.case_discount)} % less than its boxes cost one by one at "
            f"{price}."
        )
    return words
