"""Overruled scores that stand further from what was computed than both doubts together, and what they lift.

A person may know better than a module; how far is everybody's to see. The remark is made from the review
alone, so that it is the same in every place that shows the grade.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rating import tenths, text
from rating.core import exact
from rating.review import Score


def is_beyond_doubt(score: Score) -> bool:
    """Whether a person's score lies further from the computed one than the doubts of both reach."""
    if score.computed_score is None:
        return False
    return abs(score.score - score.computed_score) > score.spread + (score.computed_spread or 0)


def beyond_doubt(scores: Sequence[Score]) -> tuple[Score, ...]:
    """The scores that overrule a computed one by more than both doubts, the widest apart first."""
    found = [one for one in scores if is_beyond_doubt(one)]
    return tuple(sorted(found, key=lambda one: (-abs(one.score - (one.computed_score or 0)), one.criterion)))


def as_computed(scores: Sequence[Score], points: Mapping[str, int]) -> int | None:
    """The grade in tenths with those scores as they were computed, None where there are none.

    Parameters
    ----------
    points : whole tenths by criterion, of the rubric that the review was graded by
    """
    far = {one.criterion for one in beyond_doubt(scores)}
    if not far:
        return None
    taken = [one.computed_score if one.criterion in far else one.score for one in scores]
    return exact.grade_tenths(taken, [points[one.criterion] for one in scores])


def remark(scores: Sequence[Score], points: Mapping[str, int]) -> str:
    """The remark on a grade in a sentence or two, '' where no score is overruled beyond doubt."""
    far, grade = beyond_doubt(scores), as_computed(scores, points)
    if not far or grade is None:
        return ""
    named = text.listed([f"{one.criterion} at {one.score} (computed {one.computed_score})" for one in far])
    return (
        f"A personal score is far from the computed one: {named}. By the computed scores the grade would "
        f"be {tenths.show(grade)}."
    )
