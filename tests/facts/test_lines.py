"""A release as lines: each subset in each version, where it can be found, and what promises speak of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from rating.facts.falling.lines import lines_of
from rating.release.checklist import Card, Odds, Parallel
from rating.release.release import Release
from rating.release.sheet import Format, Guarantee, Sheet

FORMATS = tuple(
    Format(key=key, name=key, cards_per_pack=Decimal(5), packs_per_box=4, boxes_per_case=2)
    for key in ("hobby", "retail")
)
SHEET = Sheet(
    slug="deep-harbour",
    title="Marlow 2031 Deep Harbour",
    maker="Marlow",
    line="Deep Harbour",
    released_on=date(2031, 3, 12),
    formats=FORMATS,
    headline="hobby",
    disclosure=None,
)


def card(subset, number, kind="base", run=None, **more):
    """A card of the checklist."""
    plain = {"rookie": False, "signed": "", "relic": "", "variation": False, "redemption": False, "note": ""}
    return Card(subset, kind, number, ("Orla Fenn",), (), print_run=run, row=2, **(plain | more))


def release(cards, parallels=(), odds=()):
    """A release with these tables."""
    return Release(
        sheet=SHEET,
        cards=tuple(cards),
        parallels=tuple(Parallel(*one, 2) for one in parallels),
        odds=tuple(Odds(*one[:3], Decimal(one[3]), "", 2) for one in odds),
    )


def test_a_subset_is_followed_by_its_parallels_and_copies_are_print_runs_summed():
    """Two cards of 50 and 60 are 110 copies; a parallel numbered to 10 of two cards is 20."""
    lines = lines_of(
        release(
            [card("Ink", "1", "autograph", 50), card("Ink", "2", "autograph", 60), card("Base", "1")],
            [("ink", "Gold", 10, ()), ("Base", "Mist", None, ())],
        )
    )
    assert [(one.name, one.copies) for one in lines] == [
        ("Ink", 110),
        ("Ink Gold", 20),
        ("Base", None),
        ("Base Mist", None),
    ]


def test_a_line_without_odds_in_a_format_that_has_odds_is_not_in_it():
    """Odds in one format and a dash in the other mean that it is not in the other."""
    cards = [card("Ink", "1", "autograph"), card("Base", "1")]
    odds = [("Ink", "", "hobby", 15), ("Base", "Gold", "retail", 9)]
    lines = lines_of(release(cards, [("Base", "Gold", 10, ("retail",)), ("Base", "Mist", None, ())], odds))
    assert {one.name: one.formats for one in lines} == {
        "Ink": ("hobby",),
        "Base": ("hobby", "retail"),
        "Base Gold": ("retail",),
        "Base Mist": ("hobby", "retail"),
    }


def test_odds_of_one_format_say_nothing_of_a_format_without_any():
    """Retail has no odds yet, so the line may be in it."""
    lines = lines_of(release([card("Ink", "1", "autograph")], (), [("Ink", "", "hobby", 15)]))
    assert lines[0].formats == ("hobby", "retail")


@pytest.mark.parametrize(
    ("kind", "parallel", "run", "promises"),
    [
        ("base", "", None, {"base"}),
        ("base", "Gold", 10, {"parallel", "numbered"}),
        ("insert", "", None, {"insert"}),
        ("autograph", "", None, {"autograph", "hit"}),
        ("relic", "", 99, {"relic", "hit", "numbered"}),
        ("autograph relic", "", None, {"autograph", "relic", "autograph relic", "hit"}),
    ],
)
def test_a_promise_speaks_of_the_lines_of_its_kind(kind, parallel, run, promises):
    """A signed relic is an autograph, a relic and a hit; a parallel of the base set is no base card."""
    ladder = [("Set", parallel, run, ())] if parallel else []
    line = lines_of(release([card("Set", "1", kind, None if parallel else run)], ladder))[-1]
    every = ("autograph", "relic", "autograph relic", "hit", "insert", "numbered", "parallel", "base")
    assert {what for what in every if line.is_of(what)} == promises | ({"parallel"} if parallel else set())


@pytest.mark.parametrize(
    ("count", "per", "mist"),
    [("3", "pack", "0.375"), ("12", "box", "0.375"), ("1", "pack", "1"), ("1.2", "pack", "1")],
)
def test_odds_of_one_to_one_are_what_a_promise_of_several_leaves(count, per, mist):
    """Three parallels a pack of four a box: Green at 1:3 brings a third, and Mist 8/3, which is 1:0.375."""
    promise = Guarantee(what="parallel", count=Decimal(count), per=per, hard=True)
    packed = replace(FORMATS[0], guarantees=(promise,))
    cards, ladder = [card("Base", "1")], [("Base", "Mist", None, ()), ("Base", "Green", 99, ())]
    odds = [("Base", "Mist", "hobby", 1), ("Base", "Green", "hobby", 3), ("Base", "Mist", "retail", 1)]
    made = release(cards, ladder, odds)
    lines = lines_of(replace(made, sheet=replace(SHEET, formats=(packed, FORMATS[1]))))
    assert lines[1].odds == {"hobby": Decimal(mist), "retail": 1}
    assert lines[2].odds == {"hobby": 3}


def test_a_line_of_variations_is_not_the_base_set():
    """They share its numbers and its kind, and still are found apart."""
    lines = lines_of(release([card("Photo", "1", variation=True), card("Base", "1")]))
    assert [one.is_base for one in lines] == [False, True]


def test_no_checklist_is_no_lines():
    """Nothing is made up."""
    assert lines_of(Release(sheet=SHEET)) == ()
