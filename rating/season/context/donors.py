"""Whose prices a release goes by before it has sales of its own: its earlier editions, then all others."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal

from rating.errors import RatingError
from rating.facts import scarcity
from rating.facts.context import Demand, Donor
from rating.facts.economics.compute import economics
from rating.facts.economics.value import Economics
from rating.facts.worth.carrying import donors_of, gathered
from rating.facts.worth.matching import has_enough
from rating.season.context.editions import earlier_editions
from rating.season.files import SeasonFiles

# gives who was wanted in a season on a day, by what releases other than one sold for
Wanted = Callable[[SeasonFiles, date, str], Mapping[str, Demand] | None]


def has_own_prices(files: SeasonFiles, slug: str, day: date) -> bool:
    """Whether nothing is carried over to a release on a day: its own sales are enough, or it has no cards."""
    release = files.release(slug)
    if not release.cards:
        return True
    if not release.sales:
        return False
    return has_enough(release.sales, files.lasting(slug).lines, files.config.currency, day)


def donors(files: SeasonFiles, slug: str, day: date, wanted: Wanted) -> tuple[Donor, ...]:
    """What the sales of other releases up to a day say of a release's prices, from the likest on.

    After its earlier editions all releases of the season lend, the newest first, and those of earlier seasons
    where this one has sold nothing. Amounts in another currency are not carried over.
    """
    alike = [season for season in files.earlier if season.config.currency == files.config.currency]
    editions = [edition for edition in earlier_editions(files, files.sheet(slug)) if edition[0] in alike]

    def others() -> list[tuple[Donor, ...]]:
        for season in (files, *alike):
            lent = [
                _sold_up_to(season, other, day, wanted)
                for other in _newest_first(season)
                if (season, other) not in editions and (season, other) != (files, slug)
            ]
            if any(lent):
                return lent
        return []

    return gathered(
        (_sold_up_to(season, other, day, wanted, same_line=True) for season, other in editions), others
    )


def _newest_first(files: SeasonFiles) -> list[str]:
    """The releases that have sales on file.

    One whose files have errors is passed over: what is carried over is named, and `check` names errors.
    """
    found = []
    for slug in files.slugs_with_sales:
        try:
            files.release(slug)
        except RatingError:
            continue
        found.append((files.sheet(slug).released_on or date.min, slug))
    return [slug for _, slug in sorted(found, reverse=True)]


def _sold_up_to(
    files: SeasonFiles, slug: str, day: date, wanted: Wanted, *, same_line: bool = False
) -> tuple[Donor, ...]:
    """What a release's own usable sales up to a day say, for others to carry over."""
    release = files.release(slug)
    if not any(sale.day <= day for sale in release.sales or ()):
        return ()
    kept = files.lasting(slug)
    return donors_of(
        release,
        kept.lines,
        kept.of(scarcity.SECTION),
        files.config.currency,
        day,
        wanted=wanted(files, day, slug),
        box=_box(files, slug, day),
        same_line=same_line,
    )


def _box(files: SeasonFiles, slug: str, day: date) -> Decimal | None:
    costs = economics(files.release(slug), files.context, as_of=day)
    return costs.main.box_price if isinstance(costs, Economics) and costs.main else None
