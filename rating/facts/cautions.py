"""The cautions that go with prices, returns and slots: each has its wording here, wherever it is told."""

from __future__ import annotations

from decimal import Decimal

from rating.facts import returns, said, values
from rating.facts.plain import Unknown
from rating.facts.returns.value import FormatReturns
from rating.facts.section import Kept

ESTIMATES = "All prices and returns here are estimates, not investment advice."
PAST = "Past sales cannot tell you what prices will do next."
LOSSES = "Many boxes return less than they cost."
LAW = (
    "For adults only where the law says so; random formats are subject to local law. "
    "Ask locally where you are not sure."
)
# on everything that is handed out
CAUTIONS = (ESTIMATES, PAST, LOSSES, LAW)
# for the host's own terminal
SHORT = f"{ESTIMATES} {PAST} {LOSSES}"


def of_release(facts: Kept) -> tuple[str, ...]:
    """The cautions on what is handed out of one release, with the share of its own boxes if known."""
    return ESTIMATES, PAST, own_losses(facts) or LOSSES, LAW


def short(facts: Kept) -> str:
    """The cautions about one release for the host's own terminal, with the share of its own boxes."""
    return f"{ESTIMATES} {PAST} {own_losses(facts) or LOSSES}"


def own_losses(facts: Kept) -> str:
    """How many headline boxes of a release return less than they cost; blank where it is not known."""
    found = facts.of(returns.SECTION)
    one = None if isinstance(found, Unknown) else found.formats.get(facts.headline)
    if not isinstance(one, FormatReturns) or one.box.p_return is None:
        return ""
    # nothing is certain about prices
    chance = min(1 - one.box.p_return, Decimal("0.999"))
    worth = facts.of(values.SECTION)
    is_carried = not isinstance(worth, Unknown) and bool(worth.carried_from)
    prices = "its cards sell for what other releases' cards do" if is_carried else "today's prices hold"
    losing = said.do(chance, "box", "this release's boxes", "returns less than it", "return less than they")
    cost = "costs" if said.is_one(chance) else "cost"
    return f"{said.sentence(losing)} {cost}, if packs are filled at random and {prices}."
