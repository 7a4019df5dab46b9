"""What is left to do before the next recording: for releases that are due, and where files outran a review.

What outran a review is told from days, stages, scores and the rubric, without working anything out; whether
anything else has moved, `whole` finds by grading each release anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from rating import text
from rating.errors import RatingError, errors_in
from rating.release import ROOKIES
from rating.release.release import Release
from rating.season import calendar, folder, pricing
from rating.season import outrun as outrunning
from rating.season.outrun import Need
from rating.season.season import Season
from rating.season.settings import help_lines

__all__ = ["DAYS", "Due", "Need", "Tonight", "in_order", "not_reviewed", "tonight"]

# releases that come out within so many days are due
DAYS = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A release with what it needs. `why` is why it is looked at; `day` None where it is not known."""

    release: str
    title: str
    day: date | None
    why: str
    needs: tuple[Need, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tonight:
    """What is left to do on a day.

    season
        what concerns all releases
    due
        releases that come out soon, and those without a review that are out
    outrun
        releases whose files have moved on since their review
    later
        releases that are still further off, with their days
    """

    day: date
    season: tuple[Need, ...]
    due: tuple[Due, ...]
    outrun: tuple[Due, ...]
    later: tuple[tuple[str, date], ...]


def tonight(season: Season, *, days: int = DAYS, whole: bool = False) -> Tonight:
    """What is left to do.

    Parameters
    ----------
    days : how far ahead a release is due
    whole : grade each reviewed release anew, to find whatever else moved
    """
    due, later = not_reviewed(season, days=days)
    outrun = []
    for slug in season.files.slugs:
        entry = season.recorded.current.get(slug)
        if entry is None:
            continue  # it was never reviewed, or withdrawn
        try:
            sheet = season.files.sheet(slug)
        except RatingError:
            due.append(_unreadable(slug))
            continue
        day = sheet.released_on
        needs = tuple(outrunning.needs(season, slug, entry, whole=whole))
        if day is not None and season.today < day <= season.today + timedelta(days=days):
            why = f"{_when(day, season.today)}; reviewed at the stage {entry.stage}"
            needs = (*_missing(season, slug), *needs)
            due.append(Due(release=slug, title=sheet.title, day=day, why=why, needs=needs))
        elif needs:
            why = f"reviewed on {entry.published_on} at the stage {entry.stage}"
            outrun.append(Due(release=slug, title=sheet.title, day=day, why=why, needs=needs))
    return Tonight(
        day=season.today,
        season=tuple(_of_season(season)),
        due=tuple(in_order(due)),
        outrun=tuple(outrun),
        later=tuple(sorted(later, key=lambda one: one[1])),
    )


def not_reviewed(season: Season, *, days: int) -> tuple[list[Due], list[tuple[str, date]]]:
    """The releases that were never reviewed: those due within so many days, and those that come out later."""
    due, later = [], []
    for slug in season.files.slugs:
        if season.recorded.of(slug):
            continue
        try:
            sheet = season.files.sheet(slug)
        except RatingError:
            due.append(_unreadable(slug))
            continue
        day = sheet.released_on
        if day is not None and day > season.today + timedelta(days=days):
            later.append((slug, day))
        else:
            needs, why = tuple(_missing(season, slug)), _when(day, season.today)
            due.append(Due(release=slug, title=sheet.title, day=day, why=why, needs=needs))
    return due, later


def in_order(due: Iterable[Due]) -> list[Due]:
    """Releases by their days, those without one last."""
    return sorted(due, key=lambda one: (one.day or date.max, one.release))


def _unreadable(slug: str) -> Due:
    need = Need(what="its release.toml has errors or blanks", settle=f"boxwright check {slug}")
    return Due(release=slug, title=slug, day=None, why="its day is not known", needs=(need,))


def _when(day: date | None, today: date) -> str:
    if day is None:
        return "no date yet"
    number = (day - today).days
    if number > 0:
        return f"comes out on {day.isoformat()}, in {text.count(number, 'day')}"
    return f"out since {day.isoformat()}, and not reviewed" if number else "comes out today"


def _of_season(season: Season) -> Iterator[Need]:
    """What all releases lack: the rookie class, and help lines that are missing or old."""
    if not (season.path / ROOKIES.file).exists():
        what = f"{ROOKIES.file} is missing, so nobody knows how much of the rookie class a release has"
        yield Need(what=what, settle=f"write {ROOKIES.file}: subject,team,since")
    for problem in help_lines.problems(season.path, today=season.today):
        yield Need(what=problem.what, settle=problem.fix)


def _missing(season: Season, slug: str) -> Iterator[Need]:
    """What a release that is due still lacks, in the order in which one does it."""
    release, problems = folder.read_release(season.path, slug)
    if errors := errors_in(problems):
        yield Need(what=f"{text.count(len(errors), 'error')} in its files", settle=f"boxwright check {slug}")
    for rows, what in ((release.cards, "checklist"), (release.odds, "odds")):
        if not rows:
            yield Need(what=f"no {what} yet", settle=f"boxwright intake {slug} FILE")
    yield from _prices(season, slug, release)
    if release.sheet.disclosure is None:
        yield Need(
            what="it does not say how you came by the product, and nothing is recorded without that",
            settle=f"fill in [disclosure] in {folder.RELEASES}/{slug}/release.toml",
        )
    yield from _scores(season, slug)
    end = calendar.embargo_of(season.files, release.sheet)
    if end is not None and end > season.today:
        what = f"under embargo until {end.isoformat()}"
        yield Need(what=what, settle="keep it to yourself until then; exports leave it out")
    if slug not in season.recorded.current:
        yield Need(what="no review yet", settle=f"boxwright grade {slug} --record")


def _prices(season: Season, slug: str, release: Release) -> Iterator[Need]:
    headline = release.sheet.headline
    if not headline:
        sheet = f"{folder.RELEASES}/{slug}/release.toml"
        yield Need(what="no format is described yet", settle=f"fill in [formats] in {sheet}")
        return
    settle = f"boxwright price {slug} {headline} AMOUNT"
    days = [one.day for one in release.prices or () if one.format == headline and one.day <= season.today]
    if not days:
        yield Need(what=f"no price for {headline} boxes yet", settle=settle)
    elif old := pricing.last_seen(max(days), season.today):
        yield Need(what=old.removesuffix(".").lower().replace("the price", "its price", 1), settle=settle)


def _scores(season: Season, slug: str) -> Iterator[Need]:
    """The scores that only a person can give and nobody has."""
    asked = [
        one.key
        for one in season.rubric.criteria
        if (module := season.files.modules.get(one.key)) is not None and module.criterion.find is None
    ]
    try:
        given = {one.criterion for one in season.files.judgements(slug)}
    except RatingError:
        return  # told among the errors of its files
    if left := [key for key in asked if key not in given]:
        yield Need(what=f"no score yet for {text.listed(left)}", settle=f"boxwright grade {slug} --ask")
