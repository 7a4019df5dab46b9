"""Sell sheets in prose: what is found, with the words it came from, and what is written when asked to."""

from __future__ import annotations

import tomllib
from datetime import date

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


# ---------------------------------------------------------------- other layouts and languages
def told(text, *, order="day first", currency="EUR", name="sheet.txt", cards=()):
    """What a text says, as pairs of place and value; doubtful values begin with a question mark."""
    from rating.release.intake import grid, sell_sheet
    from rating.release.intake.values import SeasonWords

    season = SeasonWords(currency=currency, date_order=order, decimal_mark=",")
    whole = grid.read_data(text.encode(), name)[0]
    assert sell_sheet.is_sell_sheet(whole)
    found = sell_sheet.read(whole, season, today=date(2031, 1, 1), title="2031 Cordage", cards=cards)
    return {(one.where, one.shown if one.sure else f"? {one.shown}") for one in found.proposals}, found


BROKEN = """\
BRACKWATER 2031 CORDAGE

Quay Side comes 14 boxes to a case, 12 packs to a box and 5 cards to a pack.
Suggested price is $12.33 per pack and $ 990.00 a case. Look for three
autographs per Quay Side box, guaranteed. One relic card in every other Quay Side
box, on average.

Orders close on 27.08.2031. Release date: 01.10.2031. Redemptions must be claimed
by 25.11.2032. Cordage is now in its sixth year. The base set has 90 cards.
"""


def test_a_text_broken_to_a_width_is_read_as_it_runs_on():
    """Sentences go over line ends; of three dates one is the release's."""
    found, whole = told(BROKEN, currency="USD")
    assert {
        ("formats.quay-side.cards_per_pack", "5"),
        ("formats.quay-side.packs_per_box", "12"),
        ("formats.quay-side.boxes_per_case", "14"),
        ("formats.quay-side.guarantees", "what autograph, count 3, per box, certainty hard"),
        ("formats.quay-side.guarantees", "what relic, count 0.5, per box, certainty average"),
        ("prices.csv", "format quay-side, unit pack, kind list, price 12.33, currency USD"),
        ("prices.csv", "format quay-side, unit case, kind list, price 990.00, currency USD"),
        ("date", "2031-10-01"),
        ("since", "2026"),
    } <= found
    assert whole.base_size == 90


GERMAN = """\
Takelwerk 2031

Hobby: 20 Packungen mit je 6 Karten, 8 Boxen im Karton. UVP 48,00 € je Box, 355,00 € je Karton.
Jede Hobby-Box enthält zwei Autogramme (garantiert) und im Schnitt ein Relikt.
Kiosk: 1 Packung mit 20 Karten pro Box, 12 Boxen pro Karton.

Erscheint am 12. März 2031, Bestellschluss 1. Februar 2031. Die Reihe gibt es seit 2019.
"""


def test_another_language_is_read():
    """Units, numbers, prices with a decimal comma, months and what the dates are of."""
    found, _ = told(GERMAN)
    assert {
        ("formats.hobby.cards_per_pack", "6"),
        ("formats.hobby.packs_per_box", "20"),
        ("formats.hobby.boxes_per_case", "8"),
        ("formats.kiosk.cards_per_pack", "20"),
        ("formats.kiosk.packs_per_box", "1"),
        ("formats.hobby.guarantees", "what autograph, count 2, per box, certainty hard"),
        ("formats.hobby.guarantees", "what relic, count 1, per box, certainty average"),
        ("prices.csv", "format hobby, unit box, kind list, price 48.00, currency EUR"),
        ("prices.csv", "format hobby, unit case, kind list, price 355.00, currency EUR"),
        ("date", "2031-03-12"),
        ("since", "2019"),
    } <= found


LIST = """\
BOX OFFICE
- 10 cards per pack
- Packs per box: 8
- Boxes per case: 10
- MSRP box: £108.95
- Every Box Office box holds five hits, at least 3 of them autographs on average
- There are 6 numbered cards in each Box Office box, guaranteed

Wharf box
• 5 cards per pack
• 24 packs per box
"""


def test_bullets_are_lines_of_their_own_and_a_minimum_is_no_second_promise():
    """Three of the five hits are autographs; a format may have a unit in its name."""
    found, _ = told(LIST, currency="GBP")
    assert {value for where, value in found if where == "formats.box-office.guarantees"} == {
        "what hit, count 5, per box, certainty average",
        "what numbered, count 6, per box, certainty hard",
    }
    assert ("formats.wharf.packs_per_box", "24") in found


COLUMNS = """\
;Quay;Wharf
Cards / pack;8;10
Packs per box;12;8
SRP per box;170,95 €;54,33 EUR
Autographs per box (on average);9;
"""
ROWS = """\
Format|Cards per pack|Packs / box|SRP per box|Autographs per box (on average)
Quay|8|12|170,95 €|9
Wharf|10|8|54,33 EUR|
"""


@pytest.mark.parametrize("table", [COLUMNS, ROWS])
def test_a_table_has_a_column_or_a_row_a_format(table):
    """Labels say what the numbers are, whichever side they stand on."""
    found, _ = told(table, name="sheet.csv")
    assert {one for one in found if one[0] != "headline"} == {
        ("formats.quay.cards_per_pack", "8"),
        ("formats.wharf.cards_per_pack", "10"),
        ("formats.quay.packs_per_box", "12"),
        ("formats.wharf.packs_per_box", "8"),
        ("formats.quay.guarantees", "what autograph, count 9, per box, certainty average"),
        ("prices.csv", "format quay, unit box, kind list, price 170.95, currency EUR"),
        ("prices.csv", "format wharf, unit box, kind list, price 54.33, currency EUR"),
    }


def test_two_values_for_one_key_are_never_sure():
    """Both are shown, each with the row it stands in."""
    found, whole = told(
        "Hobby: 8 cards per pack, 12 packs per box. $99.00 a box.\n\nEach Hobby pack has 10 cards.\n"
    )
    assert {value for where, value in found if where.endswith("cards_per_pack")} == {"? 8", "? 10"}
    problems = [one for one in whole.accounts[0].problems if one.code == "two-values"]
    assert [(one.row, one.what) for one in problems] == [
        (1, "hobby: cards per pack is stated as 8 and 10"),
        (3, "hobby: cards per pack is stated as 8 and 10"),
    ]


def test_what_is_not_understood_is_named():
    """A sentence with a count that nobody can place, and a price that is not the maker's."""
    _, whole = told(
        "Hobby: 8 cards per pack, 12 packs per box. $99.00 a box.\n\nThe dealer pays $70 a box. SRP $5.\n"
    )
    assert [(one.code, one.row) for one in whole.accounts[0].problems] == [
        ("other-price", 3),
        ("unread-sentence", 3),
    ]


@pytest.mark.parametrize(
    ("sentence", "promise"),
    [
        ("One box in six holds a relic.", "what relic, count 0.166667, per box, certainty hard"),
        ("Find one autograph in every fourth case.", "what autograph, count 0.25, per case, certainty hard"),
        ("At least two rookies per pack.", "what rookie, count 2, per pack, certainty hard"),
        ("Four inserts a box on average.", "what insert, count 4, per box, certainty average"),
    ],
)
def test_promises_however_they_are_said(sentence, promise):
    """How many, of what, in how many of what."""
    found, _ = told(f"Hobby: 8 cards per pack, 12 packs per box, 6 boxes per case. {sentence}\n")
    assert ("formats.hobby.guarantees", promise) in found


def test_odds_in_a_sell_sheet_are_read_as_odds(intake, table):
    """They are no promises."""
    intake(("cards.csv", CARDS))
    text = """\
BRACKWATER 2031 CORDAGE
Hobby: 8 cards per pack, 12 packs per box. $99.00 a box.
Retail: 6 cards per pack, 20 packs per box.
Release date: October 16, 2031.

Storm Heads: one in 6 hobby packs
Wharf Signatures: 1:24 hobby packs
"""
    result = intake(("sheet.txt", text))
    assert not any(one.where.endswith("guarantees") for one in result.proposals)
    assert any(one.where == "formats.hobby.packs_per_box" for one in result.proposals)
    assert table("odds.csv") == (
        "subset,parallel,format,packs_per_copy\nStorm Heads,,hobby,6\nWharf Signatures,,hobby,24\n"
    )


def test_promises_that_the_odds_contradict_are_told(intake):
    """Three of three: every Hobby box cannot hold what falls once in 140 packs."""
    subsets = ("Base", "Storm Heads", "Wet Ropes", "Tar Barrels")
    cards = "Card,Player,Set\n" + "".join(f"{n}-1,A Bell,{name}\n" for n, name in enumerate(subsets))
    intake(("cards.csv", cards))
    text = """\
BRACKWATER 2031 CORDAGE
Hobby: 8 cards per pack, 14 packs per box, 10 boxes per case. $99.00 a box.
Look for one Storm Heads card per Hobby box, guaranteed.
Look for one Wet Ropes card per Hobby box, guaranteed.
Look for one Tar Barrels card per Hobby box, guaranteed.
"""
    odds = "Card,Hobby\nStorm Heads,1:140\nWet Ropes,1:280\nTar Barrels,1:140\n"
    result = intake(("sheet.txt", text), ("odds.csv", odds), yes=True)
    told = (
        "3 of 3 promises contradict the odds, so one or the other was read or typed wrongly:"
        " the maker promises 1 Storm Heads insert a box, and the odds give 0.0996 to 0.1 a box"
    )
    assert told in result.notes


def test_a_small_table_with_tabs_among_sentences(proposed):
    """Tabs are a table's own, in however few lines they stand."""
    result = proposed(
        "CORDAGE 2031\n\nFormat\tCards / pack\tPacks / box\tBoxes per case\tMSRP per box\n"
        "Hobby\t8\t12\t14\t$276.50\n\nEvery Hobby box holds five autographs on average.\n"
        "Every Hobby box holds two inserts on average.\nOrders close on 2034-01-01. Stock is limited.\n"
    )
    found = {one.where: one.value for one in result.proposals}
    assert found["formats.hobby.cards_per_pack"] == 8
    assert found["formats.hobby.packs_per_box"] == 12
    assert found["formats.hobby.boxes_per_case"] == 14


def test_a_table_among_sentences_keeps_the_blank_cell_over_its_labels(proposed):
    """Each column says what its own format holds."""
    result = proposed(
        "TARN 2031 CORDAGE\n\n;Hobby;Matinee\nCards per pack;12;4\nPacks per box;6;10\n\n"
        "Every Hobby box holds two hits.\nEvery Matinee box holds five inserts.\n"
        "The boxes are wrapped in recycled paper.\nCollectors asked for a larger picture.\nHere it is.\n"
    )
    assert {
        ("formats.hobby.cards_per_pack", "12"),
        ("formats.hobby.packs_per_box", "6"),
        ("formats.matinee.cards_per_pack", "4"),
        ("formats.matinee.packs_per_box", "10"),
    } <= found(result)


def test_words_between_a_format_and_its_packing_are_passed_over(proposed):
    """'Lantern, sold in hobby shops: 12-pack boxes' is the format Lantern."""
    result = proposed(
        "BRACKWATER 2031 CORDAGE\n\n"
        "Lantern, sold in hobby shops: 12-pack boxes of 8 cards a pack.\n"
        "Quay, sold everywhere: 6-pack boxes of 6 cards a pack.\n"
    )
    assert {
        ("formats.lantern.packs_per_box", "12"),
        ("formats.lantern.cards_per_pack", "8"),
        ("formats.quay.packs_per_box", "6"),
        ("formats.quay.cards_per_pack", "6"),
    } <= found(result)
