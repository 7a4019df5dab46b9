"""What a person is shown of people: counts, the subjects to chase, and the wanted who are absent."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rating import tenths
from rating.facts.blocks import Block, Listing
from rating.facts.context import Demand
from rating.facts.people.value import People, Wanted
from rating.facts.plain import Unknown
from rating.facts.section import Source

# the first to chase; the JSON answer holds all of them
_MOST = 15


def shown(people: People, _: Source) -> Iterator[Block]:
    """Teams, the rookie class and its forms, then who is wanted."""
    rows: list[tuple[str, object]] = [
        ("teams with a card", len(people.teams_served)),
        ("teams without", len(people.teams_missing)),
    ]
    if people.rookie_class is not None:
        rows += [
            ("rookie class on the release date", people.rookie_class),
            ("rookies with a card", len(people.rookies_carded)),
            ("in the base set", len(people.rookies_in_base)),
            ("with a signature", len(people.rookies_signing)),
            ("signing, no base card", len(people.rookies_only_signing)),
            ("with nothing but base cards", len(people.rookies_only_base)),
        ]
    yield Listing(headers=("who is in it", "number"), rows=rows, right="number")
    for words, names in (
        ("Teams left out", people.teams_missing),
        ("Rookies left out", people.rookies_missing),
        ("Rookies who sign but have no base card", people.rookies_only_signing),
        ("Rookies with nothing but base cards", people.rookies_only_base),
    ):
        if names:
            yield f"{words}: {', '.join(names)}."
    if not isinstance(people.wanted, Unknown):
        yield from _wanted(people.wanted, people.wanted_missing)


def _wanted(wanted: Sequence[Wanted], missing: Sequence[Demand]) -> Iterator[Block]:
    if wanted:
        yield ""
        yield Listing(
            headers=("to chase", "team", "demand", "signed", "relics", "rookie", "cards", "a box", "chance"),
            rows=[
                (
                    one.subject,
                    one.team,
                    tenths.fixed(one.demand, 0),
                    one.signatures or "",
                    one.relics or "",
                    "yes" if one.rookie else "",
                    one.cards,
                    "" if one.per_box is None else tenths.fixed(one.per_box, 2),
                    "" if one.p_box is None else tenths.share(one.p_box) + ("+" if one.at_least else ""),
                )
                for one in wanted[:_MOST]
            ],
            right="demand|signed|relics|cards|a box|chance",
            spare=("a box", "rookie", "relics"),
        )
    if len(wanted) > _MOST:
        yield f"and {len(wanted) - _MOST} more"
    if missing:
        absent = [f"{one.subject} ({tenths.fixed(one.demand, 0)})" for one in missing]
        yield f"Most wanted but missing, with their demand out of 100: {', '.join(absent)}."
