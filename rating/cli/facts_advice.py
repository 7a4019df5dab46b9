"""The section on advice, on the terminal."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from rating.cli import common

if TYPE_CHECKING:
    from rating.facts.advice.value import Advice
    from rating.facts.facts import Facts

# what the other columns leave of a page
_WHY = 47


def show(advice: Advice, facts: Facts) -> None:
    """What to buy for each aim, the price that it turns at, and why."""
    from rating import money
    from rating.facts.advice import tell as telling_advice

    formats = {} if not hasattr(facts.economics, "formats") else facts.economics.formats
    rows = []
    for one in advice.aims:
        below = "" if one.below is None else money.show(one.below)
        what = f"{formats[one.format].name} {one.of}" if below and one.format in formats else ""
        rows.append(
            _lines(
                (one.aim, 15),
                (telling_advice.way(one, facts), 12),
                (below, 9),
                (what, 8),
                (one.why, _WHY),
            )
        )
    common.table(("aim", "buy", "below", "of", "why"), [line for row in rows for line in row], right="below")
    common.say()
    common.paragraph(
        "Below its price, before shipping, duty and tax, what stands beside it is what to buy; from that "
        "price up it is not."
    )


def _lines(*cells: tuple[str, int]) -> list[tuple[str, ...]]:
    """A row whose cells are wrapped to their widths, as one row a line."""
    wrapped = [textwrap.wrap(words, width, break_on_hyphens=False) or [""] for words, width in cells]
    height = max(map(len, wrapped))
    return list(zip(*(lines + [""] * (height - len(lines)) for lines in wrapped), strict=True))
