"""What a host would say of returns, and of prices that were carried over at launch."""

from __future__ import annotations

from decimal import Decimal

from rating import money, tenths, text
from rating.facts import values
from rating.facts.plain import Unknown
from rating.facts.returns.value import NOTICED_SHARE, FormatReturns, Returns
from rating.facts.section import Kept


def told(returns: Returns, facts: Kept) -> str:
    """The headline format's box and case."""
    one = returns.formats.get(facts.headline)
    if not isinstance(one, FormatReturns):
        return f"Not known: {one.why if one else 'the headline format is not described'}."
    box, is_carried = one.box, bool(carried_from(facts))
    opening = "By prices carried over from other releases, which may be far off, a" if is_carried else "A"
    words = f"{opening} {one.name} box is expected to return {money.show(box.mean)}"
    words += f", every other one {money.show(box.median)} or more"
    if box.price is None or box.p_return is None:
        return f"{words}; there is no price to hold that against."
    words += f"; {tenths.share_in_places(box.p_return)} return the price of {money.show(box.price)}."
    if is_carried and box.p_low is not None:
        low, high = (tenths.share_in_places(chance or Decimal(0)) for chance in (box.p_low, box.p_high))
        words += (
            f" Were all cards worth {tenths.fixed(one.factor, 1)} times less or more, {low} or {high} would."
        )
    if box.loss_given_loss is not None:
        words += f" Who loses, loses {money.show(box.loss_given_loss)} on average."
    if one.case is not None and one.case.p_return is not None:
        chance = tenths.share_in_places(one.case.p_return)
        words += f" A case returns its price with a chance of {chance}."
    words += f" At {money.show(box.even_price)} it would be an even chance."
    words += _run(one)
    return f"{words} {left_out(one)}".rstrip()


def carried_from(facts: Kept) -> tuple[str, ...]:
    """The releases that prices are carried over from, none where they are the release's own or not known."""
    found = facts.of(values.SECTION)
    return () if isinstance(found, Unknown) else found.carried_from


def left_out(one: FormatReturns) -> str:
    """Which lines of a format count as nothing, blank where none does."""
    if not one.left_out:
        return ""
    lines = ", ".join(one.left_out)
    return f"Counted as nothing in {one.name}, since nothing says how often they fall: {lines}."


def _run(one: FormatReturns) -> str:
    """How cards are drawn where so much of the run is opened that it shows."""
    words = ""
    for what, share in (("box", one.box_share), ("case", one.case_share)):
        if share is None or share <= NOTICED_SHARE:
            continue
        words += f" A {what} opens {tenths.share(share)} of all {one.name} packs that exist"
        words += (
            ", so its promised cards are drawn without putting any back."
            if what in one.finite
            else "; its cards are drawn all the same as if they were put back, which is not quite so."
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
    return (
        f"At launch, prices carried over from {text.listed(donors)} said that a {now.name} box returns "
        f"{_in_short(was)}; {text.count(worth.sales, 'sale')} of its own now say {_in_short(now)}."
    )


def _in_short(one: FormatReturns) -> str:
    words, box = f"{money.show(one.box.mean)} on average", one.box
    if box.p_return is None or box.price is None:
        return words
    return (
        f"{words}, with {tenths.share_in_places(box.p_return)} returning the price of {money.show(box.price)}"
    )
