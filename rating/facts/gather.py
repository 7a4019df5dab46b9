"""All sections of a release's facts, gathered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from rating.facts.chances.value import Chances
from rating.facts.content.compute import content
from rating.facts.content.value import Content
from rating.facts.context import SeasonContext
from rating.facts.earlier.compute import Before, earlier
from rating.facts.economics.compute import economics
from rating.facts.facts import Facts
from rating.facts.falling.collation import Collation
from rating.facts.falling.lines import Line, lines_of
from rating.facts.history.value import History
from rating.facts.opening.value import Opening
from rating.facts.people.compute import people
from rating.facts.plain import Unknown
from rating.facts.scarcity.value import Scarcity
from rating.facts.worth.carrying import Donor
from rating.release.release import Release


@dataclass(frozen=True, slots=True, kw_only=True)
class Lasting:
    """What follows from a release's own files whatever the day, its prices and who is wanted."""

    lines: tuple[Line, ...]
    collations: Mapping[str, Collation]
    content: Content | Unknown
    scarcity: Scarcity | Unknown
    chances: Chances | Unknown
    opening: Opening | Unknown


def lasting(release: Release, teams: Mapping[str, str]) -> Lasting:
    """The facts of a release that no day changes, so that they can be worked out once for many days.

    Parameters
    ----------
    teams : the season's teams by all their spellings, as `SeasonContext.team_names` gives them
    """
    # scipy is loaded where facts are asked for
    from rating.facts.chances.compute import chances
    from rating.facts.opening.compute import opening
    from rating.facts.scarcity.compute import scarcity

    formats, has_odds = release.sheet.formats, bool(release.odds)
    lines = lines_of(release)
    copies, collations = scarcity(formats, lines, has_odds=has_odds)
    return Lasting(
        lines=lines,
        collations=collations,
        content=content(release.cards, release.parallels, teams),
        scarcity=copies,
        chances=chances(formats, lines, collations, release.opened, has_odds=has_odds),
        opening=opening(formats, lines, collations),
    )


def gather(
    release: Release,
    season: SeasonContext,
    history: History,
    *,
    as_of: date,
    before: Before | None = None,
    kept: Lasting | None = None,
    donors: Sequence[Donor] = (),
    carried_on: date | None = None,
) -> Facts:
    """The facts of a release as of a day. What the files do not hold yet becomes a section that says so.

    Parameters
    ----------
    before : the edition before, None where none is known
    kept : what `lasting` gives for this release and the season's teams, worked out here where it is not given
    donors : prices of other releases, for where this one has too few sales
    carried_on : the day as of which they are carried over, `as_of` where none is given
    """
    # scipy is loaded where facts are asked for
    from rating.facts.advice.best_slot import best_slot
    from rating.facts.advice.compute import advice
    from rating.facts.completing.compute import base_set, price_of_single
    from rating.facts.returns.compute import returns
    from rating.facts.values.compute import valuation

    sheet = release.sheet
    same = kept or lasting(release, season.team_names())
    lines, copies, collations = same.lines, same.scarcity, same.collations
    costs = economics(release, season, as_of=as_of)
    worth = valuation(
        release.sales,
        lines,
        copies,
        season,
        released_on=sheet.released_on,
        as_of=as_of,
        donors=donors,
        carried_on=carried_on,
    )
    each = worth if isinstance(worth, Unknown) else [line.values for line in worth.lines]
    error = Decimal(0) if isinstance(worth, Unknown) else worth.level_error
    who = people(
        release.cards,
        season,
        released_on=sheet.released_on,
        as_of=as_of,
        lines=lines,
        collation=collations.get(sheet.headline),
    )
    sets = base_set(
        sheet.formats,
        lines,
        collations,
        costs,
        price_of_single(release.sales, lines, season, as_of=as_of),
    )
    brings = returns(costs, lines, collations, each, copies, level_error=error)
    found = Facts(
        release=sheet.slug,
        title=sheet.title,
        maker=sheet.maker,
        line=sheet.line,
        released_on=sheet.released_on,
        headline=sheet.headline,
        season=season,
        economics=costs,
        content=same.content,
        people=who,
        scarcity=copies,
        chances=same.chances,
        completing=sets,
        opening=same.opening,
        values=worth,
        returns=brings,
        history=history,
        earlier=earlier(release, costs, before, currency=season.currency),
        lines=lines,
        collations=collations,
        cards=release.cards,
        parallels=release.parallels,
        odds=release.odds,
    )
    # what a slot is worth follows from all of it
    asked = best_slot(found, [one for one in release.slots or () if one.day <= as_of])
    return replace(
        found,
        advice=advice(
            costs,
            same.content,
            who,
            sets,
            worth,
            brings,
            lines,
            collations,
            season,
            released_on=sheet.released_on,
            last_sale=max((one.day for one in release.sales or () if one.day <= as_of), default=None),
            asked=asked,
        ),
    )
