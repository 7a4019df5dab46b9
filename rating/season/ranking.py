"""Questions to the recorded reviews: their ranking on a day, how sure it is, and what moved it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from rating import standings, text
from rating.errors import RatingError
from rating.ledger.ledger import Entry
from rating.season import folder
from rating.season.recorded import Recorded
from rating.standings import Restated, Standing

if TYPE_CHECKING:
    from rating.doubt.landing import Landing
    from rating.doubt.score_table import ScoreTable
    from rating.doubt.stability import Stability
    from rating.rubric.rubric import Rubric
    from rating.season.recording import Draft


def rank(
    recorded: Recorded,
    *,
    as_of: date,
    since: date | None = None,
    stage: str = "",
    price_class: str = "",
    entries: Sequence[Entry] | None = None,
) -> tuple[Standing, ...]:
    """The standings as of a day; with `entries` as if no others had been recorded."""
    counted = recorded.entries if entries is None else entries
    return tuple(
        standings.standings(
            counted,
            recorded.rubrics(counted),
            as_of=as_of,
            since=since,
            stage=stage,
            price_class=price_class,
        )
    )


def restated(
    recorded: Recorded, rubric: Rubric, *, as_of: date, entries: Sequence[Entry] | None = None
) -> tuple[Restated, ...]:
    """The ranking of a day as published, and the same reviews by another rubric; nothing is recorded."""
    from rating import grading  # which knows all facts

    rows = rank(recorded, as_of=as_of, entries=entries)
    by_release = standings.current(recorded.entries if entries is None else entries, as_of=as_of)
    anew = []
    for row in rows:
        graded = grading.restated(recorded.ledger.review(row.review), rubric)
        anew.append(
            by_release[row.release]._replace(
                grade=graded.grade,
                lowest=graded.lowest,
                highest=graded.highest,
                unknown_points=graded.unknown_points,
                applying_points=graded.applying_points,
                rubric=rubric.hash,
            )
        )
    after = {row.release: row for row in standings.standings(anew, {rubric.hash: rubric.text}, as_of=as_of)}
    return tuple(Restated(published=row, restated=after[row.release]) for row in rows)


def place_of(recorded: Recorded, drafted: Draft, rubric: Rubric, *, as_of: date) -> Standing | None:
    """The place that a draft would take if it were published on a day, None where it has no grade."""
    graded, review = drafted.graded, drafted.review
    if graded.grade is None:
        return None
    would_be = Entry(
        seq=1 + max((entry.seq for entry in recorded.entries), default=0),
        release=review.release,
        title=review.title,
        released_on=review.released_on,
        price_class=review.price_class,
        log_price=review.log_price,
        product_format=review.product_format,
        stage=review.stage,
        published_on=as_of.isoformat(),
        recorded_at="",
        rubric=rubric.hash,
        facts=review.facts,
        grade=graded.grade,
        lowest=graded.lowest,
        highest=graded.highest,
        unknown_points=graded.unknown_points,
        applying_points=graded.applying_points,
        withdrawn=0,
        id="",
    )
    rubrics = recorded.rubrics(recorded.entries) | {rubric.hash: rubric.text}
    rows = standings.standings([*recorded.entries, would_be], rubrics, as_of=as_of)
    return next(row for row in rows if row.release == review.release)


def table(recorded: Recorded, *, as_of: date, entries: Sequence[Entry] | None = None) -> ScoreTable:
    """The current reviews as one table of scores, in the order of the standings as of a day."""
    from rating.doubt.score_table import table_of

    rows = rank(recorded, as_of=as_of, entries=entries)
    scores = recorded.ledger.scores([row.seq for row in rows])
    return table_of(rows, scores, recorded.rubrics(recorded.entries))


def stability(recorded: Recorded, slug: str = "", *, as_of: date) -> Stability:
    """How firm a release's place is, or without one the leader's and the order of all.

    Raises
    ------
    RatingError
        if the release has no place, or none has one
    """
    from rating.doubt import stability as doubt  # numpy is loaded where doubt is asked for

    placed(recorded, slug, as_of=as_of)
    return doubt.stability(table(recorded, as_of=as_of), slug)


def placed(recorded: Recorded, slug: str = "", *, as_of: date) -> str:
    """A release that has a place: the one named, or without a name the leader.

    Raises
    ------
    RatingError
        if the release has no place, or none has one
    """
    places = table(recorded, as_of=as_of).places()
    if not places:
        raise RatingError(
            "no release has a place yet",
            where=folder.LEDGER_FILE,
            fix="record one with 'boxwright grade RELEASE --record'",
        )
    if slug and slug not in places:
        raise RatingError(
            f"{text.printable(slug)} has no place",
            where=folder.LEDGER_FILE,
            fix=text.hinted(slug, places, f"use one of the ranked releases: {', '.join(sorted(places))}"),
        )
    return slug or next(iter(places))


def landing(recorded: Recorded, slug: str, **options: Any) -> Landing:
    """What moved when a release first took a place; options as `rating.doubt.ranges.ranges` takes them.

    Raises
    ------
    RatingError
        if it was not recorded, or had no place
    """
    from rating.doubt.landing import landing as landed  # numpy is loaded where doubt is asked for
    from rating.doubt.ranges import ranges

    told = sorted(recorded.entries, key=lambda entry: (entry.published_on, entry.seq))
    own = [place for place, entry in enumerate(told) if entry.release == slug]
    if not own:
        raise RatingError(
            f"{text.printable(slug)} was not recorded yet, so it has not landed",
            where=folder.LEDGER_FILE,
            fix=text.hinted(
                slug,
                {one.release for one in recorded.entries},
                f"record it with 'boxwright grade {text.printable(slug)} --record'",
            ),
        )
    for first in own:
        after = table(recorded, as_of=date.max, entries=told[: first + 1])
        if slug in after.places():
            before = table(recorded, as_of=date.max, entries=told[:first])
            day = told[first].published_on
            return landed(before, after, slug, reviewed_on=day, ranges=ranges(after, **options))
    raise RatingError(
        f"{slug} has no place yet: too much of it is unknown",
        where=folder.LEDGER_FILE,
        fix="record it again when more is known",
    )
