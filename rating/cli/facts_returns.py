"""The section on returns, on the terminal."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from rating.cli import common

if TYPE_CHECKING:
    from rating.facts.values import Returns


def show(returns: Returns) -> None:
    """What a box and a case of each format return."""
    from rating import money, tenths
    from rating.facts.values import FormatReturns

    def amount(value: Decimal | None) -> str:
        return "" if value is None else money.show(value)

    rows = []
    for key, one in returns.formats.items():
        if not isinstance(one, FormatReturns):
            continue
        for what, paid in (("box", one.box), ("case", one.case)):
            if paid is not None:
                rows.append(
                    (
                        f"{key}, {what}",
                        amount(paid.price),
                        amount(paid.mean),
                        amount(paid.q05),
                        amount(paid.q25),
                        amount(paid.median),
                        amount(paid.q75),
                        amount(paid.q95),
                        "" if paid.p_return is None else tenths.share(paid.p_return),
                    )
                )
    common.table(
        ("what", "price", "mean", "5 %", "25 %", "median", "75 %", "95 %", "returns it"),
        rows,
        right="price|mean|5 %|25 %|median|75 %|95 %|returns it",
    )
    for key, one in returns.formats.items():
        if isinstance(one, FormatReturns):
            common.paragraph(
                f"{key}: in steps of {one.grid}, which add {tenths.fixed(one.grid_error)} to the standard "
                "deviation of a box; independent draws assumed"
            )
        else:
            common.say(f"{key}: not known, {one.why}")
