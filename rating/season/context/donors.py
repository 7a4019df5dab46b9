"""Whose prices a release goes by before it has sales of its own: its earlier editions, then its class."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from rating.errors import RatingError
from rating.facts import scarcity
from rating.facts.context import Donor
from rating.facts.economics.compute import economics
from rating.facts.economics.value import Economics
from rating.facts.worth.carrying import donors_of, gathered
from rating.facts.worth.matching import has_enough
from rating.season.context.editions import earlier_editions
from rating.season.context.frozen import with_class
from rating.season.files import SeasonFiles


def has_own_prices(files: SeasonFiles, slug: str, day: date) -> bool:
    """Whether nothing is carried over to a release on a day: its own sales are enough, or it has no cards."""
    release = files.release(slug)
    if not release.cards:
        return True
    if not release.sales:
        return False
    return has_enough(release.sales, files.lasting(slug).lines, files.config.currency, day)


def donors(files: SeasonFiles, slug: str, day: date) -> tuple[Donor, ...]:
    """What the sales of other releases up to a day say of a release's prices, from the likest on."""
    return gathered(_sold_up_to(season, other, day) for season, other in _likest(files, slug, day))


def _likest(files: SeasonFiles, slug: str, day: date) -> Iterator[tuple[SeasonFiles, str]]:
    """Releases to carry prices over from: earlier editions, then those of its class.

    Of a class the newest come first, those of earlier seasons only where this one has none. Amounts in
    another currency are not carried over.
    """
    alike = [season for season in files.earlier if season.config.currency == files.config.currency]
    editions = [edition for edition in earlier_editions(files, files.sheet(slug)) if edition[0] in alike]
    yield from editions
    own_class = _class_on(files, slug, day)
    has_sold = False
    for season in (files, *alike):
        for other in _sold_in_class(season, own_class, day):
            if (season, other) not in editions and (season, other) != (files, slug):
                has_sold = has_sold or bool(_sold_up_to(season, other, day))
                yield season, other
        if has_sold:
            return


def _class_on(files: SeasonFiles, slug: str, day: date) -> str:
    """The price class of a release as of a day, blank where it is not known."""
    season = with_class(files.context, files.recorded, slug, day)
    costs = economics(files.release(slug), season, as_of=day)
    return costs.price_class if isinstance(costs, Economics) else ""


def _sold_in_class(files: SeasonFiles, price_class: str, day: date) -> list[str]:
    """The releases of a class that have sales on file, the newest first; none of no class.

    One whose files have errors is passed over: what is carried over is named, and `check` names errors.
    """
    alike = []
    for slug in files.slugs_with_sales if price_class else ():
        try:
            if _class_on(files, slug, day) == price_class:
                alike.append((files.sheet(slug).released_on or date.min, slug))
        except RatingError:
            continue
    return [slug for _, slug in sorted(alike, reverse=True)]


def _sold_up_to(files: SeasonFiles, slug: str, day: date) -> tuple[Donor, ...]:
    """What a release's own usable sales up to a day say, for others to carry over."""
    release = files.release(slug)
    if not release.sales:
        return ()
    kept = files.lasting(slug)
    return donors_of(release, kept.lines, kept.of(scarcity.SECTION), files.config.currency, day)
