"""What a host would say of returns, and of prices that were carried over at launch."""

from __future__ import annotations

import math
from datetime import date
from decimal import Decimal
from fractions import Fraction

from rating import money, tenths, text
from rating.facts import economics, said, values
from rating.facts.plain import Unknown
from rating.facts.returns.value import NOTICED_SHARE, FormatReturns, Payout, Returns
from rating.facts.section import Kept

# so many lines of commons are named in a sentence
_NAMED = 3


def lead(returns: Returns, facts: Kept) -> str:
    """What a headline box returns, and how many return their price."""
    one, currency = returns.formats.get(facts.headline), facts.rules.currency
    if not isinstance(one, FormatReturns):
        return f"Not known: {one.why if one else 'the headline format is not described'}."
    box = one.box
    opening = "Going by other releases' prices, a" if carried_from(facts) else "A"
    words = f"{opening} {one.name} box is expected to return {money.told(box.mean, currency)}"
    if box.price is None or box.p_return is None:
        return f"{words}; there is no price to compare that with."
    back = said.do(box.p_return, "box", "boxes", "returns its", "return their")
    return f"{words}. {said.sentence(back)} price of {money.told(box.price, currency)}."


def told(returns: Returns, facts: Kept) -> str:
    """The headline format's box and case."""
    one, currency = returns.formats.get(facts.headline), facts.rules.currency
    if not isinstance(one, FormatReturns):
        return f"Not known: {one.why if one else 'the headline format is not described'}."
    box, is_carried = one.box, bool(carried_from(facts))
    opening = "A" if returns.as_of is None else f"At {returns.as_of} prices, a"
    if is_carried:
        opening = "Going by other releases' prices, which may be far off, a"
    words = f"{opening} {one.name} box is expected to return {money.told(box.mean, currency)}"
    words += f"{_likely(one, currency)}. Half of all boxes return {money.told(box.median, currency)} or more"
    if box.price is None or box.p_return is None:
        return f"{words}. There is no price to compare that with."
    words += f", and the worst quarter return {money.told(box.q25, currency)} or less"
    words += f". {_chances('box', box, currency)}"
    if is_carried and box.p_low is not None:
        low, high = (said.some(chance or Decimal(0), "box", "boxes") for chance in (box.p_low, box.p_high))
        words += (
            f" If every card were worth only {tenths.percent(1 / Fraction(one.factor))} % of its "
            f"estimate, {low} would return its price; if it were worth {tenths.percent(one.factor)} %, "
            f"{high} would."
        )
    if box.loss_given_loss is not None:
        words += f" Losing boxes lose {money.told(box.loss_given_loss, currency)} on average."
    if one.case is not None and one.case.p_return is not None:
        words += f" {_chances('case', one.case, currency)}"
    words += f" At {money.told(box.even_price, currency)} a box would break even half the time."
    words += _commons(one, currency)
    words += _run(one)
    return f"{words} {left_out(one)}".rstrip()


def _likely(one: FormatReturns, currency: str) -> str:
    """Between which amounts the mean lies nine times in ten; blank where nothing was said of its doubt."""
    if one.mean_between is None:
        return ""
    between = " and ".join(money.told(end, currency) for end in one.mean_between)
    return f" on average. The true average is likely between {between} (9 in 10)"


def _chances(what: str, paid: Payout, currency: str) -> str:
    """How many return the price, and how many what is paid with shipping, duty and tax."""
    price, chance = money.told(paid.price or Decimal(0), currency), paid.p_return or Decimal(0)
    several = f"{what}es" if what == "box" else f"{what}s"
    words = said.sentence(said.do(chance, what, several, "returns its", "return their"))
    words += f" price of {price}"
    if paid.p_landed is not None and paid.p_landed != paid.p_return:
        landed = said.do(paid.p_landed, what, several, "does", "do").replace(f" of {several}", "")
        is_none = landed.startswith("practically no") and words.startswith("Practically no")
        words += ", let alone tax and shipping" if is_none else f"; with tax and shipping, {landed}"
    return f"{words}."


def _commons(one: FormatReturns, currency: str) -> str:
    """Which commons count as bulk though they sell, and what a box would return if they did; else blank."""
    if one.with_commons is None or one.least is None:
        return ""
    least, more_so = money.told(one.least, currency), money.told(one.with_commons, currency)
    return (
        f" Most cards in {text.some(one.commons, _NAMED)} sell for {least}, the lowest price of any card, so "
        f"they count as bulk. If a seller cleared {least} on each of them, a box would return {more_so}."
    )


def carried_from(facts: Kept) -> tuple[str, ...]:
    """The releases that prices are carried over from, none where they are the release's own or not known."""
    found = facts.of(values.SECTION)
    return () if isinstance(found, Unknown) else found.carried_from


def left_out(one: FormatReturns) -> str:
    """Which lines of a format count as nothing, blank where none does."""
    if not one.left_out:
        return ""
    lines = ", ".join(one.left_out)
    return f"Counted as worth nothing in {one.name} boxes, as their odds are not stated: {lines}."


def _run(one: FormatReturns) -> str:
    """How cards are drawn where so much of the run is opened that it shows."""
    words = ""
    for what, share in (("box", one.box_share), ("case", one.case_share)):
        if share is None or share <= NOTICED_SHARE:
            continue
        words += f" One {what} is {tenths.share(share)} of all {one.name} packs that exist"
        words += (
            ", so its promised cards are counted as gone from the rest."
            if what in one.finite
            else "; its cards are not counted as gone from the rest, which makes the chances a little off."
        )
    return words


def since_launch(returns: Returns, facts: Kept, then: Returns, launch: Kept) -> str:
    """How prices that were carried over at launch compare with sales since; blank where neither is so.

    Parameters
    ----------
    then, launch : the section and the facts that the launch review keeps
    """
    donors, worth = carried_from(launch), facts.of(values.SECTION)
    was, now = (one.formats.get(facts.headline) for one in (then, returns))
    if not donors or not isinstance(was, FormatReturns) or not isinstance(now, FormatReturns):
        return ""
    if isinstance(worth, Unknown) or worth.carried_from:
        return ""
    currency = facts.rules.currency
    words = (
        f"At launch, prices carried over from {text.listed(donors)} said that a {now.name} box returns "
        f"{_in_short(was, currency, launch)}. Now {text.count(worth.sales, 'sale')} of its own "
        f"{'says' if worth.sales == 1 else 'say'} {_in_short(now, currency, facts)}."
    )
    lent = launch.of(values.SECTION)
    first = None if isinstance(lent, Unknown) else lent.as_of or lent.carried_on
    days = _between(first, worth.as_of)
    week = next((one for one in worth.effects if one.name == "week"), None)
    if days <= 0 or week is None or week.value + 2 * week.error >= 0:
        return words
    a_week, whole = (tenths.six_digits(math.exp(float(week.value) * each)) for each in (1, days / 7))
    moved = money.told(money.cents(was.box.mean * whole), currency)
    return (
        f"{words} Its cards lost {tenths.fixed(100 * (1 - a_week), 1)} % of their price a week, "
        f"{tenths.percent(1 - whole)} % in the {text.count(days, 'day')} from {first} to its last sale on "
        f"{worth.as_of}: on that day, the launch figure comes to about {moved}."
    )


def _between(first: date | None, last: date | None) -> int:
    """The days from one day to a later one, 0 where one of them was not kept."""
    return 0 if first is None or last is None else (last - first).days


def _in_short(one: FormatReturns, currency: str, facts: Kept) -> str:
    """What a box returns, with its price and the day of that."""
    words, box = f"{money.told(one.box.mean, currency)} on average", one.box
    if box.p_return is None or box.price is None:
        return words
    costs = facts.of(economics.SECTION)
    day = None if isinstance(costs, Unknown) else costs.main.price_day
    when = f" ({day.isoformat()})" if day else ""
    back = said.do(box.p_return, "box", "boxes", "returns its", "return their")
    return f"{words}, and {back} price of {money.told(box.price, currency)}{when}"
