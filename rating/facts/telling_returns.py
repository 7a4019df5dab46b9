"""What a host would say about returns, with this release's own chance beside the caution."""

from __future__ import annotations

from decimal import Decimal

from rating import money, tenths
from rating.facts.values import NOTICED_SHARE, Facts, FormatReturns, Returns, Unknown

LOSSES = "Many boxes return less than they cost."


def returns(found: Returns, facts: Facts) -> str:
    """The headline format's box and case."""
    one = found.formats.get(facts.headline)
    if not isinstance(one, FormatReturns):
        return (
            f"Not known: {one.why if isinstance(one, Unknown) else 'the headline format is not described'}."
        )
    box = one.box
    words = f"A {one.name} box is expected to return {money.show(box.mean)}"
    words += f", every other one {money.show(box.median)} or more"
    if box.price is None or box.p_return is None:
        return f"{words}; there is no price to hold that against."
    words += f"; {tenths.share(box.p_return)} return the price of {money.show(box.price)}."
    if box.loss_given_loss is not None:
        words += f" Who loses, loses {money.show(box.loss_given_loss)} on average."
    if one.case is not None and one.case.p_return is not None:
        words += f" A case returns its price with a chance of {tenths.share(one.case.p_return)}."
    words += f" At {money.show(box.even_price)} it would be an even chance."
    words += _run(one)
    if one.left_out:
        words += f" Counted as nothing, since nothing says how often they fall: {', '.join(one.left_out)}."
    return words


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


def caution(found: Returns, facts: Facts) -> str:
    """That many boxes return less than they cost, with how many of this release."""
    one = found.formats.get(facts.headline)
    if not isinstance(one, FormatReturns) or one.box.p_return is None:
        return LOSSES
    return losses(one.box.p_return)


def losses(p_return: Decimal) -> str:
    """That many boxes return less than they cost, of a release whose box returns its price so likely."""
    return (
        f"{LOSSES.removesuffix('.')}: of this release {tenths.share(1 - p_return)} do, by "
        "independent draws and prices that may not last."
    )
