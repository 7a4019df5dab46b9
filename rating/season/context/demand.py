"""Who is wanted in a season on a day: worked out from the sales of its releases, nudged by demand.csv."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from rating.errors import RatingError
from rating.facts.context import Demand
from rating.facts.section import Lasting
from rating.facts.worth.value import SubjectEffect
from rating.season import cache
from rating.season.folder import SEASON_FILE

_KIND = "demand"
# an evening asks for one or two days; a history asks for many, and keeps the last of them
_MOST_DAYS = 4


class SeasonDemand:
    """The demand for a season's subjects, worked out once a day and read from each release's sales once.

    What a release's sales say up to its last one is kept beside its catalogue, see `rating.season.cache`.

    Parameters
    ----------
    season : the season's folder
    slugs : the releases that have sales
    read : gives what follows from a release's own files, by its slug
    nudges : the host's own word, by the names of subjects as compared
    """

    def __init__(
        self,
        season: Path,
        slugs: Sequence[str],
        read: Callable[[str], Lasting],
        *,
        currency: str,
        nudges: Mapping[str, Demand] | None,
    ) -> None:
        self._season, self._slugs, self._read = season, slugs, read
        self._currency, self._nudges = currency, nudges
        self._said: dict[str, _Said] = {}
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
        if slug not in self._said and (said := self._said_by(slug)) is not None:
            self._said[slug] = said
        said = self._said.get(slug)
        days = [sold for sold in said.days if sold <= day] if said else []
        if said is None or not days:
            return ()
        # between two sales nothing changes
        last = max(days)
        if last not in said.effects:
            said.effects[last] = self._worked_out(slug, last)
            self._keep(slug, said)
        return said.effects[last]

    def _said_by(self, slug: str) -> _Said | None:
        """What a release's sales were found to say, None where its files hold errors."""
        text = cache.read(self._season, slug, _KIND, beside=(SEASON_FILE,))
        if text is not None:
            return _read_back(text)
        own = self._own(slug)
        return None if own is None else _Said({sale.day for sale in own.files.sales or ()}, {})

    def _worked_out(self, slug: str, last: date) -> tuple[SubjectEffect, ...]:
        from rating.facts.values.compute import subject_effects  # numpy is loaded where there are sales

        own = self._own(slug)
        return () if own is None else subject_effects(own, self._currency, as_of=last)

    def _keep(self, slug: str, said: _Said) -> None:
        own = self._own(slug)
        if own is not None:
            owner = own.files.sheet.checklist_of
            cache.write(self._season, slug, _KIND, _written(said), owner=owner, beside=(SEASON_FILE,))

    def _own(self, slug: str) -> Lasting | None:
        """What follows from a release's files, for the sake of its sales; None where these hold errors."""
        if slug not in self.left_out:
            try:
                return self._read(slug)
            except RatingError as fault:
                self.left_out[slug] = fault.what
        return None


class _Said(NamedTuple):
    """The days on which a release's cards were sold, and what the sales up to some of them say."""

    days: set[date]
    effects: dict[date, tuple[SubjectEffect, ...]]


def _written(said: _Said) -> str:
    effects = {
        last.isoformat(): [[one.subject, str(one.value), str(one.error), one.sales] for one in found]
        for last, found in list(said.effects.items())[-_MOST_DAYS:]
    }
    return json.dumps({"days": sorted(map(str, said.days)), "effects": effects}, ensure_ascii=False)


def _read_back(text: str) -> _Said:
    plain = json.loads(text)
    effects = {
        date.fromisoformat(last): tuple(
            SubjectEffect(subject=subject, value=Decimal(value), error=Decimal(error), sales=sales)
            for subject, value, error, sales in found
        )
        for last, found in plain["effects"].items()
    }
    return _Said({date.fromisoformat(day) for day in plain["days"]}, effects)
