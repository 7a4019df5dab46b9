"""The answers of commands about raters' scores: `scoresheet` and `take-in`."""

from __future__ import annotations

from typing import Any

from rating.raters import Judgement
from rating.season.taking_in import TakenIn


def score_sheet(release: str, rater: str, written: str, *, is_open: bool) -> dict[str, Any]:
    """A score sheet that was written, and whether it shows the host's scores."""
    return {"release": release, "rater": rater, "open": is_open, "written": [written]}


def taken_in(taken: TakenIn, *, is_written: bool) -> dict[str, Any]:
    """A score sheet that came back, and what it changes. `before` is None where nothing was said yet."""
    return {
        "release": taken.marks.release,
        "title": taken.title,
        "rater": taken.marks.rater,
        "file": taken.file,
        "written": is_written,
        "changes": [
            {
                "criterion": one.after.criterion,
                "before": None if one.before is None else _said(one.before),
                "now": _said(one.after),
            }
            for one in taken.changes
        ],
        "unchanged": list(taken.same),
        "open": list(taken.open),
    }


def _said(one: Judgement) -> dict[str, Any]:
    """A score with its reason; None where the criterion does not apply."""
    return {"score": one.score, "reason": one.reason}
