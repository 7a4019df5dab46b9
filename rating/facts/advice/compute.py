"""The section on advice: for each aim of a buyer box, case, slot, singles, complete set or wait.

What is paid is landed: with shipping once an order, duty and tax; a slot is an order of its own. What cards
bring is what a seller keeps; what a card costs as a single is said in `facts/completing/singles.py`. The
rules, all of them common practice without a source, one for each aim:

set builder
    the least expected cost of a complete base set, over all formats, by the same reckoning as the section on
    completing: singles, some boxes and then singles, a case and then singles, boxes until it is complete, or
    a complete set; other cards of a box count nothing
rookie hunter, autograph buyer
    a box or case where such cards cost less than as many typical ones, as a box brings them, cost as singles,
    after the box's other cards are credited with what they are expected to return; else singles
break buyer
    a slot, a box or a case, whichever is expected to return more of what is paid, if it is all of it; else
    wait
casual opener
    the box or case that is expected to return most of what is paid, if it is fair as entertainment; else wait
singles buyer
    wait while most sales are from before the release, prices are another release's, or they fall week by week
    by more than chance explains; else singles

Fair as entertainment is a box of which the season's share (`entertainment` in season.toml) of what it costs
landed is expected to come back: the fun of opening is paid for, and the median box hardly ever returns its
price. A list price of a case does not compete with a street price of a box.
"""

from __future__ import annotations

import math
import statistics
from datetime import timedelta

from rating import tenths, text
from rating.facts import completing, content, economics, people, returns
from rating.facts.advice.best_slot import BEST_SLOT
from rating.facts.advice.cards import AUTOGRAPH_BUYER, ROOKIE_HUNTER, hunter
from rating.facts.advice.known import SINGLES, WAIT, Known, entry
from rating.facts.advice.openings import break_buyer, casual_opener, sensible
from rating.facts.advice.sets import set_builder
from rating.facts.advice.value import NOT_KNOWN, Advice, AimAdvice
from rating.facts.completing.singles import price_of_common
from rating.facts.plain import Unknown
from rating.facts.said import usable_sales
from rating.facts.section import Source
from rating.facts.values.valuation import VALUATION

SINGLES_BUYER = "singles buyer"
# this long after a release its sales count as settled
SETTLED = timedelta(days=60)


def advice(facts: Source) -> Advice | Unknown:
    """The section: an entry for each aim, and the sensible price of a headline box."""
    costs = facts.of(economics.SECTION)
    if isinstance(costs, Unknown):
        return costs
    known = Known(
        economics=costs,
        content=facts.of(content.SECTION),
        people=facts.of(people.SECTION),
        completing=facts.of(completing.SECTION),
        worth=facts.of(VALUATION),
        common=price_of_common(facts.files.sales, facts.lines, facts.rules, as_of=facts.as_of),
        returns=facts.of(returns.SECTION),
        lines=facts.lines,
        collations=facts.collations,
        season=facts.rules,
        released_on=facts.released_on,
        last_sale=max((one.day for one in facts.files.sales or () if one.day <= facts.as_of), default=None),
        asked=facts.of(BEST_SLOT),
    )
    return Advice(
        aims=(
            set_builder(known),
            hunter(known, ROOKIE_HUNTER),
            hunter(known, AUTOGRAPH_BUYER),
            break_buyer(known),
            casual_opener(known),
            _singles_buyer(known),
        ),
        price=sensible(known),
    )


def _singles_buyer(known: Known) -> AimAdvice:
    worth = known.worth
    if isinstance(worth, Unknown):
        return entry(SINGLES_BUYER, NOT_KNOWN, worth.why)
    values = worth.values
    alone = [
        value
        for line in worth.lines
        for value, basis in zip(line.worth, line.basis, strict=True)
        if basis != "bulk"
    ]
    if not alone:
        return entry(SINGLES_BUYER, SINGLES, "every card is bulk, and costs little more than its postage")
    middle = known.told(known.single(tenths.six_digits(statistics.median(alone))))
    price = f"Of the {len(alone):,} cards worth buying as singles, half cost {middle} or less with postage"
    if values.carried_over:
        words = f"{usable_sales(values.sales)}, so prices are borrowed from other releases"
        return entry(
            SINGLES_BUYER, WAIT, f"{words}: wait until {'more' if values.sales else 'some'} sales come in"
        )
    if 2 * values.presales > values.sales:
        until = f" on {known.released_on.isoformat()}" if known.released_on else ""
        early = "all" if values.presales == values.sales else f"{values.presales} of"
        words = f"{early} {text.count(values.sales, 'sale')} so far are from before the release{until}"
        return entry(SINGLES_BUYER, WAIT, f"{words}: wait until most sales are from after it. {price}")
    week = next((one for one in values.effects if one.name == "week"), None)
    if week is not None and week.value + 2 * week.error < 0:
        factor = tenths.six_digits(math.exp(week.value))
        words = f"{_up_to(known)}prices were falling {tenths.fixed(100 * (1 - factor), 1)} % a week"
        return entry(SINGLES_BUYER, WAIT, f"{words}: wait {_until(known)}. {price}")
    return entry(SINGLES_BUYER, SINGLES, f"{_up_to(known)}prices were not falling. {price}")


def _up_to(known: Known) -> str:
    return f"in sales up to {known.last_sale.isoformat()}, " if known.last_sale else ""


def _until(known: Known) -> str:
    """Until sales are settled, or, where those on file go further, until newer ones show no fall."""
    if known.released_on is not None:
        settled = known.released_on + SETTLED
        if known.last_sale is None or known.last_sale < settled:
            return f"until {settled.isoformat()}, {SETTLED.days} days after the release, and look again"
    return "until newer sales show that the fall has stopped"
