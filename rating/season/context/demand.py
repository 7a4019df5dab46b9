"""Who is wanted in a season on a day: worked out from the sales of its releases, nudged by demand.csv."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date

from rating.errors import RatingError
from rating.facts.context import Demand
from rating.facts.section import Lasting
from rating.facts.worth.value import SubjectEffect


class SeasonDemand:
    """The demand for a season's subjects, worked out once a day and read from each release's sales once.

    Parameters
    ----------
    slugs : the releases that have sales
    read : gives what follows from a release's own files, by its slug
    nudges : the host's own word, by the names of subjects as compared
    """

    def __init__(
        self,
        slugs: Sequence[str],
        read: Callable[[str], Lasting],
        *,
        currency: str,
        nudges: Mapping[str, Demand] | None,
    ) -> None:
        self._slugs, self._read, self._currency, self._nudges = slugs, read, currency, nudges
        self._effects: dict[tuple[str, date], tuple[SubjectEffect, ...]] = {}
        self._demand: dict[tuple[date, str], Mapping[str, Demand] | None] = {}
        # what is wrong in the files of releases whose sales do not count
        self.left_out: dict[str, str] = {}

    def on(self, day: date, *, without: str = "") -> Mapping[str, Demand] | None:
        """The demand by sales up to a day, by names as compared; None where nobody says.

        Parameters
        ----------
        without : a release whose sales do not count
        """
        apart = without if self.speaks(without, day) else ""
        if (day, apart) not in self._demand:
            others = [slug for slug in self._slugs if slug != apart]
            self._demand[day, apart] = self._together([self._effects_of(slug, day) for slug in others])
        return self._demand[day, apart]

    def speaks(self, slug: str, day: date) -> bool:
        """Whether the sales of a release up to a day say who is wanted."""
        return slug in self._slugs and bool(self._effects_of(slug, day))

    def _together(self, effects: Sequence[Sequence[SubjectEffect]]) -> Mapping[str, Demand] | None:
        told = [own for own in effects if own]
        if not told:
            return self._nudges or None
        from rating.facts.worth.demand import demand  # numpy is loaded where there are sales

        return demand(told, self._nudges)

    def _effects_of(self, slug: str, day: date) -> tuple[SubjectEffect, ...]:
        """What the subjects of a release do to its prices, by its sales up to a day."""
        own = self._own(slug)
        days = [sale.day for sale in (own.files.sales or () if own else ()) if sale.day <= day]
        if own is None or not days:
            return ()
        # between two sales nothing changes
        last = max(days)
        if (slug, last) not in self._effects:
            from rating.facts.values.compute import subject_effects  # numpy is loaded where there are sales

            self._effects[slug, last] = subject_effects(own, self._currency, as_of=last)
        return self._effects[slug, last]

    def _own(self, slug: str) -> Lasting | None:
        """What follows from a release's files, for the sake of its sales; None where these hold errors."""
        if slug not in self.left_out:
            try:
                return self._read(slug)
            except RatingError as fault:
                self.left_out[slug] = fault.what
        return None
