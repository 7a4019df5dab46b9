"""Whose prices a release goes by before it has sales of its own: its earlier editions, then its class."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING

from rating.errors import RatingError
from rating.facts.economics.compute import economics
from rating.facts.economics.value import Economics
from rating.season import folder

if TYPE_CHECKING:
    from rating.facts.worth.carrying import Donor
    from rating.season.season import Season


class Lending:
    """The prices that releases lend each other in a season, gathered once for each release and day."""

    def __init__(self, season: Season) -> None:
        self._season = season
        self._gathered: dict[tuple[str, date], tuple[Donor, ...]] = {}

    def to(self, slug: str, day: date, carried_on: date) -> tuple[Donor, ...]:
        """Prices of other releases up to a day, where a release has too few sales of its own by the other."""
        from rating.facts.worth.matching import has_enough

        season, release = self._season, self._season.release(slug)
        if not release.cards:
            return ()
        lines = season.lasting(slug).lines
        if release.sales and has_enough(release.sales, lines, season.config.currency, day):
            return ()
        if (slug, carried_on) not in self._gathered:
            from rating.facts.worth.carrying import gathered

            self._gathered[slug, carried_on] = gathered(
                _sold_up_to(other, lender, carried_on) for other, lender in self._likest(slug, carried_on)
            )
        return self._gathered[slug, carried_on]

    def _likest(self, slug: str, day: date) -> Iterator[tuple[Season, str]]:
        """Releases to carry prices over from: earlier editions, then those of its class.

        Of a class the newest come first, those of earlier seasons only where this one has none. Amounts in
        another currency are not carried over.
        """
        own = self._season
        alike = [one for one in own.earlier if one.config.currency == own.config.currency]
        editions = [one for one in own.earlier_editions(own.sheet(slug)) if one[0] in alike]
        yield from editions
        own_class = _class_on(own, slug, day)
        found = False
        for season in (own, *alike):
            for other in _sold_in_class(season, own_class, day):
                if (season, other) not in editions and (season, other) != (own, slug):
                    found = found or bool(_sold_up_to(season, other, day))
                    yield season, other
            if found:
                return


def _class_on(season: Season, slug: str, day: date) -> str:
    """The price class of a release by what was known on a day, blank where it is not known."""
    costs = economics(season.release(slug), season.plain_context, as_of=day)
    return costs.price_class if isinstance(costs, Economics) else ""


def _sold_in_class(season: Season, price_class: str, day: date) -> list[str]:
    """The releases of a class that have sales on file, the newest first; none of no class.

    One whose files have errors is passed over: what is carried over is named, and `check` names errors.
    """
    found = []
    for other in season.slugs if price_class else ():
        if not (folder.release_folder(season.path, other) / folder.SALES_FILE).is_file():
            continue
        try:
            is_alike = _class_on(season, other, day) == price_class
        except RatingError:
            continue
        if is_alike:
            found.append((season.sheet(other).released_on or date.min, other))
    return [other for _, other in sorted(found, reverse=True)]


def _sold_up_to(season: Season, slug: str, day: date) -> tuple[Donor, ...]:
    """What a release's own usable sales up to a day say, for others to carry over."""
    from rating.facts.worth.carrying import donors_of

    release = season.release(slug)
    if not release.sales:
        return ()
    kept = season.lasting(slug)
    return donors_of(release, kept.lines, kept.scarcity, season.config.currency, day)
