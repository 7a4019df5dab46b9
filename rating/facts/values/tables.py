"""What a person is shown of values: what each line's cards are worth, and what does how much to a price."""

from __future__ import annotations

import math
import statistics
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

from rating import money, tenths
from rating.facts.blocks import Block, Listing
from rating.facts.plain import Unknown
from rating.facts.section import Source
from rating.facts.values.tell import aside
from rating.facts.values.valuation import VALUATION
from rating.facts.values.value import Values


def shown(values: Values, facts: Source) -> Iterator[Block]:
    """A table each, and how many sales were set aside."""
    found = facts.of(VALUATION)
    yield Listing(
        headers=("line", "cards", "least", "typical", "most", "from"),
        rows=[
            (
                f"{one.subset} {one.parallel}".strip(),
                len(one.worth),
                *(
                    money.told(Decimal(amount), facts.rules.currency)
                    for amount in (min(one.worth), statistics.median(one.worth), max(one.worth))
                ),
                ", ".join(f"{number} {basis}" for basis, number in Counter(one.basis).most_common()),
            )
            for one in (() if isinstance(found, Unknown) else found.lines)
        ],
        right="cards|least|typical|most",
    )
    if values.effects:
        yield ""
        yield Listing(
            headers=("effect", "on log price", "error", "factor"),
            rows=[
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
    if left_out := aside(values):
        yield left_out
