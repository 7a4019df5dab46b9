"""How `facts` prints who is in a release, and how it stands against the edition before."""

from __future__ import annotations

from decimal import Decimal

from rating import money, tenths
from rating.cli import common
from rating.facts.earlier.value import Earlier
from rating.facts.people.value import People
from rating.facts.plain import Unknown

# the first to chase; the JSON answer holds all of them
_MOST = 15


def people(found: People) -> None:
    """Print teams, the rookie class and its forms, the subjects to chase and the wanted who are absent."""
    rows: list[tuple[str, object]] = [
        ("teams with a card", len(found.teams_served)),
        ("teams without", len(found.teams_missing)),
    ]
    if found.rookie_class is not None:
        rows += [
            ("rookie class on the release date", found.rookie_class),
            ("of them with a card", len(found.rookies_carded)),
            ("in the base set", len(found.rookies_in_base)),
            ("with a signature", len(found.rookies_signing)),
            ("only signing", len(found.rookies_only_signing)),
            ("with base cards only", len(found.rookies_only_base)),
        ]
    common.table(("who is in it", "number"), rows, right="number")
    for words, names in (
        ("Teams left out", found.teams_missing),
        ("Rookies left out", found.rookies_missing),
        ("Rookies who only sign", found.rookies_only_signing),
        ("Rookies with base cards only", found.rookies_only_base),
    ):
        if names:
            common.paragraph(f"{words}: {', '.join(names)}.")
    if isinstance(found.wanted, Unknown):
        return
    if found.wanted:
        common.say()
        common.table(
            ("to chase", "team", "demand", "cards", "signed", "relics", "rookie", "a box", "chance"),
            [
                (
                    common.shorten(one.subject, 24),
                    common.shorten(one.team, 22),
                    tenths.fixed(one.demand, 0),
                    one.cards,
                    one.signatures or "",
                    one.relics or "",
                    "yes" if one.rookie else "",
                    "" if one.per_box is None else tenths.fixed(one.per_box, 2),
                    "" if one.p_box is None else tenths.share(one.p_box) + ("+" if one.at_least else ""),
                )
                for one in found.wanted[:_MOST]
            ],
            right="demand|cards|signed|relics|a box|chance",
        )
        if len(found.wanted) > _MOST:
            common.say(f"and {len(found.wanted) - _MOST} more")
    if found.wanted_missing:
        absent = [f"{one.subject} ({tenths.fixed(one.demand, 0)})" for one in found.wanted_missing]
        common.paragraph(f"Wanted and absent: {', '.join(absent)}.")


def earlier(found: Earlier) -> None:
    """Print what changed against the edition before."""
    common.say(f"Against {found.title} ({found.season})")
    common.say()
    rows: list[tuple[str, str, str]] = [
        (f"format {one.format}", one.was or "not there", one.now or "not there") for one in found.formats
    ]
    if not isinstance(found.prices, Unknown):
        rows += [(f"headline box, {one.kind}", _money(one.was), _money(one.now)) for one in found.prices]
    rows += [(f"{one.what} a box", _count(one.was), _count(one.now)) for one in found.promises]
    if not isinstance(found.subjects, Unknown):
        rows.append(("subjects", str(found.subjects.was), str(found.subjects.now)))
    if not isinstance(found.ladder, Unknown):
        rows.append(("parallels of subsets in both", str(found.ladder.was), str(found.ladder.now)))
    common.table(("what", "before", "now"), rows)
    if not isinstance(found.subsets, Unknown):
        common.say()
        common.table(
            ("subset", "kind", "cards before", "cards now"),
            [
                (common.shorten(one.subset, 44), one.kind, _there(one.was), _there(one.now))
                for one in found.subsets
            ],
            right="cards before|cards now",
        )
    if not isinstance(found.ladder, Unknown) and found.ladder.changes:
        common.say()
        common.table(
            ("parallel", "of", "change", "run before", "run now"),
            [
                (
                    one.parallel or "the cards themselves",
                    common.shorten(one.subset, 40),
                    {"run": "other print run"}.get(one.change, one.change),
                    one.was or "",
                    one.now or "",
                )
                for one in found.ladder.changes
            ],
            right="run before|run now",
        )


def _money(amount: Decimal | None) -> str:
    return "not known" if amount is None else money.show(amount)


def _count(number: Decimal | None) -> str:
    return "not said" if number is None else tenths.plain(number)


def _there(cards: int | None) -> str:
    return "" if cards is None else str(cards)
