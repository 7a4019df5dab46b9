"""Checklists of four makers, in layouts that have little in common, come out as a person would write them."""

from __future__ import annotations

import pytest

LAYOUTS = ("a sheet a subset", "one flat list", "text with sections", "parallels in columns")


@pytest.mark.parametrize("layout", LAYOUTS)
def test_the_cards_come_out_as_written_by_hand(layout, makers, intake, table):
    """Every cell of the checklist is as a person made it of the same file."""
    maker = makers[layout]
    intake((maker.file, maker.content), season=maker.season)
    assert table("checklist.csv") == maker.checklist


@pytest.mark.parametrize("layout", LAYOUTS)
def test_the_parallels_come_out_as_written_by_hand(layout, makers, intake, table):
    """With their print runs and the formats they are held to."""
    maker = makers[layout]
    intake((maker.file, maker.content), season=maker.season)
    assert table("parallels.csv") == maker.parallels


@pytest.mark.parametrize("layout", LAYOUTS)
def test_only_what_is_no_card_is_set_aside(layout, makers, intake):
    """Totals and a card under no heading, with sheet and row."""
    maker = makers[layout]
    result = intake((maker.file, maker.content), season=maker.season)
    assert tuple((one.sheet, one.row) for one in result.set_aside) == maker.set_aside
    assert [one for one in result.problems if one.severity == "error"] == []


@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_row_is_accounted_for(layout, makers, intake):
    """Taken, set aside and problems add up to the rows of each sheet."""
    maker = makers[layout]
    result = intake((maker.file, maker.content), season=maker.season)
    for one in result.tallies:
        assert sum(one.taken.values()) + one.set_aside + one.problems == one.rows


def test_a_name_mended_from_damaged_letters_is_told(makers, intake):
    """It is written whole, since the season knows only one such person, and the report says so."""
    maker = makers["one flat list"]
    result = intake((maker.file, maker.content), season=maker.season)
    assert any("'Orla ?owicz' has damaged letters and can only be Orla Łowicz" in one for one in result.notes)


def test_a_name_with_damaged_letters_that_nobody_knows_is_asked_about(makers, intake, table):
    """It stays as written."""
    maker = makers["one flat list"]
    result = intake((maker.file, maker.content))
    assert any("'Orla ?owicz' has damaged letters" in one.what for one in result.questions)
    assert "Orla ?owicz" in table("checklist.csv")


def test_a_near_miss_of_a_known_name_is_asked_about_and_kept(intake, words, table):
    """'Pel Skelwith' may be Pell Skelwith; nothing is changed silently."""
    from dataclasses import replace

    listed = "Card,Player,Team\n1,Pel Skelwith,Bells\n2,Una Tarnhowes,Bells\n"
    result = intake(("list.csv", listed), season=replace(words, subjects=("Pell Skelwith",)))
    assert [one.what for one in result.questions] == [
        "'Pel Skelwith': the season knows 'Pell Skelwith'. Are they the same?"
    ]
    assert "Pel Skelwith" in table("checklist.csv")


def test_columns_can_be_named_in_release_toml(intake, release, table):
    """A word that the trade does not know is taught by [columns]."""
    (release / "release.toml").write_text(
        'format = 1\ntitle = "X"\nmaker = "Y"\nline = "Z"\n[columns]\nsubject = ["Wearer of the skates"]\n',
        encoding="utf-8",
    )
    intake(("list.csv", "Card,Wearer of the skates,Team\n1,Pell Skelwith,Bells\n2,Una Tarnhowes,Bells\n"))
    assert "Base,base,1,Pell Skelwith,Bells" in table("checklist.csv")


def test_a_column_that_nobody_knows_is_told(intake):
    """What stood in it is left out, and that is said."""
    result = intake(
        ("list.csv", "Card,Player,Team,Shoe size\n1,Pell Skelwith,Bells,44\n2,Una Tarn,Bells,39\n")
    )
    (asked,) = result.questions
    assert (asked.id, asked.cells) == ("column: shoe size", ("D2", "D3"))
    assert asked.what == "What does the column 'Shoe size' hold? It has '44' and '39'."
    assert "nothing" in asked.choices
    assert "number" not in asked.choices


def test_a_number_that_became_a_date_is_a_problem(intake, workbook):
    """A spreadsheet program turned 3-4 into the third of April; the number is gone."""
    from datetime import date

    rows = [
        ["Card", "Player", "Team"],
        ["MV-1", "Pell Skelwith", "Bells"],
        [date(2031, 4, 3), "Una Tarn", "Bells"],
    ]
    result = intake(("list.xlsx", workbook({"Base": rows})))
    assert [(one.code, one.row) for one in result.problems] == [("date-for-number", 3)]


def test_a_hidden_sheet_beside_one_in_sight_is_set_aside(intake, workbook, table):
    """An older version that somebody hid does not count twice."""
    rows = [["Card", "Player", "Team"], [1, "Pell Skelwith", "Bells"], [2, "Una Tarn", "Bells"]]
    old = [["Card", "Player", "Team"], [1, "Somebody Old", "Bells"]]
    result = intake(("list.xlsx", workbook({"Base": rows, "Old": old}, hidden=("Old",))))
    assert "Somebody Old" not in table("checklist.csv")
    assert [(one.sheet, one.row) for one in result.set_aside] == [("Old", 1), ("Old", 2)]


def test_text_that_begins_like_a_formula_is_data(intake, table):
    """It comes through as it was written."""
    intake(("list.csv", "Card,Player,Team,Notes\n1,Pell Skelwith,Bells,=1+1\n2,Una Tarn,Bells,@home\n"))
    assert "=1+1" in table("checklist.csv")
    assert "@home" in table("checklist.csv")


def test_parallels_on_a_sheet_of_their_own_are_taken(intake, workbook, table):
    """Subset, parallel and print run a row."""
    cards = [["Card", "Player", "Team"], [1, "Pell Skelwith", "Bells"], [2, "Una Tarn", "Bells"]]
    listed = [["Set", "Parallel", "Print Run", "Found in"], ["Base", "Mist", None, None]]
    listed += [["Base", "Amber", 75, "Hobby"]]
    intake(("list.xlsx", workbook({"Base": cards, "Parallels": listed})))
    assert table("parallels.csv") == "subset,parallel,print_run,formats\nBase,Mist,,\nBase,Amber,75,hobby\n"


CARDS = "H-1,Una Tarn,Bells\nH-2,Pell Skelwith,Bells\n"
HEADER = "Card,Player,Team\n"


def subsets(written):
    """Each subset with its kind, in the order of the list."""
    rows = (line.split(",") for line in written.splitlines()[1:])
    return list(dict.fromkeys((row[0], row[1]) for row in rows))


@pytest.mark.parametrize(
    "above",
    [
        "GREYLOCK PRESS\n2031 BULWARK ROLLER HOCKEY\n\n",
        "2031 BULWARK ROLLER HOCKEY\nGREYLOCK PRESS\n\n",
        "GREYLOCK PRESS\n2031 BULWARK ROLLER HOCKEY\n",
        "GREYLOCK PRESS\n\n",
    ],
)
@pytest.mark.parametrize(
    ("heading", "subset"),
    [("BASE — 2 cards", ("Base", "base")), ("HARBOUR INK — autographs", ("Harbour Ink", "autograph"))],
)
def test_a_heading_below_the_header_names_the_subset_and_the_titles_above_do_not(
    intake, table, above, heading, subset
):
    """The text nearest to the cards is theirs."""
    result = intake(("list.csv", above + HEADER + heading + "\n" + CARDS))
    assert subsets(table("checklist.csv")) == [subset]
    (tally,) = result.tallies
    assert sum(tally.taken.values()) + tally.set_aside + tally.problems == tally.rows
    assert tally.taken["title"] == len(above.split("\n")) - 1 - above.count("\n\n")


def test_the_maker_above_the_product_is_no_subset_where_no_heading_follows(intake, table):
    """A list with titles alone is the base set."""
    intake(("list.csv", "GREYLOCK PRESS\n2031 BULWARK ROLLER HOCKEY\n\n" + HEADER + CARDS))
    assert {name for name, _ in subsets(table("checklist.csv"))} == {"Base"}


def test_a_heading_above_the_header_keeps_what_is_said_below_it(intake, table):
    """A sentence between the header and the cards does not take the heading's place."""
    intake(("list.csv", "HARBOUR INK (numbered to 50)\n\n" + HEADER + "Signed by hand\n" + CARDS))
    assert subsets(table("checklist.csv")) == [("Harbour Ink", "autograph")]


@pytest.mark.parametrize(
    ("heading", "subset"),
    [
        ("HARBOUR INK — autographs", ("Harbour Ink", "autograph")),
        ("HARBOUR INK: autographs", ("Harbour Ink", "autograph")),
        ("Twin Moorings - Dual Autographs", ("Twin Moorings", "autograph")),
        ("QUAY CLOTH – relics (numbered to 9)", ("Quay Cloth", "relic")),
        ("QUAY CLOTH: signed relics", ("Quay Cloth", "autograph relic")),
        ("LAMPLIT — inserts", ("Lamplit", "insert")),
        # no kind words after a mark: the whole is the name
        ("Marsh Hands Autographs", ("Marsh Hands Autographs", "autograph")),
        ("Night — Day", ("Night — Day", "insert")),
        ("Base — autographs", ("Base — autographs", "autograph")),
    ],
)
def test_kind_words_after_a_name_are_read_and_are_no_part_of_it(intake, table, heading, subset):
    """After a dash, a colon or in brackets they say what the cards are."""
    intake(
        ("list.csv", "BASE\n" + HEADER + "1,Una Tarn,Bells\n2,Ida Oxley,Bells\n\n" + heading + "\n" + CARDS)
    )
    assert subsets(table("checklist.csv")) == [("Base", "base"), subset]


def test_two_subsets_that_differ_in_their_kind_words_alone_keep_them(intake, table):
    """An ink and its relics do not run together."""
    signed = "Harbour - autographs\n" + CARDS
    relics = "\nHarbour - relics\n" + CARDS.replace("H-", "HR-")
    intake(("list.csv", "BASE\n" + HEADER + "1,Una Tarn,Bells\n\n" + signed + relics))
    assert subsets(table("checklist.csv")) == [
        ("Base", "base"),
        ("Harbour - autographs", "autograph"),
        ("Harbour - relics", "relic"),
    ]


@pytest.mark.parametrize("named", ["Harbour Ink", "HARBOUR INK — autographs", "Harbour Ink Autographs"])
def test_odds_may_name_a_subset_with_its_kind_words(intake, table, named):
    """They mean the subset whose cards are of that kind."""
    listed = "BASE\n" + HEADER + "1,Una Tarn,Bells\n\nHARBOUR INK — autographs\n" + CARDS
    result = intake(("list.csv", listed), ("odds.csv", f"Set,Parallel,Hobby,Retail\n{named},,1:31,1:90\n"))
    assert table("odds.csv").splitlines()[1].startswith("Harbour Ink,,hobby,31")
    assert [one.code for one in result.problems if one.code == "unknown-subset"] == []
