"""The facts of a release from its files, ready to be asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from types import MappingProxyType
from typing import Any, TypeVar

from rating.facts import sections
from rating.facts.context import Before, Demand, Donor, SeasonContext
from rating.facts.facts import Facts
from rating.facts.history.value import History
from rating.facts.section import Lasting, Section
from rating.release.release import Release

T = TypeVar("T")


def lasting(release: Release, teams: Mapping[str, str]) -> Lasting:
    """The facts of a release that no day changes, so that they are worked out once for many days.

    Parameters
    ----------
    teams : the season's teams by all their spellings, as `SeasonContext.team_names` gives them
    """
    how = {one.key: one.lasting for one in sections.SECTIONS if one.lasting is not None}
    return Lasting(how, files=release, teams=teams)


def gather(
    release: Release,
    season: SeasonContext | Callable[[], SeasonContext],
    history: History | Callable[[], History],
    *,
    as_of: date,
    rules: SeasonContext | None = None,
    before: Before | Callable[[], Before | None] | None = None,
    kept: Lasting | None = None,
    donors: Sequence[Donor] | Callable[[], Sequence[Donor]] = (),
    wanted_before: Mapping[str, Demand] | Callable[[], Mapping[str, Demand]] = MappingProxyType({}),
    carried_on: date | None = None,
) -> Facts:
    """The facts of a release as of a day. What the files do not hold yet becomes a section that says so.

    Nothing is worked out before it is asked for; what is given as a function is called then.

    Parameters
    ----------
    rules : the season without who is wanted, which is all that most sections need; `season` where not given
    before : the edition before, None where none is known
    kept : what `lasting` gives for this release and the season's teams, worked out here where it is not given
    donors : prices of other releases, for where this one has too few sales
    wanted_before : who was wanted in earlier seasons, by names as compared; prices carried over go by it
        where this season does not know
    carried_on : the day as of which they are carried over, `as_of` where none is given
    """
    how: dict[str, Callable[[Facts], Any]] = {
        "season": _when_asked(season),
        "history": _when_asked(history),
        "before": _when_asked(before),
        "donors": _when_asked(donors),
        "wanted_before": _when_asked(wanted_before),
        "lasting": lambda facts: kept or lasting(release, facts.rules.team_names()),
    }
    if rules is not None:
        how["rules"] = _when_asked(rules)
    for one in sections.SECTIONS:
        if one.lasting is not None:
            how[one.key] = _lasting(one)
        elif one.compute is not None:
            how[one.key] = one.compute
    return Facts(how, files=release, as_of=as_of, carried_on=carried_on)


def _when_asked(value: T | Callable[[], T]) -> Callable[[object], T]:
    return lambda _: value() if callable(value) else value


def _lasting(section: Section[Any]) -> Callable[[Facts], Any]:
    return lambda facts: facts.lasting.of(section)
