"""What stands beside cards in headings, footnotes and letters, each as a person reads it."""

from __future__ import annotations

import csv
import io
import textwrap

NAMES = ("Pell Skelwith", "Una Tarnhowes", "Ida Oxley", "Zeb Merrow", "Orla Dunsley", "Cy Fenwick")
SOLD = """\
Your searches > shale 31 > Ended
Shale 2031 Pell Skelwith Peat 4/99
Sold  6 Jul 2031
£14.50
7 bids
+£1.35 postage

"""


def cards(start="", names=NAMES):
    """Lines of cards as of a workbook."""
    return [[f"{start}{i + 1}", name, "Tarn Otters"] for i, name in enumerate(names)]


def test_dots_part_a_heading_from_what_it_says(read, workbook, table):
    """A name, how many, how signed, how many of each; a ladder behind 'also'."""
    book = workbook(
        {
            "Base": [["Nr", "Who", "Team"], *cards()],
            "Others": [
                ["SALT TOSS · 6 inserts · also Silver Salt (50 copies) and Black Salt (5 copies)"],
                ["Nr", "Who", "Team"],
                *cards("ST"),
                [None],
                ["BRUSHES (the last bout) · 6 cards, autographs, brushed straight onto the card · 30 copies"],
                ["Nr", "Who", "Team"],
                *cards("BM-"),
            ],
        }
    )
    told = read("subset", "kind", "number", "print_run", "signed", list_xlsx=book)
    assert told[6] == ("Salt Toss", "insert", "ST1", "", "")
    assert told[12] == ("Brushes", "autograph", "BM-1", "30", "card")
    assert [row.split(",")[:3] for row in table("parallels.csv").splitlines()[1:]] == [
        ["Salt Toss", "Silver Salt", "50"],
        ["Salt Toss", "Black Salt", "5"],
    ]


def test_lines_of_a_copied_page_are_no_titles_that_name_others(read):
    """Five lines in six are prices, days and bids; the list of cards is read all the same."""
    names = [f"{a} {b}" for a in ("Ada", "Ben", "Cora", "Dan") for b in ("Quill", "Moor", "Tarn")]
    content = "Nr,Who,Team\n" + "".join(f"{i + 1},{name},Tarn Otters\n" for i, name in enumerate(names))
    page = "".join(SOLD.split("\n", 1)[1].replace("Pell Skelwith", name) for name in names[:8])
    assert len(read("subjects", list_csv=content, sold_txt=page)) == len(names)


def test_a_mark_in_quotes_is_explained_in_another_document(read):
    """A remark beside some cards, and what it stands for in a sentence of the sell sheet."""
    content = "Nr,Who,Team,Remark\n" + "".join(
        f"{i + 1},{name},Tarn Otters,{'1re saison' if i in (1, 4) else ''}\n" for i, name in enumerate(NAMES)
    )
    letter = 'Reading the list. "1re saison" is a rookie. A box holds 12 packs, a pack 6 cards.\n'
    assert read("rookie", "note", list_csv=content, letter_txt=letter) == [
        ("yes" if i in (1, 4) else "", "") for i in range(6)
    ]


def test_a_number_one_blank_from_the_name_is_parted_as_those_beside_it(read_text):
    """In a text whose columns are parted by blanks one number fills its column."""
    lines = [("CK-ATK/LF", "Pell Skelwith"), ("CK-LH/RC", "Una Tarnhowes"), ("CK-MR/EM", "Ida Oxley")]
    lines += [("CK-OT/OP", "Zeb Merrow"), ("CK-MF/LF", "Orla Dunsley")]
    content = "CATCH & KEEP, autographs\n\n" + "".join(f"{a:9} {b:24}Tarn Otters\n" for a, b in lines)
    assert read_text(content, "subset", "number", "subjects") == [("Catch & Keep", a, b) for a, b in lines]


def test_material_is_told_by_what_it_is_a_bit_of(read_text):
    """A snip of a bib, from nobody in particular."""
    blurb = (
        "   A snip of a bib in every card. The bibs are not from any\n   particular player, match or event.\n"
    )
    lines = "".join(f"BC-{i + 1:<6}{name:24}Tarn Otters\n" for i, name in enumerate(NAMES))
    base = "BASE SET\n\n" + "".join(f"{i + 1:<9}{name:24}Tarn Otters\n" for i, name in enumerate(NAMES))
    told = read_text(f"{base}\nBIB CUTS, 150 of each\n{blurb}\n{lines}", "subset", "kind", "relic")
    assert told[6:] == [("Bib Cuts", "relic", "unattributed")] * 6


def test_a_table_within_the_prose_of_a_sell_sheet(intake):
    """A column a format, one of them named by a word for a box; a cell goes on in the line below."""
    sheet = """\
FELLSIDE 2031, the shale cards.      In shops: Saturday 4 October 2031.

                           Boîte                      Étui
Cards in a pochette        6                          8
Pochettes inside           16                         3
Boîtes/étuis per carton    10                         40
Certain                    4 Quick Steps              -
On average                 an autograph in one box    a Quick Steps in
                           out of three               every second box

This is what we say of it, in a sentence that is long enough to fill the line and to run over it.
Lavender is dear. It was dear last year as well, and it will be dear again in the next one.
"""
    told = {one.where: one.value for one in intake(("sheet.txt", sheet), yes=True).proposals if one.sure}
    keys = ("cards_per_pack", "packs_per_box", "boxes_per_case", "name")
    assert [[told[f"formats.{key}.{name}"] for name in keys] for key in ("boite", "etui")] == [
        [6, 16, 10, "Boîte"],
        [8, 3, 40, "Étui"],
    ]


def test_a_year_in_brackets_and_a_greeting_are_no_odds(read, table):
    """'first one: 2029' states no odds, and 'Hello all,' names no subset."""
    letter = """\
Hello all,

Counted by packet. Autographs of Quick Steps first.
A Quick Steps card is in one of 28 packs. Edition: the third (first one: 2029).
"""
    content = "Set,Nr,Who,Team\n" + "".join(
        f"{name},{start}{i + 1},{who},Tarn Otters\n"
        for name, start in (("Base", ""), ("Quick Steps", "Q"))
        for i, who in enumerate(NAMES)
    )
    read("number", list_csv=content, letter_txt=letter)
    told = list(csv.DictReader(io.StringIO(table("odds.csv"))))
    assert {row["packs_per_copy"] for row in told} <= {"28"}
    assert {row["subset"] for row in told} <= {"Quick Steps"}


def test_ladders_with_semicolons_are_no_table_among_lines(read_text):
    """As many in each, one above each list: cards that run on in paragraphs are read all the same."""
    lists = "".join(
        f"{name} - 6 CARDS\nAlso as Mirror; Copper; Hoar /{n}\n"
        + textwrap.fill(
            " • ".join(f"No. {10 * n + i}. {who} (Tarn Otters)" for i, who in enumerate(NAMES)), 90
        )
        + "\n\n"
        for n, name in enumerate(
            ("BASE", "QUICK STEPS", "DEEP POCKETS", "LONG SHADOWS", "COLD HANDS"), start=3
        )
    )
    assert len(read_text(lists, "number")) == 30
