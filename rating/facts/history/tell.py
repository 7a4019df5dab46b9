"""What a host would say of history."""

from __future__ import annotations

from decimal import Decimal

from rating import money, tenths
from rating.facts.history.value import Edition, History
from rating.facts.section import Kept


def lead(history: History, facts: Kept) -> str:
    """What the edition before sold for at launch and at last, and its grade."""
    if not history.editions:
        return "No earlier edition is on file."
    last = history.editions[0]
    parts = [f"graded {tenths.show(last.grade)}"] if last.grade is not None else []
    if last.launch_price is not None and last.street_price is not None:
        launched, at_last = (money.told(one, facts.rules.currency) for one in _prices(last))
        parts = [f"a box went from {launched} to {at_last}", *parts]
    return f"Last edition: {'; '.join(parts) or 'neither grade nor prices are on file'}."


def told(history: History, facts: Kept) -> str:
    """What the edition before sold for at launch and at last, and its grade, with its name."""
    if not history.editions:
        since = f", though it began in {history.since}" if history.since else ""
        return f"No earlier edition of {history.line} is on file{since}."
    last = history.editions[0]
    if last.launch_price is not None and last.street_price is not None:
        launched, at_last = (money.told(one, facts.rules.currency) for one in _prices(last))
        words = f"A box of the previous edition, {last.title}, sold for {launched} at launch"
        words += f" and {at_last} most recently"
    else:
        words = f"The previous edition, {last.title}, has no going prices on file to compare"
    if last.grade is not None:
        words += f"; that edition was graded {tenths.show(last.grade)}"
    return f"{words}."


def _prices(last: Edition) -> tuple[Decimal, Decimal]:
    return last.launch_price or Decimal(0), last.street_price or Decimal(0)
