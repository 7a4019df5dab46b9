"""What heads cards: rows of headings, columns beside each other, and subsets that other documents name."""

from __future__ import annotations

import pytest

TEAMS = ("Tarn Otters", "Fell Herons", "Moor Rooks")
NAMES = ("Pell Skelwith", "Una Tarnhowes", "Ida Oxley", "Zeb Merrow", "Orla Dunsley", "Cy Fenwick")


def test_a_few_headings_head_more_columns(read):
    """What teams and rookies stand under is left blank, and the header is no card and no subset."""
    content = """\
Code 1,Who 1,,
1,Pell Skelwith,Tarn Otters,
2,Una Tarnhowes,Fell Herons,RC
3,Ida Oxley,Moor Rooks,
4,Zeb Merrow,Tarn Otters,

LONG SHADOWS
Code 1,Who 1,,
1,Orla Dunsley,Fell Herons,RC
2,Cy Fenwick,Moor Rooks,
3,Jo Lund,Tarn Otters,
4,Nye Holt,Fell Herons,
"""
    assert read("subset", "number", "subjects", "teams", "rookie", list_csv=content) == [
        ("Base", "1", "Pell Skelwith", "Tarn Otters", ""),
        ("Base", "2", "Una Tarnhowes", "Fell Herons", "yes"),
        ("Base", "3", "Ida Oxley", "Moor Rooks", ""),
        ("Base", "4", "Zeb Merrow", "Tarn Otters", ""),
        ("Long Shadows", "1", "Orla Dunsley", "Fell Herons", "yes"),
        ("Long Shadows", "2", "Cy Fenwick", "Moor Rooks", ""),
        ("Long Shadows", "3", "Jo Lund", "Tarn Otters", ""),
        ("Long Shadows", "4", "Nye Holt", "Fell Herons", ""),
    ]


def test_what_is_the_same_in_all_rows_but_the_first_is_no_subset(read):
    """The year stands once, the product's name in each row."""
    content = """\
Lot,No,Player,Team
2031 Wake Line,1,Pell Skelwith,Tarn Otters
Wake Line,2,Una Tarnhowes,Fell Herons
Wake Line,3,Ida Oxley,Moor Rooks
Wake Line,4,Zeb Merrow,Tarn Otters
Wake Line,5,Orla Dunsley,Fell Herons
"""
    assert read("subset", "kind", "number", list_csv=content) == [
        ("Base", "base", str(number)) for number in range(1, 6)
    ]


def test_a_header_is_known_again_on_another_sheet(read, workbook):
    """Far above the cards there, with sentences between."""
    head = ["Zug", "Wer", "Wo", "Wie"]
    base = [[i + 1, NAMES[i], TEAMS[i % 3], "RC" if i == 2 else None] for i in range(6)]
    said = ["Lamps shine by night.", "They are made of tin.", "And of brass.", "They are lit.", "At dusk."]
    said += ["By hand.", "All week.", "All year."]
    lamps = [[f"L{i + 1}", NAMES[i], TEAMS[i % 3]] for i in range(4)]
    sheets = {
        "Base": [["Base"], head, *base],
        "Lamplit": [["Lamplit"], head, *([one] for one in said), *lamps],
    }
    assert read("subset", "number", "subjects", "teams", list_xlsx=workbook(sheets)) == [
        *(("Base", str(i + 1), NAMES[i], TEAMS[i % 3]) for i in range(6)),
        *(("Lamplit", f"L{i + 1}", NAMES[i], TEAMS[i % 3]) for i in range(4)),
    ]


def test_a_row_that_each_page_repeats_is_no_card_and_no_heading(read):
    """It stands below the page's number, and the cards go on under the columns of the page before."""
    content = """\
Wake Line 2031;List
LONG SHADOWS
Nr;Zorp;Quux;Wie
LS1;Pell Skelwith;Tarn Otters;
LS2;Una Tarnhowes;Fell Herons;RC
LS3;Ida Oxley;Moor Rooks;
Page 1
Wake Line 2031;List
LS4;Zeb Merrow;Tarn Otters;RC
LS5;Orla Dunsley;Fell Herons;
LS6;Cy Fenwick;Moor Rooks;
Page 2
"""
    assert read("subset", "number", "subjects", "teams", "rookie", list_csv=content) == [
        ("Long Shadows", f"LS{i + 1}", NAMES[i], TEAMS[i % 3], "yes" if i in {1, 3} else "") for i in range(6)
    ]


SIDE_BY_SIDE = """\
BASE
No.,Player,No.,Player
1,Pell Skelwith,4,Zeb Merrow
2,Una Tarnhowes,5,Orla Dunsley
3,Ida Oxley,6,Cy Fenwick
"""
UNEVEN = """\
No.,Player,No.,Player
1,Pell Skelwith,5,Orla Dunsley
2,Una Tarnhowes,6,Cy Fenwick
3,Ida Oxley,7,Jo Lund
4,Zeb Merrow,,
"""
WITH_TEAMS = """\
No.,Player,Team,No.,Player,Team
1,Pell Skelwith,Tarn Otters,4,Zeb Merrow,Tarn Otters
2,Una Tarnhowes,Fell Herons,5,Orla Dunsley,Fell Herons
3,Ida Oxley,Moor Rooks,6,Cy Fenwick,Moor Rooks
"""


@pytest.mark.parametrize(
    ("content", "last"),
    [(SIDE_BY_SIDE, []), (UNEVEN, [("7", "Jo Lund")]), (WITH_TEAMS, [])],
    ids=["two columns", "uneven", "with teams"],
)
def test_two_lists_side_by_side_under_one_header_that_stands_twice(content, last, read):
    """The left one is read first, then the right one."""
    found = read("number", "subjects", list_csv=content)
    assert found == [*((str(i + 1), NAMES[i]) for i in range(6)), *last]


def test_lists_side_by_side_with_number_and_name_in_a_cell(read):
    """Each column has its subset above it, and some are longer."""
    content = """\
Copper Beams;Long Shadows;Steady Hands
CB-1 Pell Skelwith;LS-1 Ida Oxley;SH-1 Orla Dunsley
CB-2 Una Tarnhowes;LS-2 Zeb Merrow;SH-2 Cy Fenwick
CB-3 Ida Oxley;LS-3 Pell Skelwith;SH-3 Una Tarnhowes
CB-4 Jo Lund;LS-4 Nye Holt;
"""
    assert read("subset", "number", "subjects", list_csv=content) == [
        ("Copper Beams", "CB-1", "Pell Skelwith"),
        ("Copper Beams", "CB-2", "Una Tarnhowes"),
        ("Copper Beams", "CB-3", "Ida Oxley"),
        ("Copper Beams", "CB-4", "Jo Lund"),
        ("Long Shadows", "LS-1", "Ida Oxley"),
        ("Long Shadows", "LS-2", "Zeb Merrow"),
        ("Long Shadows", "LS-3", "Pell Skelwith"),
        ("Long Shadows", "LS-4", "Nye Holt"),
        ("Steady Hands", "SH-1", "Orla Dunsley"),
        ("Steady Hands", "SH-2", "Cy Fenwick"),
        ("Steady Hands", "SH-3", "Una Tarnhowes"),
    ]


ODDS = "Odds,Hobby,Retail\nCopper Beams,1:4,1:6\nLamplit,1:12,1:20\nWinter Quay,1:48,1:96\n"
KEY = "Copper Beams: insert cards\nLamplit: autographs\nWinter Quay: insert cards\n"


@pytest.mark.parametrize("heads", ["Product,Parallel", "Release,Version", "Release,Kind", "Product,Zorp"])
@pytest.mark.parametrize("beside", [{"odds_csv": ODDS}, {"key_txt": KEY}], ids=["odds", "legend"])
def test_a_column_of_subsets_is_told_by_what_other_documents_name(heads, beside, read):
    """Whatever stands above it, and though another column's heading may mean subsets."""
    names = ["Copper Beams"] * 4 + ["Lamplit"] * 4 + ["Winter Quay"] * 4
    content = f"{heads},No,Player,Team\n" + "".join(
        f"2031 Wake Line,{name},{i + 1},{NAMES[i % 6]},{TEAMS[i % 3]}\n" for i, name in enumerate(names)
    )
    assert read("subset", "number", list_csv=content, **beside) == [
        (name, str(i + 1)) for i, name in enumerate(names)
    ]


def test_numbers_by_initials_may_follow_no(read):
    """'No. LS-IV' is the card LS-IV."""
    content = """\
No.,Player
No. 1,Pell Skelwith
No. 2,Una Tarnhowes
No. 3,Ida Oxley
LONG SHADOWS,
No. LS-IV,Ida Vance
No. LS-ZM,Zeb Merrow
No. LS-OD,Orla Dunsley
"""
    assert read("subset", "number", "subjects", list_csv=content) == [
        ("Base", "1", "Pell Skelwith"),
        ("Base", "2", "Una Tarnhowes"),
        ("Base", "3", "Ida Oxley"),
        ("Long Shadows", "LS-IV", "Ida Vance"),
        ("Long Shadows", "LS-ZM", "Zeb Merrow"),
        ("Long Shadows", "LS-OD", "Orla Dunsley"),
    ]


def test_a_row_without_a_number_among_cards_heads_nothing(read):
    """It is the second person of the card above, and the cards below go on."""
    content = """\
1,Pell Skelwith,Tarn Otters
2,Una Tarnhowes,Fell Herons
3,Ida Oxley,Moor Rooks
,Jo Lund,Lone Kites
4,Zeb Merrow,Tarn Otters
5,Orla Dunsley,Fell Herons
6,Cy Fenwick,Moor Rooks
7,Nye Holt,Tarn Otters
"""
    assert read("subset", "number", "subjects", "teams", list_csv=content) == [
        ("Base", "1", "Pell Skelwith", "Tarn Otters"),
        ("Base", "2", "Una Tarnhowes", "Fell Herons"),
        ("Base", "3", "Ida Oxley / Jo Lund", "Moor Rooks / Lone Kites"),
        ("Base", "4", "Zeb Merrow", "Tarn Otters"),
        ("Base", "5", "Orla Dunsley", "Fell Herons"),
        ("Base", "6", "Cy Fenwick", "Moor Rooks"),
        ("Base", "7", "Nye Holt", "Tarn Otters"),
    ]


@pytest.mark.parametrize("day", ["2031-04-{0:02}", "2031.04.{0}", "2031/4/{0}", "{0}-4-2031"])
def test_a_day_is_no_card_number(day, read):
    """A column of days beside one of numbers does not head the cards."""
    content = "".join(f"{day.format(11 + i)},KQ{i + 1},{NAMES[i]},{TEAMS[i % 3]}\n" for i in range(6))
    assert read("number", "subjects", list_csv=content) == [(f"KQ{i + 1}", NAMES[i]) for i in range(6)]


def test_headings_that_end_in_checklist_name_their_subsets_without_it(read):
    """Where all headings say so."""
    content = """\
Base Set Checklist
1. Pell Skelwith (Tarn Otters)
2. Una Tarnhowes (Fell Herons)
3. Ida Oxley (Moor Rooks)

Deck Ink Checklist
DI-1. Zeb Merrow (Tarn Otters)
DI-2. Orla Dunsley (Fell Herons)

Long Shadows Checklist
LS-1. Cy Fenwick (Moor Rooks)
LS-2. Jo Lund (Fell Herons)
"""
    assert read("subset", "number", list_txt=content) == [
        ("Base Set", "1"),
        ("Base Set", "2"),
        ("Base Set", "3"),
        ("Deck Ink", "DI-1"),
        ("Deck Ink", "DI-2"),
        ("Long Shadows", "LS-1"),
        ("Long Shadows", "LS-2"),
    ]


def test_bullets_and_what_a_web_page_leaves_behind_are_no_words(read):
    """A bullet stands before each card, '[edit]' and notes in brackets behind headings."""
    content = """\
Base set [edit]
• 1 Pell Skelwith, Tarn Otters
• 2 Una Tarnhowes, Fell Herons
• 3 Ida Oxley, Moor Rooks

Long Shadows [edit]
• LS-1 Zeb Merrow, Tarn Otters
• LS-2 Orla Dunsley, Fell Herons [2]
"""
    assert read("subset", "number", "subjects", "teams", list_txt=content) == [
        ("Base set", "1", "Pell Skelwith", "Tarn Otters"),
        ("Base set", "2", "Una Tarnhowes", "Fell Herons"),
        ("Base set", "3", "Ida Oxley", "Moor Rooks"),
        ("Long Shadows", "LS-1", "Zeb Merrow", "Tarn Otters"),
        ("Long Shadows", "LS-2", "Orla Dunsley", "Fell Herons"),
    ]


def test_a_table_of_contents_holds_no_cards(read):
    """Its lines are the subsets that follow."""
    content = """\
CONTENTS
1. Base Set
2. Deck Ink
3. Long Shadows

BASE SET
1. Pell Skelwith (Tarn Otters)
2. Una Tarnhowes (Fell Herons)
3. Ida Oxley (Moor Rooks)
4. Nye Holt (Moor Rooks)

DECK INK
DI-1. Zeb Merrow (Tarn Otters)
DI-2. Orla Dunsley (Fell Herons)

LONG SHADOWS
LS-1. Cy Fenwick (Moor Rooks)
LS-2. Jo Lund (Fell Herons)
"""
    assert read("subset", "number", list_txt=content) == [
        *(("Base Set", number) for number in ("1", "2", "3", "4")),
        ("Deck Ink", "DI-1"),
        ("Deck Ink", "DI-2"),
        ("Long Shadows", "LS-1"),
        ("Long Shadows", "LS-2"),
    ]
