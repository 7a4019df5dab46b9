"""What a host would say of content."""

from __future__ import annotations

from rating import text
from rating.facts.content.value import Content
from rating.facts.section import Kept


def lead(content: Content, _: Kept) -> str:
    """How many hits, signers, cards and subsets."""
    hits = sum(content.kinds.get(kind, 0) for kind in ("autograph", "relic", "autograph relic"))
    among = f"{text.count(content.cards, 'card')} in {text.count(len(content.subsets), 'subset')}"
    verb = "is a hit" if hits == 1 else "are hits"
    words = f"{among}; {hits:,} {verb}" if hits else f"{among}, none of them a hit"
    if content.signers:
        words += f", and {text.count(content.signers, 'person signs', 'people sign')}"
    return f"{words}."


def told(content: Content, facts: Kept) -> str:
    """The lead, then who has most, and what exists once."""
    words = lead(content, facts)
    if content.teams:
        most = content.teams[0]
        words += f" {most.team} have the most cards: {most.cards}."
    ones = next((one for one in content.tiers if one.high == 1), None)
    if ones is not None:
        words += f" Counting parallels, there {'is' if ones.versions == 1 else 'are'} "
        words += f"{text.count(ones.versions, 'one-of-one')}."
    return words
