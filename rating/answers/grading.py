"""The answer of `grade`: the grade, its scores with their reasons, and how it stands to what is recorded."""

from __future__ import annotations

from typing import Any

from rating.answers import parts
from rating.facts import cautions
from rating.grading import Contribution
from rating.season.recording import Draft


def grade(found: Draft, *, rank: int | None, rubric: str, since_launch: str) -> dict[str, Any]:
    """A grading.

    Parameters
    ----------
    rank : the place it takes today, None where it has none
    rubric : the hash of the rubric it was graded by
    since_launch : how what was carried over at launch compares with sales since, '' where it does not
    """
    graded, told = found.graded, found.sheet.disclosure
    return {
        "release": found.review.release,
        "title": found.review.title,
        "stage": found.stage,
        "grade": parts.points(graded.grade),
        "lowest": parts.points(graded.lowest),
        "highest": parts.points(graded.highest),
        "likely": parts.between(graded.likely),
        "rank": rank,
        "verdict": graded.verdict or None,
        **parts.beside(found.beside),
        "partial": graded.is_partial,
        "ranked_apart": graded.ranked_apart,
        "class": found.review.price_class or None,
        "rubric": rubric,
        "disclosure": parts.disclosure(told.how_obtained, told.sentence) if told else None,
        "scores": [_score(line) for line in graded.contributions],
        "not_applicable": [{"criterion": one.criterion, "why": one.why} for one in graded.not_applicable],
        "unknown": [{"criterion": one.criterion, "why": one.why} for one in graded.unknown],
        "recorded": found.recorded.id if found.recorded else None,
        "differs": found.differs,
        "caution": cautions.short(found.facts),
        "since_launch": since_launch or None,
    }


def _score(line: Contribution) -> dict[str, Any]:
    return {
        "criterion": line.score.criterion,
        "group": line.group,
        "score": line.score.score,
        "points": line.points / 10,
        "basis": line.score.basis,
        "reason": line.score.reason,
        "spread": line.score.spread,
        "computed_score": line.score.computed_score,
        "measure": parts.number(line.score.measure),
        "rater": line.score.rater or None,
        "evidence": list(line.evidence),
    }
