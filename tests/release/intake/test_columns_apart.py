"""Columns that look like others: two cards in a row, sales beside odds, units beside formats."""

from __future__ import annotations

import csv
from collections import Counter

import pytest

from rating.release.intake import unfold
from rating.release.intake.formats_said import could_be
from rating.release.intake.odds.detect import is_odds
from rating.release.intake.values import Grid, Row
from rating.release.intake.words import Columns


def _grid(*lines: str) -> Grid:
    rows = [Row(at, tuple(line.split("|"))) for at, line in enumerate(lines, 1)]
    return Grid(file="a.csv", sheet="", rows=tuple(rows), last=len(rows))


def test_two_cards_in_a_row_are_two_cards() -> None:
    grid = _grid(
        "No.|East|Club|Rank|West|Club|No.",
        "1|Ara Mine|Kaze|First|Kiri Nage|Fuka|2",
        "3|Toku Hibi|Naru|Second|Oni Zuku|Hino|4",
        "5|Gen Kai|Tobi|Third|Hoshi Baya|Iwa|6",
    )
    east, west = unfold.parts(grid)
    assert [row.cells for row in east.rows[1:]] == [
        ("1", "Ara Mine", "Kaze"),
        ("3", "Toku Hibi", "Naru"),
        ("5", "Gen Kai", "Tobi"),
    ]
    assert west.rows[1].cells == ("Kiri Nage", "Fuka", "2")


def test_a_flat_rate_in_a_list_of_sales_is_no_word_of_odds() -> None:
    grid = _grid(
        "bids|closing price (yen)|closed|item|way",
        "6|1,450|2032/09/20|Harbour Lights 2032 Indigo Bell 012/150|auction",
        "-|200|2032/09/21|Harbour Lights 2032 no. 40 Reed|flat rate",
        "11|6,200|2032/09/23|Harbour Lights 2032 Vermilion Marsh 30/30|auction",
    )
    assert not is_odds(grid, Columns("odds"))
    assert Columns("sold").name("closing price (yen)") == "price"


@pytest.mark.parametrize("heading", ["What should I pay?", "Boxes/tins per carton"])
def test_a_question_or_two_units_name_no_format(heading: str) -> None:
    assert not could_be(heading)
    assert could_be("Tide")


def test_every_over_numbers_says_that_they_are_odds() -> None:
    """Without a footnote, though the other headings fit a list of parallels."""
    grid = _grid(
        "Group|Finish|Every", "Base|Reed|1", "|Sedge|8", "|Moss|14", "Fast Tide|Fast Tide|6", "|Sedge|35"
    )
    assert is_odds(grid, Columns("odds"))


def test_padded_numbers_beside_the_names_beat_a_column_that_counts_rows(intake, table) -> None:
    """Both run on by one; the counter goes on where a subset begins anew."""
    names = [f"{first}. {last}" for last in ("Skelwith", "Tarnhowes", "Oxley") for first in "ABCDEFGHIJ"]
    rows = [f"{at},No. {at:03d} {name},Tarn Otters" for at, name in enumerate(names, 1)]
    rows.append("FAST TIDE")
    rows += [f"{30 + at},No. {at} {name},Fell Herons" for at, name in enumerate(names[:12], 1)]
    intake(("list.csv", "\n".join(["N,Front,Side", "BASE", *rows]) + "\n"))
    got = [(row["subset"], row["number"]) for row in csv.DictReader(table("checklist.csv").splitlines())]
    assert got[0] == ("Base", "001")
    assert got[30:32] == [("Fast Tide", "1"), ("Fast Tide", "2")]


def test_a_word_beside_a_heading_is_none_of_its_name(intake, table) -> None:
    """Somebody ticked it off."""
    rows = [f"{at},Pell Skelwith{at},Tarn Otters," for at in range(1, 12)]
    more = [f"FT-{at},Una Tarnhowes{at},Fell Herons," for at in range(1, 9)]
    lines = ["Card,Player,Team,", "BASE,,,", *rows, "FAST TIDE AUTOGRAPHS,,,checked", *more]
    intake(("list.csv", "\n".join(lines) + "\n"))
    assert {row["subset"] for row in csv.DictReader(table("checklist.csv").splitlines())} == {
        "Base",
        "Fast Tide Autographs",
    }


def test_a_slip_in_the_name_of_a_subset_is_mended_and_told(intake, table) -> None:
    """A letter off that of its neighbours is the same subset; another number is another."""
    names = ["Fast Tide"] * 4 + ["Fast Tjde"] + ["Fast Tide"] * 4 + ["Fast Tide 2"] + ["Base"] * 9
    lines = [f"{at},Pell Skelwith{at},Tarn Otters,{name}" for at, name in enumerate(names, 1)]
    result = intake(("list.csv", "\n".join(["Card,Player,Team,Set", *lines]) + "\n"))
    assert [row["subset"] for row in csv.DictReader(table("checklist.csv").splitlines())] == [
        "Fast Tide"
    ] * 9 + ["Fast Tide 2"] + ["Base"] * 9
    assert [(one.row, one.was, one.now) for one in result.repaired] == [(6, "Fast Tjde", "Fast Tide")]


NAMES = [f"{first}. {last}" for last in ("Skelwith", "Tarnhowes", "Oxley") for first in "ABCDEFGHIJ"]


def read_cards(table):
    """The cards in the table: subset, number, persons, teams."""
    rows = csv.DictReader(table("checklist.csv").splitlines())
    return [(row["subset"], row["number"], row["subjects"], row["teams"]) for row in rows]


def test_a_column_that_counts_rows_loses_to_numbers_that_recur_with_their_persons(intake, table) -> None:
    """A row a card and parallel: the counter goes on where the numbers begin anew."""
    cards = [
        (f"{at}. {name}", label) for label in ("Base", "Base - Reed") for at, name in enumerate(NAMES, 1)
    ]
    rows = [f"{at},2031,{label},{cell}" for at, (cell, label) in enumerate(cards, 1)]
    intake(("list.csv", "\n".join(["N,Yr,Line item,Star", *rows]) + "\n"))
    assert [card[:2] for card in read_cards(table)] == [("Base", str(at)) for at in range(1, 31)]


def test_a_heading_in_a_nearly_blank_column_makes_it_one_of_the_table(intake, table) -> None:
    """What stands behind it is no block of its own."""
    rows = [f"{at},Base,{'yes' if at == 9 else ''},{at}. {name}" for at, name in enumerate(NAMES, 1)]
    intake(("list.csv", "\n".join(["N,Line item,To redeem,Star", *rows]) + "\n"))
    assert {card[0] for card in read_cards(table)} == {"Base"}


def test_words_over_columns_are_no_subset_though_few(intake, table, workbook) -> None:
    """The same words stand first on each sheet, over two of the columns."""
    head = ("Row", "", "", "#'d to")
    base = [
        ("Ladder: Reed numbered to 50",),
        head,
        *((at, name, "", "", f"#B{at}") for at, name in enumerate(NAMES, 1)),
    ]
    tide = [head, *((30 + at, name, "", "", f"#FT-{at}") for at, name in enumerate(NAMES[:9], 1))]
    intake(("list.xlsx", workbook({"Base": base, "Fast Tide": tide})))
    assert {card[0] for card in read_cards(table)} == {"Base", "Fast Tide"}


def test_a_subset_named_once_below_headings_that_nobody_knows(intake, table) -> None:
    """In the first row of each block, in a column without a heading."""
    sets = {"Base Cards": ("", 30), "Fast Tide": ("FT-", 9), "Low Moor": ("LM-", 8), "Far Weir": ("FW-", 9)}
    rows = [
        f";{name * (at == 1)};#{prefix}{at}. {NAMES[at - 1]} (TAR);{'Reed, Moss' * (not prefix)};"
        for name, (prefix, number) in sets.items()
        for at in range(1, number + 1)
    ]
    intake(("list.csv", "\n".join(["Serial #;;;Also in;RC", *rows]) + "\n"))
    assert Counter(card[0] for card in read_cards(table)) == {
        name: number for name, (_, number) in sets.items()
    }


def test_codes_of_teams_are_no_surnames_where_two_share_a_card() -> None:
    """All of one length, alone or with another."""
    from rating.release.intake.profiles import Profile, are_codes

    assert are_codes(Profile(0, "", ("TAR", "FEL", "MOO / TAR", "FEL / MOO", "TAR")))
    assert not are_codes(Profile(0, "", ("LEE", "OKONJO", "FITZ", "WU", "HOLT")))


def test_odds_in_thousands_that_run_on_in_a_line_stay_whole(intake, table) -> None:
    """A comma parts them in a text that commas part into cells."""
    rows = [f"{at},{name},Tarn Otters,Base" for at, name in enumerate(NAMES, 1)]
    lines = [
        "Old Oak odds per pack",
        "",
        "Premier",
        "Base: Granite 1 in 28; Hoar 1 in 35; Sedge 1 in 42; Pewter 1 in 2,101",
        "",
        "Standard",
        "Base: Granite 1 in 73; Hoar 1 in 92; Sedge 1 in 110; Pewter 1 in 5,494",
    ]
    intake(
        ("list.csv", "\n".join(["Card,Player,Team,Set", *rows]) + "\n"), ("odds.txt", "\n".join(lines) + "\n")
    )
    odds = csv.DictReader(table("odds.csv").splitlines())
    assert {(row["parallel"], row["packs_per_copy"]) for row in odds} >= {
        ("Pewter", "2101"),
        ("Pewter", "5494"),
    }


def test_a_mark_beside_number_and_name_in_one_cell_is_a_column_and_no_more_of_the_name() -> None:
    """Most rows hold one cell, as lines of text do; runs stand before the cards, the mark behind them."""
    names = ("Ada Quill", "Bo Reed", "Cy Marsh", "Di Tarn", "Eb Fell", "Flo Gill", "Gus Holt", "Hal Isle")
    plain = [f"|{at} - {name} (Otters)" for at, name in enumerate(names, 1)]
    signed = [f"#'d 49|LE-{at} - {name} (Herons)|rookie" for at, name in enumerate(names[:4], 1)]
    (table,) = unfold.parts(_grid("BASE", *plain, "LOOSE ENDS", *signed))
    assert table.rows[1].cells == ("", "1", "Ada Quill (Otters)")
    assert table.rows[10].cells == ("#'d 49", "LE-1", "Ada Quill (Herons)", "rookie")
    assert table.rows[9].filled == ["LOOSE ENDS"]


def test_lines_of_text_with_a_team_in_a_second_cell_stay_lines() -> None:
    plain = [f"{at} Bo Reed" for at in range(1, 14)]
    teamed = [f"{at} Ada Quill|Otters" for at in range(14, 19)]
    (lines,) = unfold.parts(_grid("BASE", *plain, *teamed))
    assert lines.rows[1].cells == ("1", "Bo Reed")
    assert lines.rows[14].cells[0] == "14"
    assert "Otters" in lines.rows[14].cells[1]


def test_a_code_behind_a_name_of_one_word_is_no_forename(intake, table) -> None:
    """'Quill, ADA' could be either; where every tail is a code of one length they are teams."""
    codes = ("TAR", "FEL", "MOÖ", "WEI")
    names = [family + given for given in ("가온", "나래", "지호", "해든") for family in "백신허서민안손장유"]
    rows = [f"B{at} {name}, {codes[at % 4]}" for at, name in enumerate(names, 1)]
    intake(("list.txt", "\n".join(["Base Set", *rows]) + "\n"))
    assert [card[2] for card in read_cards(table)] == names


def test_a_run_beside_a_name_is_nobody(intake, table) -> None:
    """In a second column of a sheet that is read as lines."""
    base = [f"#{at} - {name},," for at, name in enumerate(NAMES, 1)]
    tide = [f"#FT{at} - {name},,#'d 149" for at, name in enumerate(NAMES[:9], 1)]
    intake(("list.csv", "\n".join(["BASE SET,,", *base, "FAST TIDE,,", *tide]) + "\n"))
    cards = {card[1]: card[2] for card in read_cards(table)}
    assert [cards[f"FT{at}"] for at in range(1, 10)] == NAMES[:9]
