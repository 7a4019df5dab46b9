"""What a person is shown of returns: a box and a case of each format."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from rating import money, tenths
from rating.facts.blocks import Block, Listing
from rating.facts.returns.tell import left_out
from rating.facts.returns.value import FormatReturns, Payout, Returns
from rating.facts.section import Source

_SPARE = ("of the run", "25 % over", "25 % under", "5 % under", "5 % over")


def shown(returns: Returns, facts: Source) -> Iterator[Block]:
    """Money and chances, then what each format's are worth; the sentence is about the headline format."""

    def amount(value: Decimal) -> str:
        return money.told(value, facts.rules.currency)

    heads = (
        "price",
        "average",
        "5 % under",
        "25 % under",
        "typical",
        "25 % over",
        "5 % over",
        "its price",
        "delivered",
        "of the run",
    )
    yield Listing(
        headers=("what", *heads),
        rows=[
            _row(f"{one.name} {what}", paid, opened, facts.rules.currency)
            for key, one in returns.formats.items()
            if isinstance(one, FormatReturns)
            for what, paid, opened in (("box", one.box, one.box_share), ("case", one.case, one.case_share))
            if paid is not None
        ],
        right="|".join(heads),
        spare=_SPARE,
    )
    yield (
        "The column 'its price' says how many boxes return their price, and 'delivered' how many return that "
        "and their shipping, duty and tax too."
    )
    for key, one in returns.formats.items():
        if isinstance(one, FormatReturns):
            yield (
                f"{one.name}: this assumes that packs are filled at random. Values are rounded to "
                f"{amount(one.grid)}, which moves what a box returns by about {amount(one.grid_error)}."
            )
            if key != facts.headline and one.left_out:
                yield left_out(one)
        else:
            yield f"{key}: not known, {one.why}."


def _row(what: str, paid: Payout, opened: Decimal | None, currency: str) -> tuple[str, ...]:
    amounts = (paid.price, paid.mean, paid.q05, paid.q25, paid.median, paid.q75, paid.q95)
    return (
        what,
        *("" if amount is None else money.told(amount, currency) for amount in amounts),
        "" if paid.p_return is None else tenths.share_in_places(paid.p_return),
        "" if paid.p_landed is None else tenths.share_in_places(paid.p_landed),
        "" if opened is None else tenths.share(opened),
    )
