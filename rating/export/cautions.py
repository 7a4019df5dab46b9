"""The words that go with prices, returns and slots, and with every published review."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from rating.facts.returns.tell import LOSSES, losses
from rating.season.settings.help_lines import HelpLines

ESTIMATES = "Prices and what follows from them are estimates, not investment advice."
PAST = "Past sales do not predict prices."
LAW = (
    "For adults only where the law says so; random formats are subject to local law. "
    "Ask locally where you are not sure."
)
CAUTIONS = (ESTIMATES, PAST, LOSSES, LAW)
# for the host's own terminal
SHORT = f"{ESTIMATES} {PAST} {LOSSES}"


def disclosure(how_obtained: Sequence[str], sentence: str) -> str:
    """How the reviewer came by the product, as it stands at the top of everything published."""
    how = "nothing received, bought or held" if tuple(how_obtained) == ("none",) else ", ".join(how_obtained)
    return f"How the reviewer came by it: {how}. {sentence}".strip()


def own_losses(facts: Mapping[str, Any]) -> str:
    """How many boxes of one release return less than they cost, by what its review kept; '' if unknown."""
    formats = (facts.get("returns") or {}).get("formats") or {}
    box = (formats.get(facts.get("headline")) or {}).get("box") or {}
    share = box.get("p_return")
    if share is None:
        return ""
    carried = bool((facts.get("values") or {}).get("carried_from"))
    return losses(Decimal(str(share)), is_carried=carried)


def of_release(facts: Mapping[str, Any]) -> tuple[str, ...]:
    """The cautions beside one release, with the share of its own boxes where its review knew it."""
    return ESTIMATES, PAST, own_losses(facts) or LOSSES, LAW


def with_help(said: Sequence[str], lines: HelpLines | None) -> str:
    """Cautions as one text, the season's help lines on a line of their own under them."""
    told = lines.sentence if lines else ""
    return "\n".join(part for part in (" ".join(said), told) if part)
