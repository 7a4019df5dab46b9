"""A release against the edition before: every difference planted by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from rating.facts.context import Before, Buying, SeasonContext
from rating.facts.earlier.compute import earlier
from rating.facts.economics.compute import economics
from rating.facts.plain import Unknown
from rating.release.checklist import Card, Parallel
from rating.release.market import Price
from rating.release.release import Release
from rating.release.sheet import Format, Guarantee, Sheet

SEASON = SeasonContext(
    name="Trial 2031",
    currency="USD",
    teams=(),
    rookies=None,
    classes=(),
    buying=Buying(),
    aliases={},
)


def release(year, cards, parallels, listed, autographs, packs=14, retail=False):
    """An edition; cards are (subset, kind, subjects, print run)."""
    formats = [
        Format(
            key=key,
            name=key.title(),
            cards_per_pack=Decimal(8),
            packs_per_box=packs,
            boxes_per_case=10,
            guarantees=(Guarantee(what="autograph", count=Decimal(autographs), per="box", hard=False),),
        )
        for key in (("hobby", "retail") if retail else ("hobby",))
    ]
    return Release(
        sheet=Sheet(
            slug="halyard",
            title=f"Wickfield {year} Halyard",
            maker="Wickfield",
            line="Halyard",
            released_on=date(year, 3, 12),
            formats=tuple(formats),
            headline="hobby",
            disclosure=None,
        ),
        cards=None
        if cards is None
        else tuple(
            Card(subset, kind, str(i), (name,), (), False, run, "", "", False, False, "", i)
            for i, (subset, kind, name, run) in enumerate(cards)
        ),
        parallels=None if parallels is None else tuple(Parallel(*one, (), 2) for one in parallels),
        prices=(Price(date(year, 1, 5), "hobby", "box", "list", Decimal(listed), "", "sheet", 2),),
    )


OLD_CARDS = [
    ("Base", "base", "Ada", None),
    ("Base", "base", "Bo", None),
    ("Ink", "autograph", "Bo", 99),
    ("Tides", "insert", "Cy", None),
]
OLD = release(
    2030, OLD_CARDS, [("Base", "Gold", 50), ("Base", "Mist", None), ("Tides", "Fog", 9)], "150", "2"
)
NEW_CARDS = [
    ("Base", "base", "Ada", None),
    ("Base", "base", "Di", None),
    ("Base", "base", "Eve", None),
    ("Ink", "autograph", "Bo", 49),
    ("Night", "insert", "Ada", None),
]
NEW = release(2031, NEW_CARDS, [("base", "Gold", 25), ("Base", "Pearl", 5)], "165", "3", retail=True)


def before(old=OLD, currency="USD"):
    """The edition before, in a season that counts in a currency."""
    return Before(release=old, season=replace(SEASON, name="Trial 2030", currency=currency))


def section(old=OLD, new=NEW, currency="USD"):
    """The section of the new edition."""
    costs = economics(new, SEASON, as_of=date.max)
    return earlier(new, costs, None if old is None else before(old, currency), currency="USD")


def test_formats_and_packing():
    """Retail is new; hobby is packed as it was."""
    assert [(one.format, one.was, one.now) for one in section().formats] == [
        ("Hobby", "14 packs of 8, 10 boxes a case", "14 packs of 8, 10 boxes a case"),
        ("Retail", "", "14 packs of 8, 10 boxes a case"),
    ]


def test_the_list_price_and_what_is_promised():
    """165 after 150 is a tenth more; three autographs after two."""
    found = section()
    (listed,) = found.prices
    assert (listed.kind, listed.was, listed.now) == ("list", 150, 165)
    assert listed.change == Decimal(str(float(Fraction(1, 10))))
    assert [(one.what, one.was, one.now) for one in found.promises] == [
        ("autographs", 2, 3),
        ("hits", 2, 3),
    ]


def test_subsets_added_dropped_and_kept():
    """Night is new, Tides is gone, Base grew by one."""
    assert {one.subset: (one.was, one.now) for one in section().subsets} == {
        "Base": (2, 3),
        "Ink": (1, 1),
        "Night": (None, 1),
        "Tides": (1, None),
    }


def test_the_ladder_of_subsets_that_both_have():
    """Gold went from 50 to 25, Mist is dropped, Pearl added, and the signed cards from 99 to 49."""
    ladder = section().ladder
    assert {(one.subset, one.parallel): (one.change, one.was, one.now) for one in ladder.changes} == {
        ("Base", "Gold"): ("run", 50, 25),
        ("Base", "Mist"): ("dropped", None, None),
        ("Base", "Pearl"): ("added", None, 5),
        ("Ink", ""): ("run", 99, 49),
    }
    assert (ladder.was, ladder.now) == (2, 2)


def test_who_stayed_came_and_went():
    """Ada and Bo stayed, Di and Eve came, Cy went: half of the four are new."""
    subjects = section().subjects
    assert (subjects.stayed, subjects.came, subjects.went) == (("Ada", "Bo"), ("Di", "Eve"), ("Cy",))
    assert subjects.new == Decimal("0.5")


@pytest.mark.parametrize(
    ("part", "options", "why"),
    [
        ("subjects", {"old": release(2030, None, None, "150", "2")}, "has no checklist.csv"),
        ("subsets", {"new": release(2031, None, None, "165", "3")}, "there is no checklist yet"),
        ("ladder", {"old": release(2030, OLD_CARDS, None, "150", "2")}, "has no list of parallels"),
        ("prices", {"currency": "EUR"}, "priced in EUR, this one in USD"),
    ],
)
def test_a_part_that_cannot_be_compared_says_why(part, options, why):
    """And the other parts still come out."""
    found = section(**options)
    assert why in getattr(found, part).why
    assert found.formats


def test_no_edition_before_is_unknown():
    """A new line."""
    assert section(old=None) == Unknown("no earlier edition is on file")
