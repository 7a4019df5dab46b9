"""Sell sheets in prose: what is found, with the words it came from, and what is written when asked to."""

from __future__ import annotations

import tomllib

import pytest

CARDS = """\
Card,Player,Team,Set
1,Pell Skelwith,Bells,Base
2,Una Tarnhowes,Divers,Base
WS-1,Pell Skelwith,Bells,Wharf Signatures
SH-1,Una Tarnhowes,Divers,Storm Heads
"""
PROSE = """\
BRACKWATER 2031 CORDAGE

HOBBY
Each hobby box holds 12 packs of 10 cards; 8 boxes per case. SRP: $149.99 per box.
Look for two autographs per box on average, including one Wharf Signature in every other box.
Three Storm Heads inserts per box. One Sisal parallel in every pack.

Blaster: 5 cards per pack, 6 packs per box, 24 boxes per case, $19.99 a box.

Base set of 2 cards. Release date: October 16, 2031.
"""


@pytest.fixture
def proposed(intake):
    """What a text proposes, as pairs of place and value."""

    def read(prose, **options):
        intake(("cards.csv", CARDS))
        return intake(("sheet.txt", prose), **options)

    return read


def found(result):
    return {(one.where, one.shown) for one in result.proposals}


def test_packing_prices_and_dates_are_found(proposed):
    """By format, with the words they came from."""
    result = proposed(PROSE)
    assert {
        ("formats.hobby.cards_per_pack", "10"),
        ("formats.hobby.packs_per_box", "12"),
        ("formats.hobby.boxes_per_case", "8"),
        ("formats.blaster.cards_per_pack", "5"),
        ("formats.blaster.packs_per_box", "6"),
        ("formats.blaster.boxes_per_case", "24"),
        ("date", "2031-10-16"),
        ("headline", "hobby"),
        ("prices.csv", "format hobby, unit box, kind list, price 149.99, currency USD"),
        ("prices.csv", "format blaster, unit box, kind list, price 19.99, currency USD"),
    } <= found(result)
    words = {one.where: one.words for one in result.proposals}
    assert words["date"] == "Release date: October 16, 2031."


def test_promises_are_found_with_their_certainty(proposed):
    """'On average', 'in every other box', and those that hold in every pack."""
    result = proposed(PROSE)
    promises = {one.shown for one in result.proposals if one.where == "formats.hobby.guarantees"}
    assert {
        "what autograph, count 2, per box, certainty average",
        "what autograph, count 0.5, per box, certainty average, subset Wharf Signatures",
        "what insert, count 3, per box, certainty hard, subset Storm Heads",
        "what parallel, count 1, per pack, certainty hard, parallel Sisal",
    } <= promises


def test_nothing_is_written_unless_it_is_asked_for(proposed, release):
    """They are proposals."""
    result = proposed(PROSE)
    assert not (release / "release.toml").exists()
    assert not any(one.taken for one in result.proposals)


def test_yes_takes_the_sure_ones_and_keeps_comments(proposed, release):
    """A person's file keeps every line it had."""
    own = """\
# mine
format = 1

title = "Cordage"  # the title
maker = "B"
line = "Cordage"

[disclosure]
how_obtained = []
sentence = ""
"""
    (release / "release.toml").write_text(own, encoding="utf-8")
    proposed(PROSE, yes=True)
    text = (release / "release.toml").read_text(encoding="utf-8")
    for line in own.splitlines():
        assert line in text.splitlines()
    told = tomllib.loads(text)
    assert told["formats"]["hobby"]["packs_per_box"] == 12
    assert told["headline"] == "hobby"
    assert str(told["date"]) == "2031-10-16"
    prices = (release / "prices.csv").read_text(encoding="utf-8")
    assert "hobby,box,list,149.99,USD,sheet.txt" in prices
    assert text.index("date =") < text.index("[disclosure]")


def test_yes_twice_writes_nothing_twice(proposed, release):
    """Neither promises nor prices."""
    proposed(PROSE, yes=True)
    before = {path.name: path.read_bytes() for path in release.iterdir()}
    result = proposed(PROSE, yes=True)
    assert {path.name: path.read_bytes() for path in release.iterdir()} == before
    assert not any(one.taken for one in result.proposals)


def test_what_a_person_wrote_stands_against_the_sheet(proposed, release):
    """Both are shown, the file is not changed."""
    own = """\
format = 1
title = "C"
maker = "B"
line = "C"
date = 2031-10-17
headline = "hobby"
[formats.hobby]
packs_per_box = 14
"""
    (release / "release.toml").write_text(own, encoding="utf-8")
    result = proposed(PROSE, yes=True)
    told = tomllib.loads((release / "release.toml").read_text(encoding="utf-8"))
    assert told["formats"]["hobby"]["packs_per_box"] == 14
    assert told["formats"]["hobby"]["cards_per_pack"] == 10
    there = {one.where: one.there for one in result.proposals}
    assert there["date"] == "2031-10-17"
    assert there["formats.hobby.packs_per_box"] == "14"


def test_what_is_loose_is_never_sure(proposed):
    """'About' and 'may' are no promises."""
    result = proposed(
        "Hobby: 8 cards per pack, 14 packs per box. About 70 base cards per box. $99.00 a box.\n"
    )
    base = [one for one in result.proposals if "what base" in one.shown]
    assert [one.sure for one in base] == [False]


def test_a_base_set_of_another_size_is_told(proposed):
    """The sheet says 200, the checklist has 2."""
    result = proposed(PROSE.replace("Base set of 2 cards", "200-card base set"))
    assert any("said to have 200 cards, the checklist has 2" in note for note in result.notes)
