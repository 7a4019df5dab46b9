"""The words that go with prices, returns and slots, and with every published review."""

from __future__ import annotations

from collections.abc import Sequence

ESTIMATES = "Prices and what follows from them are estimates, not investment advice."
PAST = "Past sales do not predict prices."
LOSSES = "Many boxes return less than they cost."
LAW = (
    "For adults only where the law says so; random formats are subject to local law. "
    "Ask locally where you are not sure."
)
CAUTIONS = (ESTIMATES, PAST, LOSSES, LAW)


def disclosure(how_obtained: Sequence[str], sentence: str) -> str:
    """How the reviewer came by the product, as it stands at the top of everything published."""
    how = "nothing received, bought or held" if tuple(how_obtained) == ("none",) else ", ".join(how_obtained)
    return f"How the reviewer came by it: {how}. {sentence}".strip()
