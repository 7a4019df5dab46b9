"""The words on whatever is handed out: how the reviewer came by a product, where help is found, the head."""

from __future__ import annotations

from collections.abc import Sequence

from rating import text
from rating.season.settings.help_lines import HelpLines

# ways to get a box: one came by each, where there are several
_WAYS = ("bought", "sent free", "discounted")


def disclosure(how_obtained: Sequence[str], sentence: str) -> str:
    """How the reviewer came by the product, as it stands at the top of everything published."""
    ways = [one for one in how_obtained if one in _WAYS]
    parts = [f"partly {one}" if one in ways and len(ways) > 1 else one for one in how_obtained]
    how = "nothing received, bought or held" if tuple(how_obtained) == ("none",) else ", ".join(parts)
    return f"How the reviewer came by it: {how}. {sentence}".strip()


def head(tree_head: str, reviews: int) -> str:
    """The head that stands for all recorded reviews, as each export prints it."""
    return f"Head of the ledger, which covers {covered(reviews)}: {tree_head}"


def covered(reviews: int) -> str:
    """How many reviews a head stands for: 'all 61 reviews', '1 review'."""
    return f"{'all ' if reviews > 1 else ''}{text.count(reviews, 'review')}"


def with_help(said: Sequence[str], lines: HelpLines | None) -> str:
    """Cautions as one text, the season's help lines on a line of their own under them."""
    told = lines.sentence if lines else ""
    return "\n".join(part for part in (" ".join(said), told) if part)
