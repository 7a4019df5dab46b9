"""What a host would say of history."""

from __future__ import annotations

from rating import money, tenths
from rating.facts.history.value import History
from rating.facts.section import Kept


def told(history: History, _: Kept) -> str:
    """What the edition before listed for and last went for, and its grade."""
    if not history.editions:
        since = f", though it is said to run since {history.since}" if history.since else ""
        return f"No earlier edition of {history.line} is known to the earlier seasons{since}."
    last = history.editions[0]
    words = f"The edition before, {last.title},"
    if last.list_price is not None and last.street_price is not None:
        words += f" listed at {money.show(last.list_price)} and last went for {money.show(last.street_price)}"
    else:
        words += " has no list and street price on file"
    if last.grade is not None:
        words += f"; it was graded {tenths.show(last.grade)}"
    return words + "."
