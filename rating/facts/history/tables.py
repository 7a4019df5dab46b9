"""What a person is shown of history: the earlier editions."""

from __future__ import annotations

from collections.abc import Iterator

from rating import money, tenths
from rating.facts.blocks import Block, Listing
from rating.facts.history.value import History
from rating.facts.section import Source


def shown(history: History, facts: Source) -> Iterator[Block]:
    """One a row, newest first, with how much of its price at launch it held."""
    yield Listing(
        headers=("earlier edition", "season", "list", "launch", "last", "held", "grade"),
        rows=[
            (
                one.title,
                one.season,
                *(
                    money.told(amount, facts.rules.currency) if amount else ""
                    for amount in (one.list_price, one.launch_price, one.street_price)
                ),
                f"{tenths.percent(one.held)} %" if one.held is not None else "",
                tenths.show(one.grade) if one.grade is not None else "",
            )
            for one in history.editions
        ],
        right="list|launch|last|held|grade",
    )
