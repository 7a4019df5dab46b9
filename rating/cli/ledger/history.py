"""boxwright ledger history: every recorded review of a release, and what changed from one to the next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rating.cli.shared import opening, options, printing

if TYPE_CHECKING:
    from rating.season.history import ScoreChange, Step
    from rating.season.season import Season


def history(
    release: options.Release,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Every recorded review of a release, oldest first: which scores changed, by what or by whom, and why.

    Example: boxwright ledger history halyard
    """
    from rating import text
    from rating.answers import ledger as answers
    from rating.errors import RatingError
    from rating.season import history as lives

    season = opening.opened(season_folder, today)
    steps = lives.history(season.recorded, release)
    if not steps:
        raise RatingError(
            f"nothing is recorded of {release}",
            where="ledger.db",
            fix=text.hinted(
                release,
                {one.release for one in season.recorded.entries},
                f"record it with 'boxwright grade {release} --record'",
            ),
        )
    if as_json:
        printing.data(answers.history(release, steps))
        return
    printing.say(steps[-1].review.title)
    for number, step in enumerate(steps):
        _step(season, step, steps[number - 1] if number else None)
    printing.say()
    printing.say(
        "It is withdrawn."
        if steps[-1].review.withdrawn
        else f"The last of {len(steps)} reviews stands; the others are kept as they were."
        if len(steps) > 1
        else "It is the only review, and it stands."
    )


def _step(season: Season, step: Step, before: Step | None) -> None:
    """Print one review: what it said, why it came about, what it changed, what was said of it later."""
    from rating import tenths, text

    entry, review = step.entry, step.review
    stage = "withdrawn" if review.withdrawn else entry.stage
    grade = tenths.show(entry.grade) if entry.grade is not None else "no grade"
    if before is not None and None not in (entry.grade, before.entry.grade) and not review.withdrawn:
        gained = (entry.grade or 0) - (before.entry.grade or 0)
        grade += f" ({'+' if gained > 0 else ''}{tenths.show(gained)})" if gained else " (unchanged)"
    printing.say()
    printing.say(f"{entry.published_on}  {stage}  {grade}  {entry.id[:12]}")
    if review.corrects:
        printing.paragraph(f"Corrects the review {review.corrects[:12]}.", indent="  ")
    if review.reason_for_change:
        printing.paragraph(f"Why: {review.reason_for_change}", indent="  ")
    elif before is not None:
        printing.paragraph("No reason was given.", indent="  ")
    for one in step.changes:
        printing.wrapped(f"  {_changed(season, one)}")
    if step.points:
        told = ", ".join(f"{key} {_points(was)} to {_points(now)}" for key, was, now in step.points)
        printing.wrapped(f"  The rubric changed its points: {told}.")
    if step.reworded:
        words = text.listed(step.reworded)
        printing.paragraph(f"Same score, new wording: {words}.", indent="  ")
    for note in step.notes:
        printing.paragraph(f"Said on {note.noted_at[:10]}: {note.says}", indent="  ")


def _points(points: int | None) -> str:
    from rating import tenths

    return "none" if points is None else tenths.show_points(points)


def _changed(season: Season, change: ScoreChange) -> str:
    """One score that changed: from what to what, by what or by whom, and why."""
    before, after = (
        str(score) if score is not None else words or "not asked"
        for score, words in ((change.before, change.was), (change.after, change.now))
    )
    by = {
        "person": f"scored by {season.config.rater_name(change.rater)}"
        if change.rater
        else "no longer scored by a person",
        "scale": "because the rubric's scale changed",
        "module": "because the criterion's module changed",
        "facts": _measured(change, season.config.currency),
    }[change.by]
    if None in (change.before, change.after):
        moved = f"{change.criterion}: {before} before, now {after}"
    else:
        moved = f"{change.criterion} went from {before} to {after}"
    told = ", ".join(one for one in (moved, by) if one)
    return f"{told}: {change.why}" if change.why else f"{told}."


def _measured(change: ScoreChange, currency: str) -> str:
    """What was measured before and after, blank where nothing was on one side."""
    from rating import money

    first, last = change.measures
    if not first or not last:
        return ""
    unit = money.in_currency(change.unit, currency)
    return f"as the measure went from {_short(first)} to {_short(last)} ({unit})"


def _short(measure: str) -> str:
    """A measure with at most four digits that count, as a person reads it."""
    from decimal import Context, Decimal

    from rating import tenths

    return tenths.plain(Context(prec=4).create_decimal(Decimal(measure)))
