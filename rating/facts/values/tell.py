"""What a host would say about values: what they rest on, how sure they are, and the card worth most."""

from __future__ import annotations

import math

from rating import money, tenths, text
from rating.facts import said
from rating.facts.section import Kept
from rating.facts.values.value import Dearest, Effect, Values

_MONTH = 4
# so many releases are named in a sentence
_NAMED = 3


def lead(found: Values, facts: Kept) -> str:
    """What they rest on, and the card worth most."""
    if found.dearest is None:
        return _basis(found)
    sales = text.count(found.sales, "sale")
    basis = "other releases' prices" if found.carried_from else sales
    return f"Top card, from {basis}: {_card(found.dearest, facts.rules.currency)}."


def told(found: Values, facts: Kept) -> str:
    """What they rest on, how sure they are, what a week does to them, and the card worth most."""
    words = f"{_basis(found)} {_shares(found)}"
    if found.never_sold:
        kinds = text.listed(found.never_sold)
        words += f" No sale shows what {kinds} cards go for, so they count as bulk."
    if found.coverage is not None:
        words += (
            " As a test, some sales were held back and their prices forecast: "
            f"{tenths.percent(found.coverage)} % fell inside the likely range, which should catch 90 %."
        )
    if found.below_sold:
        words += (
            " Popular players' cards sell more often, but there are too few sales to tell who is popular: "
            "cards without a sale, likely of less popular players, are priced "
            f"{tenths.percent(found.below_sold)} % lower than those with one."
        )
    week = next((one for one in found.effects if one.name == "week"), None)
    if week is not None and _is_told(week):
        factor = math.exp(week.value)
        way = "falling" if factor < 1 else "rising"
        words += f" Prices have been {way} by {tenths.percent(abs(tenths.six_digits(factor) - 1))} % a week."
    words += _as_of(found, week)
    if found.dearest is not None:
        words += f" {_dearest(found.dearest, facts.rules.currency)} ({_how(found.dearest)})."
    if found.wild:
        outliers = text.count(found.wild, "sale is an outlier and is", "sales are outliers and are")
        words += f" {outliers} given little weight."
    return words


def _as_of(found: Values, week: Effect | None) -> str:
    """The day of the values, and what it means for a later one; blank where it was not kept."""
    if found.as_of is None:
        return ""
    words = f" Values are as of {found.as_of}"
    if week is None or not _is_told(week) or found.carried_from:
        return f"{words}."
    moved = tenths.six_digits(math.exp(float(week.value) * _MONTH))
    way = "take off" if moved < 1 else "add"
    share = tenths.percent(abs(moved - 1))
    return f"{words}; at this rate, {way} {share} % for every four weeks since."


def aside(found: Values) -> str:
    """How many sales were set aside and why, blank where none was."""
    reasons = [f"{number} {why}" for why, number in found.set_aside.items()]
    if not reasons:
        return ""
    sales = text.count(sum(found.set_aside.values()), "sale was", "sales were")
    if len(reasons) == 1:
        return f"{sales} set aside ({next(iter(found.set_aside))})."
    return f"{sales} set aside: {text.listed(reasons)}."


def _basis(found: Values) -> str:
    if found.carried_from or found.carried_over:
        few = said.sentence(said.usable_sales(found.sales))
        return f"{few}. Prices are borrowed from {_donors(found)}, and may be far off."
    words = f"Prices rest on {text.count(found.sales, 'sale')}"
    if found.presales and found.presales == found.sales:
        words += ", all from before the release"
    elif found.presales:
        words += (
            f"; {found.presales} from before the release {'counts' if found.presales == 1 else 'count'} half"
        )
    return words + "."


def _donors(found: Values) -> str:
    named = text.listed(found.carried_from[:_NAMED])
    more = len(found.carried_from) - _NAMED
    if more > 0:
        named = f"{', '.join(found.carried_from[:_NAMED])} and {text.count(more, 'other release')}"
    return named or "other releases"


def _shares(found: Values) -> str:
    parts = (
        (found.sold_share, said.SOLD),
        (found.modelled_share, said.MODELLED),
        (found.carried_over, said.BORROWED),
        (found.bulk_share, said.BULK),
    )
    return said.worth_of_all(parts) or "How many copies of each card exist is not known."


def _is_told(effect: Effect) -> bool:
    """Whether an effect is larger than chance explains, at two standard errors."""
    return abs(effect.value) > 2 * effect.error


def _dearest(card: Dearest, currency: str) -> str:
    return f"The top card is {card.name}: it brings a seller about {money.told(card.value, currency)}"


def _card(card: Dearest, currency: str) -> str:
    return f"{card.name}, at about {money.told(card.value, currency)}"


def _how(card: Dearest) -> str:
    if card.basis == "sold":
        return "by its own sales"
    basis = "borrowed from other releases" if card.basis == "carried over" else "estimated"
    return f"{basis}; no sale of it is on file"
