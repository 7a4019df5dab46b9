"""What is said of a merge: what came in, and where two copies say different things."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rating.cli.shared import printing

if TYPE_CHECKING:
    from rating.ledger.merging import Merged


def told(merged: Merged, file: Path, *, as_json: bool) -> None:
    """Say what came in."""
    from rating import text
    from rating.answers import ledger as answers

    if as_json:
        printing.data(answers.merged(merged))
        return
    if merged.added:
        printing.say(f"{text.count(len(merged.added), 'review')} came in from {file.name}.")
    if merged.notes:
        printing.say(f"{text.count(len(merged.notes), 'note')} came in from {file.name}.")
    if not (merged.added or merged.notes):
        printing.say(f"Nothing new: the ledger has every review of {file.name}.")
    printing.say(f"The ledger now holds {text.count(merged.head.reviews, 'review')}.")
    for fork in merged.forks:
        named = text.listed([one[:12] for one in fork.ids])
        printing.say(
            f"{fork.release} was reviewed in both copies: {named}. Both are kept, and the later one counts. "
            f"Choose with 'boxwright grade {fork.release} --record --because TEXT', which follows both."
        )
