"""Documents of unusual shapes, written out by hand, each with the facts that a person reads from it."""

from __future__ import annotations

import csv
import io
import tomllib
from dataclasses import replace
from datetime import date

import pytest

from rating.release.intake import TeamWords


@pytest.fixture
def cards(table):
    """The checklist's rows, as dicts."""
    return lambda: list(csv.DictReader(io.StringIO(table("checklist.csv"))))


@pytest.fixture
def rows(table):
    """The rows of a table, as tuples of their first cells that are not blank everywhere."""
    return lambda name: [tuple(row.values()) for row in csv.DictReader(io.StringIO(table(name)))]


def picked(rows, *columns):
    """The values of some columns, a tuple a row."""
    return [tuple(row[column] for column in columns) for row in rows]


PAGE = """# Slipway 2033

## Base

| | Helm | of | |
|--:|:--|:--|:-:|
| 1 | Ana Birk | Quay |  |
| 2 | Olaf Sten | Mole | **R** |
| ~~2b~~ | ~~Olaf Sten~~ | ~~Quay~~ | withdrawn |
| 3 | Pia Rand | Quay |  |
| 4 | Jon Vik | Mole |  |

- Base comes in
  - Straw
  - Slate, 120 made

## Wet Ink (signatures; each signed on a sticker, 25 of each)

| | Helm | of | |
|--:|:--|:--|:-:|
| WI1 | Ana Birk | Quay |  |
| WI2 | Jon Vik | Mole |  |
| WI3 | Pia Rand | Quay |  |
"""


def test_markdown_is_read_by_its_headings_and_bars(intake, cards, rows, words):
    """Rules are no rows, what is struck out is set aside, and a list below is the ladder."""
    teams = (TeamWords(name="Quay"), TeamWords(name="Mole"))
    result = intake(("page.txt", PAGE), season=replace(words, teams=teams))
    assert picked(cards(), "subset", "number", "subjects", "teams", "rookie", "print_run", "signed") == [
        ("Base", "1", "Ana Birk", "Quay", "", "", ""),
        ("Base", "2", "Olaf Sten", "Mole", "yes", "", ""),
        ("Base", "3", "Pia Rand", "Quay", "", "", ""),
        ("Base", "4", "Jon Vik", "Mole", "", "", ""),
        ("Wet Ink", "WI1", "Ana Birk", "Quay", "", "25", "sticker"),
        ("Wet Ink", "WI2", "Jon Vik", "Mole", "", "25", "sticker"),
        ("Wet Ink", "WI3", "Pia Rand", "Quay", "", "25", "sticker"),
    ]
    assert [one[:3] for one in rows("parallels.csv")] == [("Base", "Straw", ""), ("Base", "Slate", "120")]
    assert (9, "struck out in the file") in [(one.row, one.why) for one in result.set_aside]


ACROSS = """PUNT MAIN - six cards;;;
Nr;1;2;3
Wer;Ana Birk;Olaf Sten;Pia Rand
Wo;Quay;Mole;Quay
;;;
Nr;4;5;6
Wer;Jon Vik;Liv Aas;Tor Eid
Wo;Mole;Quay;Mole
;;;
LONG POLES, three cards signed by hand, forty of each;;;
Nr;LP 1;LP 2;LP 3
Wer;Ana Birk;Jon Vik;Liv Aas
Wo;Quay;Mole;Quay
"""


def test_cards_are_read_across(intake, cards):
    """Numbers stand in a row, persons below them, teams below those; counts are words."""
    intake(("across.csv", ACROSS))
    assert picked(cards(), "subset", "number", "subjects", "teams", "print_run", "kind") == [
        ("Punt Main", "1", "Ana Birk", "Quay", "", "base"),
        ("Punt Main", "2", "Olaf Sten", "Mole", "", "base"),
        ("Punt Main", "3", "Pia Rand", "Quay", "", "base"),
        ("Punt Main", "4", "Jon Vik", "Mole", "", "base"),
        ("Punt Main", "5", "Liv Aas", "Quay", "", "base"),
        ("Punt Main", "6", "Tor Eid", "Mole", "", "base"),
        ("Long Poles", "LP 1", "Ana Birk", "Quay", "40", "autograph"),
        ("Long Poles", "LP 2", "Jon Vik", "Mole", "40", "autograph"),
        ("Long Poles", "LP 3", "Liv Aas", "Quay", "40", "autograph"),
    ]


def test_a_matrix_of_persons_and_subsets_is_read_by_cards(intake, cards, workbook):
    """A sheet a team; what marks mean and what a subset is stands on a sheet of its own."""
    head = ["Puller", "Punt", "Wet Ink", "Cap"]
    book = workbook(
        {
            "About": [
                ["* first season"],
                ["(x) to be redeemed"],
                [],
                ["Set", "What", "Made"],
                ["Punt", "the ordinary cards"],
                ["Wet Ink", "autographs, on stickers", "60 of each"],
                ["Cap", "relics, cut from caps worn in matches", "30 of each"],
            ],
            "Quay": [["Quay"], [], head, ["Ana Birk", 1, "W1", None], ["Pia Rand*", 2, "W2 (x)", "Cap A"]],
            "Mole": [["Mole"], [], head, ["Olaf Sten", 3, None, None], ["Jon Vik", 4, "W3", "Cap B"]],
        }
    )
    intake(("book.xlsx", book))
    found = sorted(
        picked(
            cards(), "subset", "number", "subjects", "teams", "rookie", "print_run", "signed", "redemption"
        )
    )
    assert found == [
        ("Cap", "Cap A", "Pia Rand", "Quay", "yes", "30", "", ""),
        ("Cap", "Cap B", "Jon Vik", "Mole", "", "30", "", ""),
        ("Punt", "1", "Ana Birk", "Quay", "", "", "", ""),
        ("Punt", "2", "Pia Rand", "Quay", "yes", "", "", ""),
        ("Punt", "3", "Olaf Sten", "Mole", "", "", "", ""),
        ("Punt", "4", "Jon Vik", "Mole", "", "", "", ""),
        ("Wet Ink", "W1", "Ana Birk", "Quay", "", "60", "sticker", ""),
        ("Wet Ink", "W2", "Pia Rand", "Quay", "yes", "60", "sticker", "yes"),
        ("Wet Ink", "W3", "Jon Vik", "Mole", "", "60", "sticker", ""),
    ]


STOCK = """SKU,Item,Bin
A1,"2033 Slipway base card no. 1, Ana Birk, Quay",7
A2,"2033 Slipway base card no. 2, Olaf Sten, debut, Mole",7
A3,"2033 Slipway base card no. 3, Pia Rand, Quay",8
X9,"Empty tin",1
A4,"2033 Slipway base card no. 4, Jon Vik, Mole",8
B1,"2033 Slipway autograph (sticker) Wet Ink no. W1, Ana Birk, Quay, 60 made",9
B2,"2033 Slipway autograph (sticker) Wet Ink no. W2, Jon Vik, Mole, 60 made, voucher, card to follow",9
C1,"2033 Slipway insert High Water no. H1, Pia Rand, Quay",9
C2,"2033 Slipway insert High Water no. H2, Liv Aas, Mole",9
"""


def test_cards_are_read_from_descriptions(intake, cards):
    """A stock list tells a card in a cell; what describes none is set aside."""
    result = intake(("stock.csv", STOCK))
    assert picked(cards(), "subset", "number", "subjects", "teams", "rookie", "print_run", "redemption") == [
        ("Base", "1", "Ana Birk", "Quay", "", "", ""),
        ("Base", "2", "Olaf Sten", "Mole", "yes", "", ""),
        ("Base", "3", "Pia Rand", "Quay", "", "", ""),
        ("Base", "4", "Jon Vik", "Mole", "", "", ""),
        ("Wet Ink", "W1", "Ana Birk", "Quay", "", "60", ""),
        ("Wet Ink", "W2", "Jon Vik", "Mole", "", "60", "yes"),
        ("High Water", "H1", "Pia Rand", "Quay", "", "", ""),
        ("High Water", "H2", "Liv Aas", "Mole", "", "", ""),
    ]
    assert [one.row for one in result.set_aside] == [5]


def test_tables_that_point_at_each_other_are_joined(intake, cards, rows):
    """Cards name persons and sets by keys; ladders and odds are tables of keys as well."""
    files = (
        ("cards.csv", "key,set,seq,who,who_2\nK1,A,1,301,\nK3,B,1,301,304\nK2,A,2,304,\nK4,A,3,309,\n"),
        ("who.csv", "id,given,family,club\n301,Ana,Birk-Lund,71\n304,Jon,Vik,72\n309,Pia,Rand,71\n"),
        ("club.csv", "id,nm\n71,Quay Rowers\n72,Mole End\n"),
        ("set.csv", "id,px,nm,cls\nA,PU,Punt,core\nB,WI,Wet Ink,sig:card\n"),
        ("tint.csv", "id,nm,qty\nT0,-,\nT1,Straw,\nT2,Slate,120\n"),
        ("set_tint.csv", "set,tint\nA,T1\nA,T2\n"),
    )
    intake(*files)
    assert picked(cards(), "subset", "number", "subjects", "teams", "kind", "signed") == [
        ("Punt", "PU-1", "Ana Birk-Lund", "Quay Rowers", "base", ""),
        ("Punt", "PU-2", "Jon Vik", "Mole End", "base", ""),
        ("Punt", "PU-3", "Pia Rand", "Quay Rowers", "base", ""),
        ("Wet Ink", "WI-1", "Ana Birk-Lund / Jon Vik", "Quay Rowers / Mole End", "autograph", "card"),
    ]
    assert [one[:3] for one in rows("parallels.csv")] == [("Punt", "Straw", ""), ("Punt", "Slate", "120")]


THREAD = """My Forum > Modern > Slipway 2033 thread

[b]BASE SET[/b] 4 cards

[i]Front row[/i]
1 Ana Birk - Quay
2 Olaf Sten - Mole RC
[i]Back row[/i]
3 Pia Rand - Quay
4 Jon Vik - Mole

base parallels: Straw (unnumbered), Slate (/120),
Dusk (#'d to 30, hobby only)

[b]Wet Ink[/b] hard signed autographs, no stickers, /60 each
WI-1 Ana Birk (Quay); WI-2 Olaf Sten (Mole) RC;
WI-3 Jon Vik (Mole); WI-4 Pia Rand (Quay)

[b]Low Tide[/b] = photo variations, same number as the regular card. known so far: 1 and 4

bo_peep » Mon Sep 29, 2033 7:02 am

pulled Wet Ink 3 tonight, it is a redemption
"""


def test_a_forum_thread_is_read_by_its_bold_headings(intake, cards, rows, words):
    """Inner headings are no subsets, talk is set aside, and numbers alone make variations."""
    teams = (TeamWords(name="Quay"), TeamWords(name="Mole"))
    intake(("thread.txt", THREAD), season=replace(words, teams=teams))
    columns = (
        "subset",
        "number",
        "subjects",
        "teams",
        "rookie",
        "print_run",
        "signed",
        "variation",
        "redemption",
    )
    assert picked(cards(), *columns) == [
        ("Base Set", "1", "Ana Birk", "Quay", "", "", "", "", ""),
        ("Base Set", "2", "Olaf Sten", "Mole", "yes", "", "", "", ""),
        ("Base Set", "3", "Pia Rand", "Quay", "", "", "", "", ""),
        ("Base Set", "4", "Jon Vik", "Mole", "", "", "", "", ""),
        ("Wet Ink", "WI-1", "Ana Birk", "Quay", "", "60", "card", "", ""),
        ("Wet Ink", "WI-2", "Olaf Sten", "Mole", "yes", "60", "card", "", ""),
        ("Wet Ink", "WI-3", "Jon Vik", "Mole", "", "60", "card", "", "yes"),
        ("Wet Ink", "WI-4", "Pia Rand", "Quay", "", "60", "card", "", ""),
        ("Low Tide", "1", "Ana Birk", "Quay", "", "", "", "yes", ""),
        ("Low Tide", "4", "Jon Vik", "Mole", "", "", "", "yes", ""),
    ]
    assert rows("parallels.csv") == [
        ("Base Set", "Straw", "", ""),
        ("Base Set", "Slate", "120", ""),
        ("Base Set", "Dusk", "30", "hobby"),
    ]


def test_codes_in_pairs_and_ladders_in_brackets(intake, cards, rows, workbook):
    """A front sheet explains codes two to a row; a bracket under a heading is the ladder and no run."""
    book = workbook(
        {
            "front": [
                ["Clubs, the way we shorten them"],
                ["QUA", "Quay Rowers", None, "MOL", "Mole End"],
                ["PIE", "Pier Head", None, "WEI", "Weir Foot"],
            ],
            "1": [
                ["SLIPWAY 2033"],
                ["The Crew (the base set, 4 cards)"],
                ["[Straw, not numbered; Slate - 120 of each; Dusk, five of each]"],
                [],
                ["no", "rower", "club"],
                [1, "Ana Birk", "QUA"],
                [2, "Olaf Sten", "MOL"],
                [3, "Pia Rand", "PIE"],
                [4, "Jon Vik", "WEI"],
            ],
            "2": [
                ["SLIPWAY 2033"],
                ["Side by Side - two autographs (stickers), 25 copies"],
                ["No", "First", "her club", "Second", "his club"],
                ["S1", "Ana Birk", "QUA", "Jon Vik", "WEI"],
                ["S2", "Pia Rand", "PIE", "Olaf Sten", "MOL"],
                ["S3", "Liv Aas", "WEI", "Tor Eid", "QUA"],
            ],
        }
    )
    intake(("crew.xlsx", book))
    assert picked(cards(), "subset", "kind", "number", "subjects", "teams", "print_run", "signed") == [
        ("The Crew", "base", "1", "Ana Birk", "Quay Rowers", "", ""),
        ("The Crew", "base", "2", "Olaf Sten", "Mole End", "", ""),
        ("The Crew", "base", "3", "Pia Rand", "Pier Head", "", ""),
        ("The Crew", "base", "4", "Jon Vik", "Weir Foot", "", ""),
        ("Side by Side", "autograph", "S1", "Ana Birk / Jon Vik", "Quay Rowers / Weir Foot", "25", "sticker"),
        ("Side by Side", "autograph", "S2", "Pia Rand / Olaf Sten", "Pier Head / Mole End", "25", "sticker"),
        ("Side by Side", "autograph", "S3", "Liv Aas / Tor Eid", "Weir Foot / Quay Rowers", "25", "sticker"),
    ]
    assert [one[:3] for one in rows("parallels.csv")] == [
        ("The Crew", "Straw", ""),
        ("The Crew", "Slate", "120"),
        ("The Crew", "Dusk", "5"),
    ]


LISTED = """Base
1 Ana Birk, Quay
2 Olaf Sten, Mole
3 Pia Rand, Quay
4 Jon Vik, Mole
Parallels: Straw, Slate /120
"""


ALIGNED = """Packets to one card

                Dock Box     Quay Tin
                --------     --------
Base
  Straw                2            3
  Slate                9            .
"""


@pytest.mark.parametrize(
    "odds",
    [
        "Packs to a card;Base: Straw;Base: Slate\nDock Box;2;9\nQuay Tin;3;\n",
        "Packs to a card;;\n;Base;\n;Straw;Slate\nmade;-;120\nDock Box;2;9\nQuay Tin;3;none\n",
        ALIGNED,
    ],
)
def test_odds_of_any_turn_are_read(intake, rows, odds):
    """A row a format under one or two rows of headings, or columns of blanks with a name indented."""
    intake(("list.txt", LISTED), ("odds.txt", odds))
    found = sorted((one[1], one[2].split("-")[0], one[3]) for one in rows("odds.csv"))
    assert found == [("Slate", "dock", "9"), ("Straw", "dock", "2"), ("Straw", "quay", "3")]


def test_a_matrix_of_parallels_and_subsets(intake, rows):
    """A mark says which subset has a parallel; a remark names the format that it is held to."""
    matrix = "Version;Run;Base;Low Tide;remark\nStraw;;x;;not numbered\nSlate;120;x;x;\nDusk;5;x;;Dock only\n"
    cards = LISTED.replace(
        "Parallels: Straw, Slate /120\n", "Low Tide\nL1 Ana Birk, Quay\nL2 Jon Vik, Mole\n"
    )
    intake(("list.txt", cards), ("matrix.csv", matrix))
    assert rows("parallels.csv") == [
        ("Base", "Straw", "", ""),
        ("Base", "Slate", "120", ""),
        ("Low Tide", "Slate", "120", ""),
        ("Base", "Dusk", "5", "dock"),
    ]


def test_odds_beside_each_other(intake, rows):
    """Two tables under the same headings, each under the name of its format."""
    odds = (
        "Packs per card;;;;;;\nHOBBY;;;;RETAIL;;\nSet;Version;1 in;;Set;Version;1 in\n"
        "Base;Straw;2;;Base;Straw;3\n;Slate;9;;;Slate;14\n"
    )
    intake(("list.txt", LISTED), ("odds.csv", odds))
    assert sorted(one[1:4] for one in rows("odds.csv")) == [
        ("Slate", "hobby", "9"),
        ("Slate", "retail", "14"),
        ("Straw", "hobby", "2"),
        ("Straw", "retail", "3"),
    ]


RECORDS = """Lot 1
  Title     2033 Slipway Ana Birk Slate 14/120
  Ended     9/6/2033
  Realised  £12.50
  Manner    hammer

Lot 2
  Title     2033 Slipway Jon Vik #4
  Ended     11/6/2033
  Realised  £3.10
  Manner    hammer

Lot 3
  Title     2033 Slipway Pia Rand Straw
  Ended     12/6/2033
  Realised  £4.00
  Manner    hammer
"""


def test_records_are_a_table(intake, rows, words):
    """A field a line under the same labels: each record is a sale."""
    season = replace(words, date_order="day first", currency="GBP")
    intake(("list.txt", LISTED), ("lots.txt", RECORDS), season=season, today=date(2033, 7, 1))
    found = [(one[0], one[2], one[3], one[4]) for one in rows("sales.csv")]
    assert found == [
        ("2033-06-09", "Slate", "1", "12.50"),
        ("2033-06-11", "", "4", "3.10"),
        ("2033-06-12", "Straw", "3", "4.00"),
    ]


def test_the_trades_shorthand(intake, rows, release):
    """Counts and prices in a row mean packs, boxes and cases; a parallel's name alone is promised too."""
    sheet = (
        "For the trade\n\n"
        "Dock: 7 × 24 × 6 (cards in a pack, packs in a box, boxes in a case); $3.25 / $74.00 / $430.00\n"
        "Quay: 4 × 48 × 10; $1.75 / – / $790.00\n\n"
        "A Dock box has 8 Slate.\n"
    )
    intake(("list.txt", LISTED), ("trade.txt", sheet), yes=True)
    prices = [(one[1], one[2], one[4]) for one in rows("prices.csv")]
    assert prices == [
        ("dock", "pack", "3.25"),
        ("dock", "box", "74.00"),
        ("dock", "case", "430.00"),
        ("quay", "pack", "1.75"),
        ("quay", "case", "790.00"),
    ]
    told = tomllib.loads((release / "release.toml").read_text(encoding="utf-8"))["formats"]
    packing = ("cards_per_pack", "packs_per_box", "boxes_per_case")
    assert [told["dock"][name] for name in packing] == [7, 24, 6]
    assert [told["quay"][name] for name in packing] == [4, 48, 10]
    promise = told["dock"]["guarantees"][0]
    assert (promise["what"], promise["parallel"], promise["count"], promise["per"]) == (
        "parallel",
        "Slate",
        8,
        "box",
    )


def test_packs_to_a_card_in_a_trade_sheet(intake, rows):
    """Under words that say so a list of names and numbers is odds, and no promise of so many."""
    sheet = (
        "Slipway 33, read over the phone\n\n"
        "how they go in (packs it takes to see one)\n"
        "Dock Box:  Straw 4, Slate 13, Dusk 114\n"
        "Quay Pack:  Straw 5, Dusk 340\n\n"
        "A Dock Box holds 20 packs of 5 cards, and 8 boxes make a case. SRP £65.00 per box.\n"
    )
    ladder = LISTED.replace("Slate /120", "Slate /120, Dusk /5")
    intake(("list.txt", ladder), ("phone.txt", sheet), yes=True)
    assert sorted((one[1], one[2].split("-")[0], one[3]) for one in rows("odds.csv")) == [
        ("Dusk", "dock", "114"),
        ("Dusk", "quay", "340"),
        ("Slate", "dock", "13"),
        ("Straw", "dock", "4"),
        ("Straw", "quay", "5"),
    ]


def test_a_team_shortened_word_by_word(intake, cards, words):
    """'Mole Ath' is Mole Athletic where no other team begins so."""
    teams = (TeamWords(name="Mole Athletic"), TeamWords(name="Quay Rowers"), TeamWords(name="Quay Athletic"))
    listed = "Base\n1 Ana Birk (Mole Ath)\n2 Jon Vik (Quay Row)\n3 Pia Rand (Mole Ath.)\n"
    intake(("list.txt", listed), season=replace(words, teams=teams))
    assert [one["teams"] for one in cards()] == ["Mole Athletic", "Quay Rowers", "Mole Athletic"]
