"""Prices to carry over: what the sales of another release say, as plain values without its cards.

Before a release has sales of its own, its earlier editions lend it theirs, and where these are few all other
releases do, each alike. What goes along is what a price goes by: kind, copies, rookie, subjects, how much
these were wanted in their own season, the week after that release came out, and what a box of it goes for.

Others join an edition while there are under 200 prices, and up to that; more would drown the edition. Who
lends does not hang on the price of the box: a lender that comes or goes at the border of a class would let a
dearer box be worth more. Prices carried over go by kind, copies, rookie, week and demand, not by subjects:
most are others, and a fit without them takes milliseconds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal

from rating import text
from rating.facts.context import Demand, Donor
from rating.facts.falling.lines import CardLine
from rating.facts.plain import Unknown
from rating.facts.scarcity.value import Scarcity
from rating.facts.worth.matching import copies_by_card, sorted_out
from rating.release.release import Release

# so many prices tell kinds, copies and rookies apart; other releases join only where an edition has fewer
ENOUGH = 200
# more prices take longer and say no more
MOST = 2000


def donors_of(
    release: Release,
    lines: Sequence[CardLine],
    scarcity: Scarcity | Unknown,
    currency: str,
    as_of: date,
    *,
    wanted: Mapping[str, Demand] | None = None,
    box: Decimal | None = None,
    same_line: bool = False,
) -> tuple[Donor, ...]:
    """What a release's usable sales up to a day say, by the rules of its own values, the newest first.

    Parameters
    ----------
    wanted : how much its subjects were wanted by what other releases sold for, by names as compared
    box : what a headline box of it goes for
    same_line : whether it is an earlier edition of the one that it lends to
    """
    known = wanted or {}
    used, _ = sorted_out(release.sales or (), lines, currency, as_of)
    copies = copies_by_card(lines, scarcity)
    since = release.sheet.released_on or min((one.sale.day for one in used), default=as_of)
    found = []
    for one in sorted(used, key=lambda one: one.sale.day, reverse=True):
        card = lines[one.line].cards[one.card]
        subjects = tuple(map(text.key, card.subjects))
        found.append(
            Donor(
                kind=card.kind,
                copies=copies[one.line][one.card],
                price=one.sale.price,
                rookie=bool(card.rookie),
                subjects=subjects,
                week=max(0.0, (one.sale.day - since).days / 7),
                presale=one.sale.day < since,
                release=release.sheet.title,
                demand=tuple(known[who].demand if who in known else None for who in subjects),
                box=box,
                same_line=same_line,
            )
        )
    return tuple(found)


def gathered(
    editions: Iterable[tuple[Donor, ...]], others: Callable[[], Sequence[tuple[Donor, ...]]]
) -> tuple[Donor, ...]:
    """The prices of some editions, the newest first, while there are fewer than enough; then those of others.

    Parameters
    ----------
    others : gives what each other release lends; each is asked for as many prices as any other
    """
    found: list[Donor] = []
    for donors in editions:
        found += donors
        if len(found) >= ENOUGH:
            break
    if len(found) < ENOUGH:
        lent = [donors for donors in others() if donors]
        each = min(ENOUGH, (ENOUGH - len(found) if found else MOST) // max(len(lent), 1))
        for donors in lent:
            found += _spread(donors, each)
    return tuple(found[:MOST])


def _spread(donors: Sequence[Donor], count: int) -> Sequence[Donor]:
    """So many prices, evenly out of all weeks."""
    if len(donors) <= count:
        return donors
    return [donors[place * len(donors) // count] for place in range(count)]
