"""The answers of `ledger`: every review of a release, a withdrawal, what is altered."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rating.answers import parts
from rating.errors import Problem
from rating.ledger.ledger import Note
from rating.ledger.merging import Merged
from rating.season.handed import Handed
from rating.season.history import ScoreChange, Step


def history(release: str, steps: Sequence[Step]) -> dict[str, Any]:
    """Every recorded review of a release, oldest first, with what each changed and what was said of it."""
    return {"release": release, "reviews": [_step(step) for step in steps]}


def _step(step: Step) -> dict[str, Any]:
    entry, review = step.entry, step.review
    return {
        "review": entry.id,
        "published_on": entry.published_on,
        "recorded_at": entry.recorded_at,
        "stage": entry.stage,
        "grade": parts.points(entry.grade),
        "withdrawn": review.withdrawn,
        "reason_for_change": review.reason_for_change or None,
        "supersedes": list(review.supersedes),
        "corrects": review.corrects,
        "changes": [_change(one) for one in step.changes],
        "points": [
            {"criterion": key, "before": parts.points(was), "after": parts.points(now)}
            for key, was, now in step.points
        ],
        "reworded": list(step.reworded),
        "notes": [_note(one) for one in step.notes],
    }


def _change(one: ScoreChange) -> dict[str, Any]:
    return {
        "criterion": one.criterion,
        "before": one.before,
        "after": one.after,
        "was": one.was or None,
        "now": one.now or None,
        "by": one.by,
        "rater": one.rater or None,
        "measure_before": parts.number(one.measures[0]),
        "measure_after": parts.number(one.measures[1]),
        "unit": one.unit or None,
        "why": one.why or None,
    }


def _note(one: Note) -> dict[str, Any]:
    return {"note": one.id, "review": one.review, "noted_at": one.noted_at, "says": one.says}


def noted(release: str, note: Note) -> dict[str, Any]:
    """What was kept beside a review of a release."""
    return {"release": release, **_note(note)}


def errata(wrong: str, right: str, text: str, exports: Sequence[Handed]) -> dict[str, Any]:
    """A correction: the ids of the wrong review and the new one, the text to pin, who got the wrong one."""
    return {
        "wrong": wrong,
        "review": right,
        "text": text,
        "exports": [
            {
                "at": one.at,
                "file": one.file,
                "sha256": one.sha256,
                "receiver": one.receiver or None,
                "head": one.head.split(),
            }
            for one in exports
        ],
    }


def withdrawn(release: str, *, published_on: str) -> dict[str, Any]:
    """A release that was taken out of the standings on a day."""
    return {"release": release, "withdrawn": True, "published_on": published_on}


def verified(found: Sequence[Problem]) -> dict[str, Any]:
    """What is altered."""
    return {"problems": [parts.problem(one) for one in found]}


def backed_up(written: str, reviews: int, head: str, gone: Sequence[str]) -> dict[str, Any]:
    """A backup, how many reviews it holds, their head, and the older ones that went."""
    return {"written": written, "reviews": reviews, "head": head, "gone": list(gone)}


def restored(
    reviews: int, lost: Sequence[str], aside: str | None, *, lost_notes: Sequence[str]
) -> dict[str, Any]:
    """How many reviews the ledger holds, the reviews and notes that it lacks now, where the one before is."""
    return {"reviews": reviews, "lost": list(lost), "lost_notes": list(lost_notes), "aside": aside}


def exported(written: str, reviews: int, head: str) -> dict[str, Any]:
    """A file of lines, how many reviews it holds, and their head."""
    return {"written": written, "reviews": reviews, "head": head}


def merged(done: Merged) -> dict[str, Any]:
    """What came in, what the ledger ends with, and the releases that both copies reviewed."""
    return {
        "added": list(done.added),
        "notes": list(done.notes),
        "reviews": done.head.reviews,
        "heads": list(done.head.ids),
        "forks": [{"release": fork.release, "reviews": list(fork.ids)} for fork in done.forks],
    }
