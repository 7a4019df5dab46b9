"""A release's recorded reviews one after the other: what changed from one to the next, by what, and why."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rating.ledger.ledger import Entry, Note
from rating.review import Review, Score
from rating.season.recorded import Recorded

NOT_KNOWN, NOT_APPLYING = "not known", "does not apply"


@dataclass(frozen=True, slots=True, kw_only=True)
class ScoreChange:
    """One score that a review gives otherwise than the one before.

    before, after
        the scores, None where the criterion had none
    was, now
        computed, judged or overruled; without a score 'not known' or 'does not apply', '' where the rubric
        did not ask
    by
        what changed it: person, facts, scale, module
    rater
        the key of the person, '' where it is none
    measures
        what was measured before and after, '' where nothing was, in `unit`
    why
        the reason of the later score, or why it has none
    """

    criterion: str
    before: int | None
    after: int | None
    was: str
    now: str
    by: str
    rater: str
    measures: tuple[str, str]
    unit: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One review with what it changed, and what was said of it afterwards.

    `points` are the criteria that a changed rubric weighs otherwise, with their points (tenths) before and
    after, None where a rubric does not ask; `reworded` those whose score stays, but not what is said of it.
    """

    entry: Entry
    review: Review
    changes: tuple[ScoreChange, ...]
    points: tuple[tuple[str, int | None, int | None], ...]
    reworded: tuple[str, ...]
    notes: tuple[Note, ...]


def history(recorded: Recorded, release: str) -> tuple[Step, ...]:
    """Every review of a release, the oldest first."""
    ledger, notes = recorded.ledger, recorded.ledger.notes()
    steps: list[Step] = []
    before: Review | None = None
    for entry in recorded.of(release):
        review = ledger.review(entry.id)
        changes: tuple[ScoreChange, ...] = ()
        points: tuple[tuple[str, int | None, int | None], ...] = ()
        reworded: tuple[str, ...] = ()
        if before is not None:
            rubrics = [_criteria(ledger.rubric(one.rubric)) for one in (before, review)]
            changes, points = score_changes(before, review, *rubrics), _points(*rubrics)
            reworded = _reworded(before, review, {one.criterion for one in changes})
        steps.append(
            Step(
                entry=entry,
                review=review,
                changes=changes,
                points=points,
                reworded=reworded,
                notes=notes.get(entry.id, ()),
            )
        )
        before = review
    return tuple(steps)


def _reworded(before: Review, after: Review, changed: set[str]) -> tuple[str, ...]:
    """The criteria whose score stays, while its reason, what was measured or its doubt does not."""
    then = {one.criterion: (one.reason, one.measure, one.spread) for one in before.scores}
    return tuple(
        one.criterion
        for one in after.scores
        if one.criterion not in changed
        and one.criterion in then
        and then[one.criterion] != (one.reason, one.measure, one.spread)
    )


Criteria = Mapping[str, Mapping[str, Any]]


def _criteria(rubric: str) -> Criteria:
    """What a rubric's text says of each criterion, by its key."""
    return {one["key"]: one for one in json.loads(rubric)["criteria"]}


def _points(before: Criteria, after: Criteria) -> tuple[tuple[str, int | None, int | None], ...]:
    pairs = (
        (key, before.get(key, {}).get("points"), after.get(key, {}).get("points"))
        for key in sorted(before.keys() | after.keys())
    )
    return tuple(one for one in pairs if one[1] != one[2])


def score_changes(
    before: Review, after: Review, rubric_before: Criteria, rubric_after: Criteria
) -> tuple[ScoreChange, ...]:
    """The scores that a review gives otherwise than the one before, each with what changed it."""
    then, now = ({one.criterion: one for one in review.scores} for review in (before, after))
    absent_then, absent_now = _absent(before), _absent(after)
    found = []
    for key in sorted(then.keys() | now.keys() | absent_then.keys() | absent_now.keys()):
        old, new = then.get(key), now.get(key)
        was = old.basis if old else absent_then.get(key, ("", ""))[0]
        is_now, why = (new.basis, new.reason) if new else absent_now.get(key, ("", ""))
        if (old and old.score) == (new and new.score) and (old is None) == (new is None) and was == is_now:
            continue
        scales = [one.get(key, {}).get("scale") for one in (rubric_before, rubric_after)]
        found.append(
            ScoreChange(
                criterion=key,
                before=old.score if old else None,
                after=new.score if new else None,
                was=was,
                now=is_now,
                by=_by(old, new, is_scaled_anew=None not in scales and scales[0] != scales[1]),
                rater=new.rater if new else "",
                measures=(old.measure if old else "", new.measure if new else ""),
                unit=str((scales[1] or scales[0] or {}).get("unit", "")),
                why=why,
            )
        )
    return tuple(found)


def _absent(review: Review) -> dict[str, tuple[str, str]]:
    """The criteria of a review without a score: what it says instead, and why."""
    return {one.criterion: (NOT_KNOWN, one.why) for one in review.unknown} | {
        one.criterion: (NOT_APPLYING, one.why) for one in review.not_applicable
    }


def _by(old: Score | None, new: Score | None, *, is_scaled_anew: bool) -> str:
    """What changed a score: a person, facts, the rubric's scale, or the module itself."""
    if (new is not None and new.rater) or (old is not None and old.rater and new is None):
        return "person"
    if old is None or new is None or old.measure != new.measure or old.rater:
        return "facts"
    if is_scaled_anew:
        return "scale"
    return "module" if old.module_hash != new.module_hash else "facts"
