"""What a host would say about values: what they rest on, how sure they are, and the card worth most."""

from __future__ import annotations

import math
from decimal import Decimal

from rating import money, tenths, text
from rating.facts.facts import Facts
from rating.facts.values.value import Effect, LineValues, Values

# so many releases are named in a sentence
_NAMED = 3


def values(found: Values, facts: Facts) -> str:
    """The sentences of the section on values."""
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
    best = _best(found, facts)
    if best:
        words += f" {best}"
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


def _best(found: Values, facts: Facts) -> str:
    cards = [
        (value, basis, line, place)
        for line in found.lines
        for place, (value, basis) in enumerate(zip(line.values, line.basis, strict=True))
    ]
    if not cards:
        return ""
    value, basis, line, place = max(cards, key=lambda one: one[0])
    amount = money.show(Decimal(value))
    how = "by its own sales" if basis == "sold" else f"{basis}, so no sale of its own bears it out"
    return f"Worth most to a seller is {_name(line, place, facts)}, about {amount} ({how})."


def _name(values: LineValues, place: int, facts: Facts) -> str:
    line = next(one for one in facts.lines if (one.subset, one.parallel) == (values.subset, values.parallel))
    return f"{line.name} {line.cards[place].number}, {text.listed(line.cards[place].subjects)}"
