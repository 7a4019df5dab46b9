"""What a host would say of history."""

from __future__ import annotations

from rating import money, tenths
from rating.facts.history.value import History
from rating.facts.section import Kept


def told(history: History, _: Kept) -> str:
    """What the edition before went for at launch and at last, and its grade."""
    if not history.editions:
        since = f", though it is said to run since {history.since}" if history.since else ""
        return f"No earlier edition of {history.line} is known to the earlier seasons{since}."
    last = history.editions[0]
    words = f"The edition before, {last.title},"
    if last.launch_price is not None and last.street_price is not None:
        launched, at_last = money.show(last.launch_price), money.show(last.street_price)
        words += f" went for {launched} at launch and last for {at_last}"
    else:
        words += " has no street price at launch and later on file"
    if last.grade is not None:
        words += f"; it was graded {tenths.show(last.grade)}"
    return words + "."
