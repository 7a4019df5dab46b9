"""The facts of a season's releases, with what other releases say of them."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from datetime import date
from functools import cached_property

from rating.facts.context import Demand, Donor, SeasonContext
from rating.facts.facts import Facts
from rating.facts.gather import gather
from rating.season.context import editions, frozen
from rating.season.context.demand import SeasonDemand
from rating.season.context.donors import donors, has_own_prices
from rating.season.files import SeasonFiles


class SeasonFacts:
    """Gives the facts of releases; what they share, who is wanted and whose prices count, is kept."""

    def __init__(self, files: SeasonFiles) -> None:
        self.files = files
        self._donors: dict[tuple[str, date], tuple[Donor, ...]] = {}

    @cached_property
    def _demand(self) -> SeasonDemand:
        return _season_demand(self.files)

    @cached_property
    def _demand_before(self) -> tuple[tuple[SeasonFiles, SeasonDemand], ...]:
        """Who was wanted in each earlier season, the newest first."""
        return tuple((season, _season_demand(season)) for season in self.files.earlier)

    def _wanted_before(self, day: date) -> Mapping[str, Demand]:
        """Who was wanted in earlier seasons by sales up to a day, as the newest that knows says."""
        found: dict[str, Demand] = {}
        for _, demand in reversed(self._demand_before):
            found |= demand.on(day) or {}
        return found

    def _wanted_of_others(self, season: SeasonFiles, day: date, slug: str) -> Mapping[str, Demand] | None:
        """Who was wanted in this season or an earlier one, by what releases other than one sold for."""
        known = self._demand if season is self.files else dict(self._demand_before)[season]
        return known.on(day, without=slug)

    def demand(self, day: date) -> Mapping[str, Demand] | None:
        """How much subjects are wanted as of a day, by their names as compared; None where nothing says.

        It is worked out from the sales of all releases up to the day, and nudged by demand.csv. A release
        whose files hold errors says nothing, see `sales_left_out`.
        """
        return self._demand.on(day)

    @property
    def sales_left_out(self) -> Mapping[str, str]:
        """The releases whose sales did not count towards demand, with what is wrong in their files."""
        return self._demand.left_out

    def context(self, slug: str, day: date) -> SeasonContext:
        """What the facts of a release need to know of the season as of a day.

        The demand for its prices leaves out its own sales, and its class is that of its launch review.
        """
        has_own = self._demand.speaks(slug, day)
        return dataclasses.replace(
            self._with_class(slug, day),
            demand=self._demand.on(day),
            demand_elsewhere=self._demand.on(day, without=slug) if has_own else None,
            has_own_sales=has_own,
        )

    def frozen_context(self, slug: str, day: date) -> SeasonContext:
        """As `context`, with who was wanted when the release was last recorded."""
        kept = frozen.with_recorded_demand(self._with_class(slug, day), self.files.recorded, slug)
        return kept or self.context(slug, day)

    def _with_class(self, slug: str, day: date) -> SeasonContext:
        return frozen.with_class(self.files.context, self.files.recorded, slug, day)

    def facts(
        self, slug: str, day: date, *, context: SeasonContext | None = None, carried_on: date | None = None
    ) -> Facts:
        """The facts of a release as of a day.

        Parameters
        ----------
        context : instead of the season as it is on the day
        carried_on : prices of other releases are carried over as of this day, not of the day of the facts
        """
        files = self.files
        return gather(
            files.release(slug),
            context or (lambda: self.context(slug, day)),
            lambda: editions.history(files, slug),
            as_of=day,
            rules=context or self._with_class(slug, day),
            before=lambda: editions.edition_before(files, slug),
            donors=lambda: self._carried(slug, day, carried_on or day),
            wanted_before=lambda: self._wanted_before(carried_on or day),
            carried_on=carried_on,
            kept=files.lasting(slug),
        )

    def _carried(self, slug: str, day: date, carried_on: date) -> tuple[Donor, ...]:
        """Prices of other releases as of a day, for one that has none of its own on another."""
        if has_own_prices(self.files, slug, day):
            return ()
        if (slug, carried_on) not in self._donors:
            self._donors[slug, carried_on] = donors(self.files, slug, carried_on, self._wanted_of_others)
        return self._donors[slug, carried_on]


def _season_demand(files: SeasonFiles) -> SeasonDemand:
    return SeasonDemand(
        files.path,
        files.slugs_with_sales,
        files.lasting,
        currency=files.config.currency,
        nudges=files.nudges,
    )
