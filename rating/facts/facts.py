"""All sections of a release's facts, gathered."""

from __future__ import annotations

from datetime import date

from rating.facts.content import content
from rating.facts.earlier import Before, earlier
from rating.facts.economics import economics
from rating.facts.lines import lines_of
from rating.facts.people import people
from rating.facts.values import Facts, History, SeasonContext, Unknown
from rating.release.release import Release


def gather(
    release: Release,
    season: SeasonContext,
    history: History,
    *,
    as_of: date,
    before: Before | None = None,
) -> Facts:
    """The facts of a release as of a day. What the files do not hold yet becomes a section that says so.

    Parameters
    ----------
    before : the edition before, None where none is known
    """
    # scipy is loaded where facts are asked for
    from rating.facts.advice import advice
    from rating.facts.base_set import base_set, price_of_single
    from rating.facts.copies import scarcity
    from rating.facts.pack_by_pack import opening
    from rating.facts.payout import returns
    from rating.facts.pulls import chances
    from rating.facts.valuation import valuation

    sheet = release.sheet
    lines = lines_of(release)
    costs = economics(release, season, as_of=as_of)
    copies, collations = scarcity(sheet.formats, lines, has_odds=bool(release.odds))
    worth = valuation(release.sales, lines, copies, season, released_on=sheet.released_on, as_of=as_of)
    each = worth if isinstance(worth, Unknown) else [line.values for line in worth.lines]
    held = content(release.cards, release.parallels, season.team_names())
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
    brings = returns(costs, lines, collations, each)
    return Facts(
        release=sheet.slug,
        title=sheet.title,
        maker=sheet.maker,
        line=sheet.line,
        released_on=sheet.released_on,
        headline=sheet.headline,
        season=season,
        economics=costs,
        content=held,
        people=who,
        scarcity=copies,
        chances=chances(sheet.formats, lines, collations, release.opened, has_odds=bool(release.odds)),
        completing=sets,
        opening=opening(sheet.formats, lines, collations),
        values=worth,
        returns=brings,
        advice=advice(
            costs,
            held,
            who,
            sets,
            worth,
            brings,
            lines,
            collations,
            season,
            released_on=sheet.released_on,
            last_sale=max((one.day for one in release.sales or () if one.day <= as_of), default=None),
        ),
        history=history,
        earlier=earlier(release, costs, before, currency=season.currency),
        lines=lines,
        collations=collations,
        cards=release.cards,
        parallels=release.parallels,
        odds=release.odds,
    )
