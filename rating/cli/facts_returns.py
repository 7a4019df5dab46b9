"""The section on returns, on the terminal."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from rating.cli import common

if TYPE_CHECKING:
    from rating.facts.returns.value import Returns

_QUARTERS = (4, 6)


def show(returns: Returns, headline: str) -> None:
    """What a box and a case of each format return; the sentence after it is about the headline format."""
    from rating import money, tenths
    from rating.facts.returns.tell import left_out
    from rating.facts.returns.value import FormatReturns

    def amount(value: Decimal | None) -> str:
        return "" if value is None else money.show(value)

    def chance(value: Decimal | None) -> str:
        return "" if value is None else tenths.share_in_places(value)

    rows = []
    for key, one in returns.formats.items():
        if not isinstance(one, FormatReturns):
            continue
        for what, paid, opened in (("box", one.box, one.box_share), ("case", one.case, one.case_share)):
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
                        chance(paid.p_return),
                        "" if opened is None else tenths.share(opened),
                    )
                )
    heads = ("what", "price", "mean", "5 %", "25 %", "median", "75 %", "95 %", "returns it", "of the run")
    table: list[tuple[str, ...]] = [heads, *rows]
    if not common.fits(heads, rows):
        # large amounts: the quarters are in the JSON answer, and the others fit
        table = [tuple(cell for i, cell in enumerate(row) if i not in _QUARTERS) for row in table]
    common.table(table[0], table[1:], right="|".join(table[0][1:]))
    for key, one in returns.formats.items():
        if isinstance(one, FormatReturns):
            common.paragraph(
                f"{key}: in steps of {one.grid}, which add {tenths.fixed(one.grid_error)} to the standard "
                "deviation of a box; independent draws assumed"
            )
            if key != headline and one.left_out:
                common.paragraph(left_out(one))
        else:
            common.paragraph(f"{key}: not known, {one.why}")
