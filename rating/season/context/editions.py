"""The earlier editions of a release: those of its line in the seasons before."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from rating import text
from rating.facts.context import Before
from rating.facts.economics.compute import economics
from rating.facts.economics.value import Economics, FormatEconomics
from rating.facts.history.value import Edition, History
from rating.release.sheet import Sheet
from rating.season.files import SeasonFiles


def earlier_editions(files: SeasonFiles, sheet: Sheet) -> Iterator[tuple[SeasonFiles, str]]:
    """The earlier editions of a release, at most one a season, newest first: each season with the slug."""
    for season in files.earlier:
        for slug, other in season.sheets.items():
            is_named = bool(sheet.earlier) and slug == sheet.earlier
            if is_named or (not sheet.earlier and text.key(other.line) == text.key(sheet.line)):
                yield season, slug
                break


def history(files: SeasonFiles, slug: str) -> History:
    """What the earlier seasons know of a release's line, newest first."""
    sheet = files.sheet(slug)
    editions = tuple(_edition(season, other) for season, other in earlier_editions(files, sheet))
    return History(line=sheet.line, since=sheet.since, editions=editions)


def _edition(files: SeasonFiles, slug: str) -> Edition:
    """What a later season wants to know of a release of this one."""
    costs = economics(files.release(slug), files.context, as_of=date.max)
    main = costs.main if isinstance(costs, Economics) else None
    entry = files.recorded.current.get(slug)
    kept = files.recorded.ledger.scores([entry.seq])[entry.seq] if entry else []
    return Edition(
        season=files.config.name,
        release=slug,
        title=files.sheet(slug).title,
        list_price=main.list_price if main else None,
        street_price=main.street_price if main else None,
        launch_price=_launched_at(main, files.sheet(slug).released_on) if main else None,
        grade=entry.grade if entry else None,
        scores={scored.criterion: scored.score for scored in kept if scored.score is not None},
    )


def _launched_at(main: FormatEconomics, released_on: date | None) -> Decimal | None:
    """The first street price of a box from its release on, None where no later one can stand beside it."""
    seen = [one.box for one in main.prices if one.kind == "street" and one.day >= (released_on or one.day)]
    return seen[0] if len(seen) > 1 else None


def edition_before(files: SeasonFiles, slug: str) -> Before | None:
    """The newest earlier edition of a release with its files and all prices that its season knows."""
    newest = next(earlier_editions(files, files.sheet(slug)), None)
    if newest is None:
        return None
    season, other = newest
    return Before(release=season.release(other), season=season.context)
