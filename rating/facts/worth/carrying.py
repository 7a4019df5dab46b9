"""Prices to carry over: what the sales of another release say, as plain values without its cards.

Before a release has sales of its own, an earlier edition and releases of the same class lend it theirs. What
goes along is what a price goes by: kind, copies, rookie, subjects and the week after that release came out.

Releases of the class join an edition while there are under 200 prices; more would let one large release drown
the edition. Prices carried over go by kind, copies, rookie, week and demand, not by subjects: most are
others, and a fit without them takes milliseconds.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from rating import text
from rating.facts.context import Donor
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
    release: Release, lines: Sequence[CardLine], scarcity: Scarcity | Unknown, currency: str, as_of: date
) -> tuple[Donor, ...]:
    """What a release's usable sales up to a day say, by the rules of its own values, the newest first."""
    used, _ = sorted_out(release.sales or (), lines, currency, as_of)
    copies = copies_by_card(lines, scarcity)
    since = release.sheet.released_on or min((one.sale.day for one in used), default=as_of)
    found = []
    for one in sorted(used, key=lambda one: one.sale.day, reverse=True):
        card = lines[one.line].cards[one.card]
        found.append(
            Donor(
                kind=card.kind,
                copies=copies[one.line][one.card],
                price=one.sale.price,
                rookie=bool(card.rookie),
                subjects=tuple(map(text.key, card.subjects)),
                week=max(0.0, (one.sale.day - since).days / 7),
                presale=one.sale.day < since,
                release=release.sheet.title,
            )
        )
    return tuple(found)


def gathered(each: Iterable[tuple[Donor, ...]]) -> tuple[Donor, ...]:
    """The prices of some releases, the likest first: others join while there are fewer than enough."""
    found: list[Donor] = []
    for donors in each:
        if len(found) >= ENOUGH:
            break
        found += donors
    return tuple(found[:MOST])
