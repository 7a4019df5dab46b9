"""Blocks of cards beside each other, and whose the print run of a row is."""

from __future__ import annotations

import csv
import io

import pytest

NAMES = ("Pell Skelwith", "Una Tarnhowes", "Ida Oxley", "Zeb Merrow", "Orla Dunsley", "Cy Fenwick")
TEAMS = ("Otters", "Herons", "Rooks")


@pytest.fixture
def cards(table):
    """The checklist's rows, as dicts."""
    return lambda: list(csv.DictReader(io.StringIO(table("checklist.csv"))))


def beside(left, right, width):
    """Rows of two blocks with a blank column between them."""
    height = max(len(left), len(right))
    rows = []
    for place in range(height):
        one = list(left[place]) if place < len(left) else []
        other = list(right[place]) if place < len(right) else []
        rows.append(";".join([*one, *[""] * (width + 1 - len(one)), *other]))
    return "\n".join(rows) + "\n"


def test_an_empty_column_inside_a_block_parts_nothing_where_headers_stand_again(intake, cards):
    """Teams that stand alone behind the empty column are no headings."""
    head = ("To redeem", "Talent", "", "Squad", "Edition of")
    left = [("=== Base ===",), head]
    left += [("", f"No. {i + 1} {NAMES[i % 6]}", "", TEAMS[i % 3], "") for i in range(12)]
    right = [("=== Town Criers ===",), head]
    right += [("", f"No. {i + 1} {NAMES[i]}", "", TEAMS[i % 3], "") for i in range(5)]
    intake(("list.csv", beside(left, right, 5)))
    assert [(one["subset"], one["number"]) for one in cards()] == [
        *(("Base", str(i + 1)) for i in range(12)),
        *(("Town Criers", str(i + 1)) for i in range(5)),
    ]
    assert [one["teams"] for one in cards()[12:]] == ["Otters", "Herons", "Rooks", "Otters", "Herons"]


def test_a_ladder_alone_behind_empty_columns_is_no_heading(intake, cards, table):
    """It recurs, and no card's number stands below it."""
    listed = "Copper numbered to 399 • Navy numbered to 150"
    left = [("BASE - 24 CARDS",)]
    left += [(f"B{i + 1}", NAMES[i % 6], TEAMS[i % 3], "", "", listed) for i in range(24)]
    right = [("STORM SEASON - 5 CARDS",)]
    right += [(f"SS{i + 1}", NAMES[i], TEAMS[i % 3], "", "", "") for i in range(5)]
    intake(("list.csv", beside(left, right, 6)))
    assert [one["subset"].casefold() for one in cards()] == ["base"] * 24 + ["storm season"] * 5
    assert table("parallels.csv").splitlines()[1:] == ["Base,Copper,399,", "Base,Navy,150,"]


def test_a_short_print_is_one_though_a_parallel_has_as_many_copies(intake, cards):
    """The run of a row belongs to the card, unless the row names one parallel."""
    rows = [f"{i + 1};{name};Rust (#/199), Plum (#/99)\n" for i, name in enumerate(NAMES)]
    said = "Numbers 2 and 5 of the base set are limited to 99 copies.\n"
    intake(("list.csv", "Base\nNo.;Player;Parallels\n" + "".join(rows) + "\n" + said))
    assert [one["print_run"] for one in cards()] == ["", "99", "", "", "99", ""]


def test_sentences_of_a_sell_sheet_parted_at_commas_say_what_subsets_are(intake, cards):
    """The sheet has prices with a decimal comma, so that it looks like a table."""
    rows = [f"{i + 1},{name}\n" for i, name in enumerate(NAMES)]
    more = [f"SH-{i + 1},{name}\n" for i, name in enumerate(NAMES[:4])]
    sheet = (
        "2031 Underpass\n\nSuggested price for Hobby: $14,25 per pack, 4 packs a box, 8 boxes a case.\n"
        "Signed Homecoming: 4 autographs, signed on the card itself. Look for one a box, guaranteed.\n"
    )
    intake(
        ("list.csv", "No.,Player\nBASE\n" + "".join(rows) + "\nSIGNED HOMECOMING\n" + "".join(more)),
        ("sheet.txt", sheet),
    )
    assert {one["signed"] for one in cards() if one["number"].startswith("SH")} == {"card"}


def test_headings_with_a_label_are_no_legend(intake, cards):
    """'Subset: Base Set' says nothing of a subset that is called so; blank headings hide no header."""
    head = ";;Team / Club;Onyx;Brass\n"
    rows = [f"No. {i + 1};{name};{TEAMS[i % 3]};x;#'d 25\n" for i, name in enumerate(NAMES)]
    more = [f"No. {i};{NAMES[i - 1]};{TEAMS[(i - 1) % 3]};;\n" for i in (2, 4, 5)]
    base = f"Subset: Base Set;;;;\n{head}{''.join(rows)}\n"
    intake(("list.csv", f"{base}Subset: Base Variations;;;;\n{head}{''.join(more)}"))
    assert [(one["subset"], one["number"]) for one in cards()] == [
        *(("Base Set", str(i)) for i in range(1, 7)),
        *(("Base Variations", str(i)) for i in (2, 4, 5)),
    ]


def test_cards_whose_numbers_begin_anew_under_another_subset_are_asked_about(intake, cards):
    """A heading was missed; nobody is told that they are of the subset above."""
    rows = [f"{i + 1};{name}\n" for i, name in enumerate(NAMES)]
    more = [f"WR-{i + 1};{name}\n" for i, name in enumerate(NAMES[:4])]
    result = intake(("list.csv", "No.;Player\nBASE;\n" + "".join(rows) + "".join(more)))
    assert {one["subset"] for one in cards()} == {"Base"}
    assert len(cards()) == 6
    assert any(one.topic == "subset" and "WR-1 to WR-4" in one.what for one in result.questions)
    assert sum(one.rows for one in result.set_aside) == 4


def test_pairs_in_two_rows_each_for_every_parallel(intake, cards, table):
    """Two rows right below each other, of one number and one parallel, are one card."""
    rows = [f"Base;{i + 1};-;{name}\n" for i, name in enumerate(NAMES)]
    pairs = [(f"D-{i + 1}", NAMES[i], NAMES[i + 2]) for i in range(3)]
    for kind in ("-", "Plum"):
        rows += [f"Handshakes;{number};{kind};{name}\n" for number, *names in pairs for name in names]
    intake(("list.csv", "Set;No.;Parallel;Player\n" + "".join(rows)))
    assert [one["subjects"] for one in cards()][6:] == [f"{one} / {other}" for _, one, other in pairs]
    assert "Plum" in table("parallels.csv")


def test_a_column_that_counts_rows_beside_card_numbers_is_no_matrix(intake, cards):
    """Headings that only count the columns are no subsets."""
    rows = [f"{i + 1},B{i + 1},{name},{TEAMS[i % 3]}\n" for i, name in enumerate(NAMES)]
    intake(("list.csv", "BASE\nAttr. 1,Attr. 5,Attr. 9,Attr. 13\n" + "".join(rows)))
    assert [(one["subset"], one["number"]) for one in cards()] == [("Base", f"B{i + 1}") for i in range(6)]


def test_parallels_alone_head_columns_of_runs_and_marks(intake, cards, table):
    """Nothing is written over team, number and name; a run in such a column is the parallel's."""
    head = ("Stardust", "", "", "Linen", "Cobalt", "Teal")
    left = [("BASE",), head]
    left += [
        ("", TEAMS[i % 3], f"#{i + 1} {NAMES[i % 6]} {'I' * (i // 6)}", "", "/15", "x") for i in range(9)
    ]
    right = [("BRIGHT SPARKS",), head]
    right += [("1/1", TEAMS[i % 3], f"#BS-{i + 1} {NAMES[i]}", "/125", "", "") for i in range(5)]
    intake(("list.csv", beside(left, right, 6)))
    assert len(cards()) == 14
    assert {one["print_run"] for one in cards()} == {""}
    assert sorted(table("parallels.csv").splitlines()[1:]) == [
        "Base,Cobalt,15,",
        "Base,Teal,,",
        "Bright Sparks,Linen,125,",
        "Bright Sparks,Stardust,1,",
    ]


def test_a_heading_between_rules_parts_blocks_as_a_plain_one_does(intake, cards):
    """Nothing stands over the columns, and those of notes and runs are filled in one block alone."""
    left = [("=== Base ===",), ("short print", "No. B1", "/50", NAMES[0], "Otters")]
    left += [
        ("", f"No. B{i + 1}", "", f"{NAMES[i % 6]} {'I' * (i // 6)}", TEAMS[i % 3]) for i in range(1, 12)
    ]
    right = [("=== Wall Maps ===",)]
    right += [("", f"No. WM-{i + 1}", "", name, TEAMS[i % 3]) for i, name in enumerate(NAMES)]
    intake(("list.csv", beside(left, right, 5)))
    assert [(one["subset"], one["number"]) for one in cards()] == [
        *(("Base", f"B{i + 1}") for i in range(12)),
        *(("Wall Maps", f"WM-{i + 1}") for i in range(6)),
    ]
