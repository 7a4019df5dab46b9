"""What the files of a release have outrun of its review, and what of a review is still provisional.

Days, stages, scores and the rubric tell most of it without working anything out; whether anything else has
moved, such as a checklist that was revised or a rate of exchange, is found by grading anew.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from rating import tenths, text
from rating.errors import RatingError
from rating.ledger.ledger import Entry
from rating.release import OPENED, PRICES, SALES, SLOTS
from rating.release.release import Release
from rating.review import Review
from rating.season import recording
from rating.season.season import Season
from rating.stage import STAGES

# sales have settled so many days after the release
SETTLED_DAYS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """Something to do: what is missing or has moved, and the command, or the hand, that settles it."""

    what: str
    settle: str


def needs(season: Season, slug: str, entry: Entry, *, whole: bool) -> Iterator[Need]:
    """What has moved on since a review: its stage, and what its files say."""
    try:
        release = season.files.release(slug)
    except RatingError:
        yield Need(what="its files have errors now", settle=f"boxwright check {slug}")
        return
    yield from stage_due(release, slug, entry, today=season.today)
    yield from moved(season, release, slug, entry, whole=whole)


def stage_due(release: Release, slug: str, entry: Entry, *, today: date) -> Iterator[Need]:
    """The stage that a release has reached since its review: odds are out, cards in hand, sales settled."""
    known = "launch" if release.odds else "preview" if release.cards else "announced"
    out = release.sheet.released_on
    days = (today - out).days if out else 0
    if _is_before(entry.stage, known):
        reached, what = known, f"its files say {known}, the review is of the stage {entry.stage}"
    elif _is_before(entry.stage, "settled") and days >= SETTLED_DAYS and release.sales:
        reached, what = "settled", f"it has been out for {days} days, so its sales have settled"
    elif _is_before(entry.stage, "in-hand") and any(one.day <= today for one in release.opened or ()):
        reached, what = "in-hand", "boxes of it were opened, so its cards are in hand"
    else:
        return
    yield Need(what=what, settle=f"boxwright grade {slug} --stage {reached} --record")


def _is_before(stage: str, other: str) -> bool:
    return STAGES.index(stage) < STAGES.index(other)


def moved(season: Season, release: Release, slug: str, entry: Entry, *, whole: bool) -> Iterator[Need]:
    """What the files of a release say otherwise than its review.

    `whole` grades it anew, and so finds what has no day: a checklist revised, a rate added, a rule changed.
    """
    again = f"boxwright grade {slug} --record --because TEXT"
    if newer := _newer(release, entry.published_on, season.today):
        yield Need(what=f"newer than the review: {text.listed(newer)}", settle=again)
    review = season.recorded.ledger.review(entry.id)
    if changed := _scored_anew(season, slug, review):
        yield Need(what=f"scores.toml says otherwise on {text.listed(changed)}", settle=again)
    if entry.rubric != season.rubric.hash:
        yield Need(what="it was graded by another rubric", settle=again)
    if whole and (words := _told_anew(season, slug, entry)):
        yield Need(what=f"graded again, it differs: {words}", settle=again)


def _told_anew(season: Season, slug: str, entry: Entry) -> str:
    """How a release graded anew differs from its review, with the sections of facts that moved."""
    draft = season.grade(slug)
    told = draft.differences()
    if draft.review.grade != entry.grade and draft.review.grade is not None and entry.grade is not None:
        grades = f"the grade ({tenths.show(entry.grade)}, now {tenths.show(draft.review.grade)})"
        told = [grades if one == "the grade" else one for one in told]
    if "the facts" in told:
        then, now = season.recorded.facts(entry), json.loads(draft.facts_text)
        sections = sorted(key for key in then.keys() | now.keys() if then.get(key) != now.get(key))
        told = [f"the facts on {text.listed(sections)}" if one == "the facts" else one for one in told]
    return text.listed(told)


def provisional(season: Season, slug: str, entry: Entry) -> Iterator[Need]:
    """The scores of a review that count as provisional at its stage."""
    until: dict[str, list[str]] = {}
    for score in season.recorded.ledger.review(entry.id).scores:
        module = season.files.modules.get(score.criterion)
        end = module.criterion.provisional_until if module is not None else ""
        if end and score.basis != "computed" and _is_before(entry.stage, end):
            until.setdefault(end, []).append(score.criterion)
    for end, keys in until.items():
        are = "is" if len(keys) == 1 else "are"
        yield Need(
            what=f"{text.listed(keys)} {are} provisional until the release is {end}",
            settle=f"boxwright grade {slug} --ask --stage {end}",
        )


def _newer(release: Release, since: str, today: date) -> list[str]:
    """How many dated rows of each table lie after a day, up to today."""
    found = []
    for table, rows in (
        (PRICES, release.prices),
        (SALES, release.sales),
        (OPENED, release.opened),
        (SLOTS, release.slots),
    ):
        number = sum(since < one.day.isoformat() <= today.isoformat() for one in rows or ())
        if number:
            found.append(text.count(number, *table.nouns))
    return found


def _scored_anew(season: Season, slug: str, review: Review) -> list[str]:
    """The criteria that scores.toml scores otherwise than a review."""
    given = recording.published(season.files, slug)
    then = {one.criterion: one.score for one in review.scores}
    return [key for key, one in given.items() if one.score is not None and then.get(key) != one.score]
