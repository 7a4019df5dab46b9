"""What letters say in sentences of single cards, parallels, formats and days, as a person reads it."""

from __future__ import annotations

import csv
import io

import pytest

NAMES = ("Pell Skelwith", "Una Tarnhowes", "Ida Oxley", "Zeb Merrow", "Orla Dunsley", "Cy Fenwick")
SETS = (("Shore Main", ""), ("Left Hand", "LH0"), ("Pair Up", "D"))
LIST = "Set,No.,Player,Team\n" + "".join(
    f"{name},{start}{i + 1},{who},Tarn Otters\n" for name, start in SETS for i, who in enumerate(NAMES)
)
PACKING = "A Hobby Box holds 12 packs of 6 cards. A Tea Tin holds 2 packs of 20 cards.\n\n"


def told(intake, table, letter, *columns, file="checklist.csv"):
    """Some columns of a table after the list and a letter."""
    intake(("list.csv", LIST), ("letter.txt", letter))
    return [tuple(row[one] for one in columns) for row in csv.DictReader(io.StringIO(table(file)))]


def test_redemptions_of_several_subsets_in_one_sentence(intake, table):
    """Each number is of the subset named last before it; a year is no number of a card."""
    letter = PACKING + (
        "Left Hand no. 2 and no. 4, and the Pair Up D5, will be sent later, against the voucher in their"
        " place, good until the end of 2033.\n"
    )
    cards = told(intake, table, letter, "subset", "number", "redemption")
    assert [one[:2] for one in cards if one[2]] == [
        ("Left Hand", "LH02"),
        ("Left Hand", "LH04"),
        ("Pair Up", "D5"),
    ]


def test_rookies_whom_a_paragraph_lists(intake, table):
    """A card of one of them, from whichever set, is a rookie card."""
    letter = PACKING + (
        "First-year men carry no mark on their cards, so here they are. New to the league are\n"
        "Una Tarnhowes, Zeb Merrow and Cy Fenwick. A card of one of them is a rookie card.\n"
    )
    assert told(intake, table, letter, "rookie")[:6] == [("yes" if i in (1, 3, 5) else "",) for i in range(6)]


def test_persons_in_a_sentence_that_says_more_are_no_list(intake, table):
    """Nor where it denies it."""
    letter = PACKING + (
        "Una Tarnhowes was a rookie when Pell Skelwith had long won all that there was to win in this game,"
        " and he says so to whoever asks him. Zeb Merrow and Cy Fenwick are not rookies.\n"
    )
    assert set(told(intake, table, letter, "rookie")) == {("",)}


LADDER = "\nParallels: Rust, Plum /99, Slate /25\n"


@pytest.mark.parametrize(
    ("said", "held"),
    [
        ("Plum and Slate are in the Hobby Box only.", {"Plum": "hobby", "Slate": "hobby"}),
        ("Slate is never in a Tea Tin.", {"Slate": "hobby"}),
        ("You will not find Slate in a tin.", {"Slate": "hobby"}),
        ("Plum goes into the Tea Tin alone, and is scarce.", {"Plum": "tea-tin"}),
        ("A Plum is one in 20 packs of the Hobby Box, and one in 9 of the Tea Tin only.", {}),
        ("Plum is in the Hobby Box only. Plum is in the Tea Tin only.", {}),
        ("The Tea Tin is not dear.", {}),
    ],
)
def test_parallels_that_sentences_hold_to_formats(intake, table, said, held):
    """Not where odds are told, and not where two sentences differ."""
    cards = f"SHORE MAIN (6 cards){LADDER}\n" + "".join(f"{i + 1}. {who}\n" for i, who in enumerate(NAMES))
    intake(("list.txt", cards), ("letter.txt", f"{PACKING}{said}\n"))
    rows = list(csv.DictReader(io.StringIO(table("parallels.csv"))))
    assert [row["parallel"] for row in rows] == ["Rust", "Plum", "Slate"]
    assert {row["parallel"]: row["formats"] for row in rows if row["formats"]} == held


def test_formats_that_a_sentence_introduces(intake):
    """'The Crate is for everybody else' and its packing behind a colon; a subset is no format."""
    letter = (
        "The Pouch is what shops get: 6 cards to a pack, 20 packs to a box, and 12 boxes to the case.\n"
        "The Crate is for everybody else: 8 cards to a pack and 4 packs in a box.\n"
        "The Squad is 66 cards.\n"
    )
    found = {one.where: one.value for one in intake(("letter.txt", letter), yes=True).proposals if one.sure}
    assert found["formats.pouch.cards_per_pack"] == 6
    assert found["formats.crate.packs_per_box"] == 4
    assert not any("squad" in where for where in found)


def test_a_price_with_the_tax_in_is_the_makers_own(intake):
    """And one plus tax is another's."""
    sentence = (
        "A Hobby Box has 12 packs of 6 cards. Prices, with the tax in, are $4.00 a pack and $45.00 a box.\n"
    )
    prices = [
        one.value for one in intake(("a.txt", sentence), yes=True).proposals if one.where == "prices.csv"
    ]
    assert [(one["unit"], one["price"]) for one in prices] == [("pack", "4.00"), ("box", "45.00")]


@pytest.mark.parametrize(
    ("said", "day"),
    [
        ("It will be on the counter on 2031-09-11, the day before the cup.", "2031-09-11"),
        ("It is in the shops on the second of June 2031 (order by then).", "2031-06-02"),
        ("It is in the shops on the twenty-third of June 2031.", "2031-06-23"),
    ],
)
def test_days_in_words_and_what_stands_behind_them(intake, said, day):
    """What is said behind a bracket is of something else."""
    result = intake(("a.txt", f"{PACKING}{said}\n"), yes=True)
    assert [str(one.value) for one in result.proposals if one.where == "date" and one.sure] == [day]


def test_sheets_of_odds_that_differ_in_a_word_are_of_formats(intake, table, workbook):
    """The word in the sheet's name stands in its title, with the format's whole name."""
    book = workbook(
        {
            f"Odds {one}": [
                [f"{one} {unit}: one card in so many packs"],
                [None],
                ["Card", "Chance"],
                ["Left Hand", f"1:{n}"],
                ["Pair Up", f"1:{n * 4}"],
            ]
            for one, unit, n in (("Loft", "Box", 5), ("Kiosk", "Pouch", 12))
        }
    )
    intake(("list.csv", LIST), ("odds.xlsx", book))
    rows = csv.DictReader(io.StringIO(table("odds.csv")))
    assert [(row["subset"], row["format"], row["packs_per_copy"]) for row in rows] == [
        ("Left Hand", "loft", "5"),
        ("Pair Up", "loft", "20"),
        ("Left Hand", "kiosk-pouch", "12"),
        ("Pair Up", "kiosk-pouch", "48"),
    ]


def test_a_line_that_a_mark_leads_goes_on_from_none(intake, table):
    """It says what the mark means, though the line above it is a long one."""
    cards = "Set,No.,Player,Team\n" + "".join(
        f"Base,{i + 1},{who}{' †' if i in (1, 4) else ''},Tarn Otters\n" for i, who in enumerate(NAMES)
    )
    note = "A list of cards for the shops, as it stood in spring this year\n† first season in the league\n"
    intake(("list.csv", cards), ("read me.txt", note))
    rows = csv.DictReader(io.StringIO(table("checklist.csv")))
    assert [row["rookie"] for row in rows] == ["", "yes", "", "", "yes", ""]
