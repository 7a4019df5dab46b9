"""What a person is shown of advice: aim by aim, the price that it turns at, and why."""

from __future__ import annotations

from collections.abc import Iterator

from rating import money
from rating.facts import economics, said
from rating.facts.advice.tell import way
from rating.facts.advice.value import Advice
from rating.facts.blocks import Block, Listing
from rating.facts.plain import Unknown
from rating.facts.section import Source


def shown(advice: Advice, facts: Source) -> Iterator[Block]:
    """What to buy for each aim, then why, a paragraph each."""
    costs = facts.of(economics.SECTION)
    formats = {} if isinstance(costs, Unknown) else costs.formats
    rows = []
    for one in advice.aims:
        below = "" if one.below is None else money.told(one.below, facts.rules.currency)
        what = f"{formats[one.format].name} {one.of}" if below and one.format in formats else ""
        rows.append((one.aim, way(one, facts), below, what))
    yield Listing(headers=("aim", "buy", "below", "for a"), rows=rows, right="below")
    yield "Where a price is shown, buy only below it. Shipping, duty and tax come on top."
    for one in advice.aims:
        yield ""
        yield f"{said.sentence(one.aim)}. {one.why}"
