"""The words on whatever is handed out: how the reviewer came by a product, where help is found, the head."""

from __future__ import annotations

from collections.abc import Sequence

from rating import text
from rating.season.settings.help_lines import HelpLines


def disclosure(how_obtained: Sequence[str], sentence: str) -> str:
    """How the reviewer came by the product, as it stands at the top of everything published."""
    how = "nothing received, bought or held" if tuple(how_obtained) == ("none",) else ", ".join(how_obtained)
    return f"How the reviewer came by it: {how}. {sentence}".strip()


def head(tree_head: str, reviews: int) -> str:
    """The head that stands for all recorded reviews, as each export prints it."""
    return f"Head of the ledger, over {text.count(reviews, 'review')}: {tree_head}"


def with_help(said: Sequence[str], lines: HelpLines | None) -> str:
    """Cautions as one text, the season's help lines on a line of their own under them."""
    told = lines.sentence if lines else ""
    return "\n".join(part for part in (" ".join(said), told) if part)
