"""The answers of `ledger`: every review of a release, a withdrawal, what is altered."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rating.answers import parts
from rating.errors import Problem
from rating.ledger.ledger import Entry
from rating.ledger.merging import Merged
from rating.review import Review


def history(release: str, reviews: Sequence[tuple[Entry, Review]]) -> dict[str, Any]:
    """Every recorded review of a release, oldest first."""
    return {
        "release": release,
        "reviews": [
            {
                "review": entry.id,
                "published_on": entry.published_on,
                "recorded_at": entry.recorded_at,
                "stage": entry.stage,
                "grade": parts.points(entry.grade),
                "withdrawn": review.withdrawn,
                "reason_for_change": review.reason_for_change or None,
                "supersedes": list(review.supersedes),
            }
            for entry, review in reviews
        ],
    }


def withdrawn(release: str, *, published_on: str) -> dict[str, Any]:
    """A release that was taken out of the standings on a day."""
    return {"release": release, "withdrawn": True, "published_on": published_on}


def verified(found: Sequence[Problem]) -> dict[str, Any]:
    """What is altered."""
    return {"problems": [parts.problem(one) for one in found]}


def backed_up(written: str, reviews: int, gone: Sequence[str]) -> dict[str, Any]:
    """A backup, how many reviews it holds, and the older ones that went."""
    return {"written": written, "reviews": reviews, "gone": list(gone)}


def restored(
    reviews: int, lost: Sequence[str], aside: str | None, *, lost_notes: Sequence[str]
) -> dict[str, Any]:
    """How many reviews the ledger holds, the reviews and notes that it lacks now, where the one before is."""
    return {"reviews": reviews, "lost": list(lost), "lost_notes": list(lost_notes), "aside": aside}


def exported(written: str, reviews: int) -> dict[str, Any]:
    """A file of lines, and how many reviews it holds."""
    return {"written": written, "reviews": reviews}


def merged(done: Merged) -> dict[str, Any]:
    """What came in, what the ledger ends with, and the releases that both copies reviewed."""
    return {
        "added": list(done.added),
        "notes": list(done.notes),
        "reviews": done.head.reviews,
        "heads": list(done.head.ids),
        "forks": [{"release": fork.release, "reviews": list(fork.ids)} for fork in done.forks],
    }
