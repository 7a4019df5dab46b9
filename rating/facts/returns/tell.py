"""What a host would say about returns, with this release's own chance beside the caution."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from rating import money, tenths, text
from rating.facts.facts import Facts
from rating.facts.plain import Unknown
from rating.facts.returns.value import NOTICED_SHARE, FormatReturns, Returns
from rating.facts.values.value import Values

LOSSES = "Many boxes return less than they cost."


def returns(found: Returns, facts: Facts) -> str:
    """The headline format's box and case."""
    one = found.formats.get(facts.headline)
    if not isinstance(one, FormatReturns):
        return (
            f"Not known: {one.why if isinstance(one, Unknown) else 'the headline format is not described'}."
        )
    box = one.box
    words = f"{_opening(facts.values)} {one.name} box is expected to return {money.show(box.mean)}"
    words += f", every other one {money.show(box.median)} or more"
    if box.price is None or box.p_return is None:
        return f"{words}; there is no price to hold that against."
    words += f"; {tenths.share_in_places(box.p_return)} return the price of {money.show(box.price)}."
    if isinstance(facts.values, Values) and facts.values.carried_from and box.p_low is not None:
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


def since_launch(kept: Mapping[str, Any], facts: Facts) -> str:
    """How prices that were carried over at launch compare with sales since; blank where neither is so.

    Parameters
    ----------
    kept : the facts that the launch review keeps
    """
    carried_from = (kept.get("values") or {}).get("carried_from")
    then = ((kept.get("returns") or {}).get("formats") or {}).get(facts.headline, {}).get("box")
    values, found = facts.values, facts.returns
    if not carried_from or not then or not isinstance(values, Values) or values.carried_from:
        return ""
    one = found.formats.get(facts.headline) if isinstance(found, Returns) else None
    if not isinstance(one, FormatReturns):
        return ""
    return (
        f"At launch, prices carried over from {text.listed(carried_from)} said that a {one.name} box returns "
        f"{_in_short(Decimal(then['mean']), _number(then['p_return']), _number(then['price']))}; "
        f"{text.count(values.sales, 'sale')} of its own now say "
        f"{_in_short(one.box.mean, one.box.p_return, one.box.price)}."
    )


def _in_short(mean: Decimal, chance: Decimal | None, price: Decimal | None) -> str:
    words = f"{money.show(mean)} on average"
    if chance is None or price is None:
        return words
    return f"{words}, with {tenths.share_in_places(chance)} returning the price of {money.show(price)}"


def _number(kept: str | None) -> Decimal | None:
    return None if kept is None else Decimal(kept)


def _opening(values: Values | Unknown) -> str:
    carried = isinstance(values, Values) and values.carried_from
    return "By prices carried over from other releases, which may be far off, a" if carried else "A"


def caution(found: Returns, facts: Facts) -> str:
    """That many boxes return less than they cost, with how many of this release."""
    one = found.formats.get(facts.headline)
    if not isinstance(one, FormatReturns) or one.box.p_return is None:
        return LOSSES
    carried = isinstance(facts.values, Values) and bool(facts.values.carried_from)
    return losses(one.box.p_return, is_carried=carried)


def losses(p_return: Decimal, *, is_carried: bool = False) -> str:
    """That many boxes return less than they cost, of a release whose box returns its price so likely.

    Parameters
    ----------
    is_carried : whether that goes by prices of other releases
    """
    # nothing is certain about prices
    chance = min(1 - p_return, Decimal("0.999"))
    prices = "prices of other releases, which may be far off" if is_carried else "prices that may not last"
    return (
        f"{LOSSES.removesuffix('.')}: of this release {tenths.share(chance)} do, by independent draws and "
        f"{prices}."
    )
