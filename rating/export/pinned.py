"""The text of a correction, to pin under a video or a page."""

from __future__ import annotations

from rating import tenths
from rating.export import notices
from rating.ledger.ledger import Entry
from rating.review import Review


def correction(wrong: Entry, right: Review, says: str) -> str:
    """What was wrong, what the grade was and is, and how the reviewer came by the product; a line each."""
    then, now = ("no grade" if one is None else tenths.show(one) for one in (wrong.grade, right.grade))
    graded = f"Our review of {wrong.published_on} graded it {then}"
    return "\n".join(
        (
            f"Correction of {right.published_on}: {right.title}",
            says,
            f"{graded}, and the grade stays." if then == now else f"{graded}; corrected, the grade is {now}.",
            notices.disclosure(right.disclosure.how_obtained, right.disclosure.sentence),
        )
    )
