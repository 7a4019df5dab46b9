"""The section on values, on the terminal."""

from __future__ import annotations

import math
import statistics
from collections import Counter
from decimal import Decimal
from typing import TYPE_CHECKING

from rating.cli import common

if TYPE_CHECKING:
    from rating.facts.values.value import Values


def show(values: Values) -> None:
    """What the cards of each line are worth to a seller, and what does how much to a price."""
    from rating import money, tenths
    from rating.facts.values import tell as telling_values

    def amount(value: float) -> str:
        return money.show(Decimal(value))

    common.table(
        ("line", "cards", "least", "middle", "most", "from"),
        [
            (
                common.shorten(f"{one.subset} {one.parallel}".strip(), 40),
                len(one.values),
                amount(min(one.values)),
                amount(statistics.median(one.values)),
                amount(max(one.values)),
                ", ".join(f"{number} {basis}" for basis, number in Counter(one.basis).most_common()),
            )
            for one in values.lines
        ],
        right="cards|least|middle|most",
    )
    if values.effects:
        common.say()
        common.table(
            ("effect", "on log price", "error", "factor"),
            [
                (
                    one.name,
                    tenths.fixed(one.value, 3),
                    tenths.fixed(one.error, 3),
                    tenths.fixed(tenths.six_digits(math.exp(one.value)), 2),
                )
                for one in values.effects
            ],
            right="on log price|error|factor",
        )
    if left_out := telling_values.aside(values):
        common.paragraph(left_out)
