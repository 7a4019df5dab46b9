"""What a host would say of content."""

from __future__ import annotations

from rating import text
from rating.facts.content.value import Content
from rating.facts.section import Kept


def told(content: Content, _: Kept) -> str:
    """How many cards, hits and signers; who has most, and what exists once."""
    hits = sum(content.kinds.get(kind, 0) for kind in ("autograph", "relic", "autograph relic"))
    words = f"{text.count(content.cards, 'card')} in {text.count(len(content.subsets), 'subset')}"
    if hits:
        words += f", {hits} of them hits"
    if content.signers:
        words += f", by {text.count(content.signers, 'signer')}"
    words += "."
    if content.teams:
        most = content.teams[0]
        words += f" {most.team} have the most cards, {most.cards}."
    ones = next((one for one in content.tiers if one.high == 1), None)
    if ones is not None:
        words += f" {text.count(ones.versions, 'card exists', 'cards exist')} once."
    return words
