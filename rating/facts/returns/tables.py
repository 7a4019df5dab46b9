"""What a person is shown of returns: a box and a case of each format."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from rating import money, tenths
from rating.facts.blocks import Block, Listing
from rating.facts.returns.tell import left_out
from rating.facts.returns.value import FormatReturns, Payout, Returns
from rating.facts.section import Source

_SPARE = ("25 %", "75 %", "of the run")


def shown(returns: Returns, facts: Source) -> Iterator[Block]:
    """Money and chances, then what each format's are worth; the sentence is about the headline format."""
    heads = ("price", "mean", "5 %", "25 %", "median", "75 %", "95 %", "its price", "landed", "of the run")
    yield Listing(
        headers=("what", *heads),
        rows=[
            _row(f"{key}, {what}", paid, opened)
            for key, one in returns.formats.items()
            if isinstance(one, FormatReturns)
            for what, paid, opened in (("box", one.box, one.box_share), ("case", one.case, one.case_share))
            if paid is not None
        ],
        right="|".join(heads),
        # where the page is too narrow these are in the JSON answer alone
        spare=_SPARE,
    )
    for key, one in returns.formats.items():
        if isinstance(one, FormatReturns):
            yield (
                f"{key}: in steps of {one.grid}, which add {tenths.fixed(one.grid_error)} to the standard "
                "deviation of a box; independent draws assumed"
            )
            if key != facts.headline and one.left_out:
                yield left_out(one)
        else:
            yield f"{key}: not known, {one.why}"


def _row(what: str, paid: Payout, opened: Decimal | None) -> tuple[str, ...]:
    return (
        what,
        _amount(paid.price),
        *map(_amount, (paid.mean, paid.q05, paid.q25, paid.median, paid.q75, paid.q95)),
        "" if paid.p_return is None else tenths.share_in_places(paid.p_return),
        "" if paid.p_landed is None else tenths.share_in_places(paid.p_landed),
        "" if opened is None else tenths.share(opened),
    )


def _amount(value: Decimal | None) -> str:
    return "" if value is None else money.show(value)
