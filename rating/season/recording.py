"""Reviews as they come about: drafted from the files as they are, appended to the ledger, withdrawn."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import partial
from typing import Any

from rating import grading, overruling, raters, text
from rating import review as reviews
from rating.errors import RatingError
from rating.facts.facts import Facts
from rating.grading import Graded, Occasion
from rating.ledger.ledger import Entry
from rating.raters import Judgement
from rating.release.sheet import Sheet
from rating.review import PrintedDisclosure, Review
from rating.season import beside as besides
from rating.season import folder
from rating.season.beside import Beside
from rating.season.context import frozen
from rating.season.context.facts import SeasonFacts
from rating.season.files import SeasonFiles


@dataclass(frozen=True, kw_only=True)
class Draft:
    """A review as it would be recorded now, with its facts, and the one that was recorded last.

    `graded` is the grade with its reasons, `beside` what is told with it, `facts_text` what the ledger would
    keep of the facts. `recorded`
    and `recorded_review` are None where the release has no current review.
    """

    sheet: Sheet
    facts: Facts
    stage: str
    graded: Graded
    review: Review
    beside: Beside
    facts_text: str
    recorded: Entry | None
    recorded_review: Review | None

    @property
    def differs(self) -> bool:
        """Whether it says something else than the last recorded review; False where there is none."""
        if self.recorded_review is None:
            return False
        return not reviews.same_judgement(self.review, self.recorded_review)

    def differences(self) -> list[str]:
        """What it says differently from the last recorded review, in words; empty where there is none."""
        now, before = self.review, self.recorded_review
        if before is None or not self.differs:
            return []
        words = []
        if now.grade != before.grade:
            words.append("the grade")
        if now.stage != before.stage:
            words.append(f"the stage (was {before.stage})")
        if now.rubric != before.rubric:
            words.append("the rubric")
        then = {score.criterion: score for score in before.scores}
        changed = [score.criterion for score in now.scores if then.get(score.criterion) != score]
        changed += sorted(set(then) - {score.criterion for score in now.scores})
        if changed:
            words.append(f"the scores of {', '.join(changed)}")
        if now.facts != before.facts:
            words.append("the facts")
        if now.disclosure != before.disclosure:
            words.append("the disclosure")
        if now.price_advice != before.price_advice:
            words.append("what the price says")
        if now.foretold != before.foretold:
            words.append("what is foretold")
        return words or ["how it is described"]


def stage_of_files(files: SeasonFiles, slug: str) -> str:
    """What the files of a release say was known: launch with odds, preview with a checklist."""
    release = files.release(slug)
    if release.odds:
        return "launch"
    return "preview" if release.cards else "announced"


def default_stage(files: SeasonFiles, slug: str) -> str:
    """The last recorded stage, else what the files say was known."""
    entry = files.recorded.current.get(slug)
    return stage_of_files(files, slug) if entry is None else entry.stage


def draft(
    context: SeasonFacts,
    slug: str,
    *,
    day: date,
    stage: str = "",
    judgements: Sequence[Judgement] | None = None,
    reason_for_change: str = "",
    refresh_demand: bool = False,
) -> Draft:
    """The review of a release from its files as they are now.

    Parameters
    ----------
    day : when it would be published; prices after it do not count
    stage : by default `default_stage`
    judgements : instead of those in scores.toml
    refresh_demand : take who is wanted, and prices to carry over, from that day, not from when the release
        was last recorded
    """
    files = context.files
    config, recorded = files.config, files.recorded
    stage = stage or default_stage(files, slug)
    facts = _facts_on(context, slug, day, stage=stage, refresh_demand=refresh_demand)
    given = published(files, slug, judgements)
    graded = grading.grade(facts, files.rubric, files.modules, given, stage=stage)
    sheet = files.sheet(slug)
    told = sheet.disclosure
    occasion = Occasion(
        season=config.name,
        season_id=config.season_id,
        stage=stage,
        published_on=day.isoformat(),
        recorded_at="",
        raters=config.rater_keys[:1] if config.published == "first" else config.rater_keys,
        disclosure=PrintedDisclosure(
            how_obtained=told.how_obtained if told else (), sentence=told.sentence if told else ""
        ),
        reason_for_change=reason_for_change,
    )
    review, facts_text = grading.to_review(graded, facts, files.rubric, occasion)
    last = recorded.current.get(slug)
    return Draft(
        sheet=sheet,
        facts=facts,
        stage=stage,
        graded=graded,
        review=review,
        beside=besides.beside(
            review, graded.verdict, rubric_text=files.rubric.text, currency=config.currency
        ),
        facts_text=facts_text,
        recorded=last,
        recorded_review=recorded.ledger.review(last.id) if last else None,
    )


def overruled(context: SeasonFacts, slug: str, *, day: date) -> str:
    """The remark on scores that a person put beyond what is computed, '' where there is none.

    Only the criteria that are overruled are worked out, and the others where one of them is beyond doubt.
    """
    files = context.files
    given, modules, rubric = published(files, slug), files.modules, files.rubric
    asked = [
        one
        for one in rubric.criteria
        if one.key in given and one.key in modules and modules[one.key].criterion.find is not None
    ]
    if not asked:
        return ""
    stage = default_stage(files, slug)
    facts = _facts_on(context, slug, day, stage=stage)
    part = dataclasses.replace(rubric, criteria=tuple(asked))
    graded = grading.grade(facts, part, modules, given, stage=stage)
    if not any(overruling.is_beyond_doubt(line.score) for line in graded.contributions):
        return ""
    whole = grading.grade(facts, rubric, modules, given, stage=stage)
    points = {one.key: one.points for one in rubric.criteria}
    return overruling.remark([line.score for line in whole.contributions], points)


def _facts_on(
    context: SeasonFacts, slug: str, day: date, *, stage: str, refresh_demand: bool = False
) -> Facts:
    """A release's facts in the context that its grade was first recorded in, or in the day's own."""
    if refresh_demand:
        return context.facts(slug, day, context=context.context(slug, day), carried_on=day)
    carried_on = min(day, frozen.carried_on(context.files.recorded, slug, stage) or day)
    return context.facts(slug, day, context=context.frozen_context(slug, day), carried_on=carried_on)


def published(
    files: SeasonFiles, slug: str, judgements: Sequence[Judgement] | None = None
) -> Mapping[str, Judgement]:
    """The one judgement of each criterion that counts, of those given or else of scores.toml."""
    given = files.judgements(slug) if judgements is None else judgements
    rule = files.config.published
    return raters.published(given, files.config.rater_keys, rule)  # type: ignore[arg-type]  # one of the rules


def record(
    files: SeasonFiles, drafted: Draft, *, today: date, now: datetime, corrects: str = ""
) -> Review | None:
    """Append a draft to the ledger; None where it says the same as the last recorded review.

    `corrects` is the id of a review that was wrong. Where another one has put that right already, the new one
    may say the same as it.

    Raises
    ------
    RatingError
        if there is no grade or no disclosure yet, or its day is not between the last review and today
    """
    slug, day = drafted.review.release, reviews.day_of(drafted.review)
    where = f"{folder.RELEASES}/{slug}"
    if drafted.graded.grade is None:
        raise RatingError(
            "there is nothing to record: no criterion has a score",
            where=where,
            fix=f"score it with 'boxwright grade {slug} --ask', or write scores.toml",
        )
    if drafted.sheet.disclosure is None:
        raise RatingError(
            "a review says how the reviewer came by the product, and this one does not",
            where=f"{where}/release.toml",
            fix="fill in [disclosure]: how_obtained and a sentence",
        )
    if day > today:
        raise RatingError(
            f"{day.isoformat()} is after today, {today.isoformat()}",
            where="--on",
            fix="record a review on the day it is published, or later with --on",
        )
    stamped = _stamped(drafted.review, now, corrects=corrects or None)
    try:
        return files.recorded.append(
            stamped, rubric=files.rubric.text, facts=drafted.facts_text, hold=partial(_hold, stamped)
        )
    except _UnchangedError:
        return None


class _UnchangedError(Exception):
    """A review says the same as the current one of its release."""


def _hold(review: Review, last: str, current: tuple[Review, ...]) -> None:
    """Hold a review to what the ledger has of its release at the moment it is added."""
    if review.published_on < last:
        raise RatingError(
            f"the last review of {review.release} is of {last}, after {review.published_on}",
            where="--on",
            fix=f"use a day from {last} on; what is recorded is never changed",
        )
    if len(current) > 1 and not review.reason_for_change:
        raise RatingError(
            f"two copies each recorded a review of {review.release}, and nothing says which counts",
            where=review.release,
            fix="make the files say what counts, and add --because with the reason; it follows both",
        )
    # where two copies were merged, a review that follows both says which one it is to be
    if len(current) != 1 or current[0].withdrawn or not reviews.same_judgement(review, current[0]):
        return
    if review.corrects in {None, reviews.hash_of(reviews.text_of(current[0]))}:
        raise _UnchangedError


def _hold_withdrawal(gone: Review, last: str, current: tuple[Review, ...]) -> None:
    """Hold a withdrawal to the review it was made from, which must still be the current one."""
    if gone.published_on < last or not any(
        reviews.hash_of(reviews.text_of(one)) in gone.supersedes for one in current
    ):
        raise RatingError(
            f"somebody has just recorded {gone.release} again",
            where=folder.LEDGER_FILE,
            fix=f"look at 'boxwright ledger history {gone.release}', then withdraw it again",
        )


def withdraw(files: SeasonFiles, slug: str, *, reason: str, day: date, today: date, now: datetime) -> Review:
    """Take a release out of the standings on a day, by a review that says so and why.

    Raises
    ------
    RatingError
        if it has no current review, the reason is none, or the day is not between that review and today
    """
    recorded = files.recorded
    entry = recorded.current.get(slug)
    if entry is None:
        raise RatingError(
            f"there is no current review of {slug} to withdraw",
            where=folder.LEDGER_FILE,
            fix=text.hinted(slug, recorded.current, f"see 'boxwright ledger history {slug}'"),
        )
    clean = text.tidy(reason)
    if not clean:
        raise RatingError("a withdrawal needs a reason", where="--reason", fix="say why in a sentence")
    if mark := text.bad_marks(clean):
        raise RatingError(
            f"the reason holds the invisible mark {mark}", where="--reason", fix="type it again"
        )
    if not entry.published_on <= day.isoformat() <= today.isoformat():
        raise RatingError(
            f"{day.isoformat()} does not lie between the last review, {entry.published_on}, and today",
            where="--on",
            fix="leave --on out to withdraw it today",
        )
    ledger = recorded.ledger
    last = ledger.review(entry.id)
    gone = _stamped(last, now, withdrawn=True, published_on=day.isoformat(), reason_for_change=clean)
    return recorded.append(
        gone,
        rubric=ledger.rubric(last.rubric),
        facts=ledger.facts(last.facts),
        hold=partial(_hold_withdrawal, dataclasses.replace(gone, supersedes=(entry.id,))),
    )


def _stamped(review: Review, now: datetime, **changes: Any) -> Review:
    return dataclasses.replace(review, recorded_at=reviews.stamp(now), supersedes=(), heads=(), **changes)
