"""Who is in it: forms of the rookie class, wanted subjects with their chances, and teams by any spelling."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from rating.facts.content.compute import content
from rating.facts.context import Buying, Demand, Rookie, SeasonContext
from rating.facts.falling.collation import collate
from rating.facts.falling.lines import lines_of
from rating.facts.people.compute import people
from rating.facts.plain import Unknown
from rating.release.checklist import Card, Odds
from rating.release.release import Release
from rating.release.sheet import Format, Sheet

HOBBY = Format(key="hobby", name="Hobby", cards_per_pack=Decimal(5), packs_per_box=10, boxes_per_case=4)
SHEET = Sheet(
    slug="x",
    title="X",
    maker="M",
    line="L",
    released_on=date(2031, 3, 12),
    formats=(HOBBY,),
    headline="hobby",
    disclosure=None,
)


def card(subset, number, kind, *subjects, teams=("Otters",), run=None):
    """A card of the checklist."""
    return Card(subset, kind, number, subjects, teams, False, run, "", "", False, False, "", 2)


CARDS = (
    card("Base", "1", "base", "Ada"),
    card("Base", "2", "base", "Bo", teams=("OTT",)),
    card("Ink", "1", "autograph", "Ada", run=30),
    card("Ink", "2", "autograph", "Cy", run=10),
    card("Night", "1", "insert", "Di", teams=("Rooks",)),
)


def season(demand=None, rookies=None):
    """A season of two teams, one of them known by a code too."""
    return SeasonContext(
        name="Trial 2031",
        currency="USD",
        teams=("Brindle Quay Otters", "Kelderby Rooks"),
        rookies=None if rookies is None else tuple(Rookie(subject=n, team="", since=None) for n in rookies),
        classes=(),
        buying=Buying(),
        aliases={
            "otters": "brindle quay otters",
            "ott": "brindle quay otters",
            "rooks": "kelderby rooks",
        },
        demand=demand,
    )


def wanted(**demand):
    """Demand by name."""
    return {
        name.casefold(): Demand(subject=name, demand=Decimal(size), basis="nudge", why="")
        for name, size in demand.items()
    }


def found(demand=None, rookies=None):
    """The section, with autographs at 1:4."""
    odds = (Odds("Ink", "", "hobby", Decimal(4), "", 2),)
    lines = lines_of(Release(sheet=SHEET, cards=CARDS, parallels=(), odds=odds))
    return people(
        CARDS,
        season(demand, rookies),
        released_on=date(2031, 3, 12),
        as_of=date(2031, 7, 15),
        lines=lines,
        collation=collate(HOBBY, lines),
    )


def test_the_forms_of_the_rookie_class():
    """Cy only signs, Bo has a base card only, Ada has both, Eve nothing."""
    section = found(rookies=("Ada", "Bo", "Cy", "Eve"))
    assert section.rookies_only_signing == ("Cy",)
    assert section.rookies_only_base == ("Bo",)
    assert section.rookies_missing == ("Eve",)


def test_who_is_wanted_is_plainly_unknown_without_demand():
    """No sales and no demand.csv: nobody is guessed at."""
    section = found()
    assert isinstance(section.wanted, Unknown)
    assert "neither sales nor demand.csv say" in section.wanted.why
    assert (section.wanted_missing, section.signer_demand) == ((), None)


def test_the_wanted_are_those_of_84_and_more_with_their_cards_and_chances():
    """Ada has 30 of 40 signed copies at 1:4: 1 - (1 - 0.1875)^10; Bo at 83 is not wanted; Fay has no card."""
    section = found(wanted(Ada=90, Bo=83, Fay=86, Di=84))
    assert [(one.subject, one.cards, one.signatures) for one in section.wanted] == [
        ("Ada", 2, 1),
        ("Di", 1, 0),
    ]
    assert [one.subject for one in section.wanted_missing] == ["Fay"]
    ada, di = section.wanted
    # base: 50 cards less 2.5 autographs over two cards, so that a base card of hers is next to certain
    assert float(ada.per_box) == pytest.approx(47.5 / 2 + 2.5 * 0.75)
    assert ada.team == "Brindle Quay Otters"
    assert (di.per_box, di.p_box) == (None, None)  # nothing says how often Night falls


def test_the_demand_of_signers_counts_the_unnamed_as_typical():
    """Ada 90 and Cy, of whom nobody speaks, 50: the mean is 70."""
    assert found(wanted(Ada=90)).signer_demand == 70


def test_counts_by_team_merge_codes_and_aliases():
    """Otters and OTT are one team, shown as the season writes it."""
    counted = content(CARDS, (), season().team_names())
    assert [(one.team, one.cards) for one in counted.teams] == [
        ("Brindle Quay Otters", 4),
        ("Kelderby Rooks", 1),
    ]
