"""What a host would say about values: what they rest on, how sure they are, and the card worth most."""

from __future__ import annotations

import math

from rating import money, tenths, text
from rating.facts.section import Kept
from rating.facts.values.value import Dearest, Effect, Values

# so many releases are named in a sentence
_NAMED = 3


def told(found: Values, _: Kept) -> str:
    """What they rest on, how sure they are, what a week does to them, and the card worth most."""
    words = f"{_basis(found)} {_shares(found)}"
    if found.never_sold:
        kinds = text.listed(found.never_sold)
        words += f" No sale says what {kinds} cards go for, so these count as bulk."
    if found.coverage is not None:
        words += (
            f" Of the sales held out, {tenths.percent(found.coverage)} in 100 went for a price inside "
            "the interval that should hold 90."
        )
    week = next((one for one in found.effects if one.name == "week"), None)
    if week is not None and _is_told(week):
        factor = math.exp(week.value)
        way = "falls" if factor < 1 else "rises"
        words += f" A price {way} by {tenths.percent(abs(tenths.six_digits(factor) - 1))} % a week."
    if found.dearest is not None:
        words += f" {_dearest(found.dearest)}"
    if found.wild:
        words += (
            f" {text.count(found.wild, 'sale lies', 'sales lie')} wildly off, which the model hardly heeds."
        )
    return words


def aside(found: Values) -> str:
    """How many sales were set aside and why, blank where none was."""
    reasons = [f"{number} {why}" for why, number in found.set_aside.items()]
    if not reasons:
        return ""
    return f"{text.count(sum(found.set_aside.values()), 'sale')} set aside: {text.listed(reasons)}."


def _basis(found: Values) -> str:
    if found.carried_from or found.carried_over:
        few = text.count(found.sales, "usable sale") if found.sales else "no usable sales"
        return f"With {few}, prices are carried over from {_donors(found)}, and may be far off."
    words = f"This rests on {text.count(found.sales, 'sale')}"
    if found.presales:
        words += f", {found.presales} of them from before the release and counted half"
    return words + "."


def _donors(found: Values) -> str:
    named = text.listed(found.carried_from[:_NAMED])
    more = len(found.carried_from) - _NAMED
    if more > 0:
        named = f"{', '.join(found.carried_from[:_NAMED])} and {text.count(more, 'other release')}"
    return named or "other releases"


def _shares(found: Values) -> str:
    parts = (
        (found.sold_share, "is sold prices"),
        (found.modelled_share, "modelled"),
        (found.carried_over, "carried over"),
        (found.bulk_share, "bulk"),
    )
    told = [f"{tenths.share(share)} {what}" for share, what in parts if share]
    return (
        f"Of the value of all copies, {text.listed(told)}." if told else "How many copies exist is not known."
    )


def _is_told(effect: Effect) -> bool:
    """Whether an effect is larger than chance explains, at two standard errors."""
    return abs(effect.value) > 2 * effect.error


def _dearest(card: Dearest) -> str:
    how = "by its own sales" if card.basis == "sold" else f"{card.basis}, so no sale of its own bears it out"
    return f"Worth most to a seller is {card.name}, about {money.show(card.value)} ({how})."
