"""Hosts' lists of slot prices in several layouts become slots.csv; what is no slot price is set aside."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from datetime import date, datetime

import pytest

from rating.errors import RatingError
from rating.release import SLOTS
from rating.release.intake import SeasonWords, TeamWords

TOML = """\
format = 1
title = "Wickfield 2031 Halyard"
maker = "Wickfield"
line = "Halyard"
date = 2031-03-12
headline = "hobby"
[formats.hobby]
name = "Hobby"
cards_per_pack = 8
packs_per_box = 14
boxes_per_case = 10
[formats.retail]
name = "Retail"
"""
OTTERS, HERONS, PIKE, ROOKS = "Brindle Quay Otters", "Saltmarsh Herons", "Low Tarn Pike", "Kelderby Rooks"
TEAMS = (
    TeamWords(name=OTTERS, code="BQO", aliases=("Otters",)),
    TeamWords(name=HERONS, code="SMH", aliases=("Herons",)),
    TeamWords(name=PIKE, code="LTP", aliases=("Pike",)),
    TeamWords(name=ROOKS, code="KEL", aliases=("Rooks",)),
)
LATER = date(2031, 7, 20)


@pytest.fixture
def words():
    """A season with four teams that reads 4/5 as a day in April."""
    return SeasonWords(
        teams=TEAMS, currency="USD", date_order="month first", other_lines=("Gatehouse", "Halyard Late Watch")
    )


@pytest.fixture
def host(intake, release):
    """A host's list taken in for a release that is described."""
    (release / "release.toml").write_text(TOML, encoding="utf-8")

    def take(content, name="list.csv", **options):
        return intake((name, content), **options)

    return take


@pytest.fixture
def slots(table):
    """The rows of slots.csv by some of their columns."""

    def read(*columns):
        return [
            tuple(row.get(one) or "" for one in columns)
            for row in csv.DictReader(io.StringIO(table("slots.csv")))
        ]

    return read


def test_a_list_with_a_title_is_taken_row_by_row(host, table):
    """Day, format, cases and how it is sold stand above; codes, nicknames and pairs become names."""
    result = host("""\
2031 Halyard hobby 2 case break - PYT - April 5 2031

Team,Price,Status
Otters,$45,SOLD
SMH,"45,00",
pike/Rooks,82.5 USD,open
West,120,
Total,292.50,
""")
    assert table("slots.csv") == (
        "date,format,slot,price,how,cases,currency,source\n"
        f"2031-04-05,hobby,{OTTERS},45.00,fixed,2,USD,list.csv\n"
        f"2031-04-05,hobby,{HERONS},45.00,fixed,2,USD,list.csv\n"
        f"2031-04-05,hobby,{PIKE} + {ROOKS},82.50,fixed,2,USD,list.csv\n"
        "2031-04-05,hobby,West,120.00,fixed,2,USD,list.csv\n"
    )
    assert [(one.row, one.why) for one in result.set_aside] == [(8, "a line of sums or costs, not of a slot")]
    assert [(one.code, one.row, one.severity) for one in result.problems] == [("unknown-slot", 7, "remark")]
    assert result.questions == ()
    (tally,) = result.tallies
    assert (tally.read_as, tally.rows) == ("list of slot prices", 8)
    assert sum(tally.taken.values()) + tally.set_aside + tally.problems == 8


def test_what_is_written_can_be_read(host, release):
    """Without a problem."""
    host(
        "Date,Format,Team,Price,Type,Cases\n2031-04-05,hobby,Otters,45,auction,0.5\n2031-04-12,hobby,,39,random,1\n"
    )
    found, problems = SLOTS.read(release / SLOTS.file)
    assert problems == []
    assert [(one.slot, one.how, str(one.cases)) for one in found] == [
        (OTTERS, "auction", "0.5"),
        ("", "random", "1"),
    ]


def test_columns_say_what_titles_do_not(host, slots):
    """Product and type by row; a blank day goes on, another product is none, an unknown format is told."""
    result = host("""\
Date,Product,Team,Ask,Type
2031-04-05,Hobby,Otters,45,PYT
,,Herons,50,
2031-04-12,2031 Wickfield Halyard Retail,Otters,9,auction
2031-04-12,Gatehouse Hobby,Otters,9,auction
2031-04-12,2031 Halyard Late Watch,Otters,9,auction
2031-04-13,Jumbo,Otters,9,auction
2031-04-13,hobby,,35,random
""")
    assert slots("date", "format", "slot", "price", "how") == [
        ("2031-04-05", "hobby", OTTERS, "45.00", "fixed"),
        ("2031-04-05", "hobby", HERONS, "50.00", "fixed"),
        ("2031-04-12", "retail", OTTERS, "9.00", "auction"),
        ("2031-04-13", "jumbo", OTTERS, "9.00", "auction"),
        ("2031-04-13", "hobby", "", "35.00", "random"),
    ]
    assert [(one.row, one.why) for one in result.set_aside] == [
        (5, "a break of another product: Gatehouse"),
        (6, "a break of another product: Halyard Late Watch"),
    ]
    told = [(one.row, one.code, one.severity) for one in result.problems]
    assert told == [(7, "unknown-format", "remark")]


def test_teams_down_and_days_across(host, workbook, slots):
    """As workbooks store days; 'sold' without a price is none."""
    rows = [
        ["Halyard hobby PYT", None, None],
        ["Team", datetime(2031, 4, 5), datetime(2031, 4, 12)],
        ["Otters", 45, 40],
        ["Herons", 50.5, "sold"],
        ["Pike", None, 12],
        ["Average", 47.75, 26],
    ]
    result = host(workbook({"Asks": rows}), "asks.xlsx")
    assert slots("date", "slot", "price") == [
        ("2031-04-05", OTTERS, "45.00"),
        ("2031-04-12", OTTERS, "40.00"),
        ("2031-04-05", HERONS, "50.50"),
        ("2031-04-12", PIKE, "12.00"),
    ]
    assert [one.row for one in result.set_aside] == [6]


def test_days_down_and_teams_across(host, slots):
    """The same grid turned."""
    host("Hobby PYT\nDate,Otters,Herons,SMH/LTP\n2031-04-05,45,50,60\n2031-04-12,40,,55\n")
    assert slots("date", "slot", "price") == [
        ("2031-04-05", OTTERS, "45.00"),
        ("2031-04-05", HERONS, "50.00"),
        ("2031-04-05", f"{HERONS} + {PIKE}", "60.00"),
        ("2031-04-12", OTTERS, "40.00"),
        ("2031-04-12", f"{HERONS} + {PIKE}", "55.00"),
    ]


@pytest.mark.parametrize(
    ("content", "column", "wanted"),
    [
        ("Team;Hobby;Retail\nOtters;$45;$9\nHerons;$50;$8\n", "format", ["hobby", "retail"] * 2),
        ("Team,PYT,Auction\nOtters,45,40\nHerons,50,44\n", "how", ["fixed", "auction"] * 2),
        (
            "Team,Price,Team,Price\nOtters,45,Herons,50\nPike,12,Rooks,30\n",
            "slot",
            [OTTERS, HERONS, PIKE, ROOKS],
        ),
        ("Team 1,Team 2,Price\nOtters,Herons,80\nRooks,,20\n", "slot", [f"{OTTERS} + {HERONS}", ROOKS]),
        ("Division,Team,Spot,Price\nWest,Otters,1,45\nWest,Herons,2,40\n", "slot", [OTTERS, HERONS]),
        ("Break,Team,Price\n1,Otters,45\n2,Otters,48\n", "price", ["45.00", "48.00"]),
    ],
)
def test_other_things_stand_across_or_beside(host, slots, content, column, wanted):
    """Formats, ways to sell, two lists, the two teams of a pair, a division, a break's number."""
    host(content)
    assert [cell for (cell,) in slots(column)] == wanted


def test_merged_cells_hold_for_all_their_rows(host, workbook, slots):
    """A team written once over two days."""
    rows = [["Team", "Date", "Price"], ["Otters", "2031-04-05", 45], [None, "2031-04-12", 40]]
    host(workbook({"Sheet1": rows}, merged={"Sheet1": ["A2:A3"]}), "list.xlsx")
    assert slots("date", "slot") == [("2031-04-05", OTTERS), ("2031-04-12", OTTERS)]


def test_pasted_lines(host, slots):
    """A price in most lines; what is gone, what a box costs and what is said beside are set aside."""
    result = host(
        """\
PYT 2031 Halyard hobby case break 4/12/2031
Pick your team, from $30
Otters - $45
1. Herons ... $50 SOLD
* Low Tarn Pike: 12 USD (was $15)
Rooks SOLD
Random teams: $35 each
Case price $1,590
DM to claim
""",
        "pasted.txt",
    )
    assert slots("date", "slot", "price", "how", "cases") == [
        ("2031-04-12", OTTERS, "45.00", "fixed", "1"),
        ("2031-04-12", HERONS, "50.00", "fixed", "1"),
        ("2031-04-12", PIKE, "12.00", "fixed", "1"),
        ("2031-04-12", "", "35.00", "random", "1"),
    ]
    assert [(one.row, one.why) for one in result.set_aside] == [
        (6, "no price stands beside the slot"),
        (8, "a line of sums or costs, not of a slot"),
        (9, "a line of text"),
    ]


def test_amounts_with_a_decimal_comma_stay_whole_in_pasted_lines(host, slots):
    """Although the comma parts cells elsewhere; the currency is the list's, and is said."""
    result = host("Otters 45,00 €\nHerons 50,50 €\nPike 12,00 €\n", "pasted.txt")
    assert slots("price", "currency") == [("45.00", "EUR"), ("50.50", "EUR"), ("12.00", "EUR")]
    assert "pasted.txt: prices are in EUR, the season counts in USD" in result.notes


def test_titles_between_rows_hold_for_those_below(host, slots):
    """A new day and format; how it is sold goes on."""
    result = host(
        "Mar 14 2031 - PYT hobby,\nTeam,Price\nOtters,45\nRetail - Mar 21 2031,\nOtters,9\nThanks!,\n"
    )
    assert slots("date", "format", "price", "how") == [
        ("2031-03-14", "hobby", "45.00", "fixed"),
        ("2031-03-21", "retail", "9.00", "fixed"),
    ]
    assert [one.row for one in result.set_aside] == [6]


def test_a_random_break_is_one_price_without_a_team(host, slots):
    """However many places were sold at it, numbered or with the team that was drawn."""
    result = host("Random team break 2031-04-12 hobby\nSpot,Price\n1,35\n2,35\nOtters,35\n")
    assert slots("slot", "price", "how") == [("", "35.00", "random")]
    assert {one.why for one in result.set_aside} == {"the same slot at the same price stands in row 3"}


def test_numbered_slots_and_drafts_name_no_team(host, table):
    """They are set aside, each with its reason."""
    result = host("Spot,Price,Type\n1,35,\n2,40,draft\n")
    assert table("slots.csv") == ""
    assert [one.why for one in result.set_aside] == [
        "a numbered slot, which names no team",
        "a draft: what is sold is a turn to choose, not a slot",
    ]
    assert "no slot price could be taken; slots.csv stays as it is" in result.notes


def test_a_cancelled_break_is_set_aside(host, slots):
    """Nobody paid that."""
    result = host("Team,Price,Status\nOtters,45,\nHerons,50,refunded\n")
    assert slots("slot") == [(OTTERS,)]
    assert [one.why for one in result.set_aside] == ["the break or the slot was cancelled"]


def test_sizes_are_turned_into_cases(host, slots):
    """Five of ten boxes are half a case; three halves are written so."""
    host("Team,Price,Cases\nOtters,45,5 boxes\nHerons,50,half case\nPike,12,1.5\nRooks,30,?\n")
    assert slots("cases") == [("0.5",), ("0.5",), ("1.5",), ("",)]


def test_a_misspelt_team_is_taken_and_asked_about(host, slots):
    """Once, with the row."""
    result = host("Hobby,2031-04-05\nTeam,Price\nBrindle Quay Oters,45\nHerons,50\n")
    assert slots("slot") == [(OTTERS,), (HERONS,)]
    (question,) = result.questions
    assert question.row == 3
    assert f"it looks like {OTTERS}" in question.what


def test_a_list_without_a_day_and_format_is_taken_as_of_today_and_asked_about(host, slots):
    """Taken in again on another day it is still the same, and nothing changes."""
    content = "Team,Price\nOtters,45\nHerons,50\n"
    first = host(content)
    assert slots("date", "format") == [("2031-07-15", "")] * 2
    assert [one.meanwhile for one in first.questions] == [
        "taken as of 2031-07-15",
        "the format is left blank",
    ]
    assert first.questions[1].choices == ("hobby", "retail")
    again = host(content, today=LATER)
    assert (again.changes, again.kept, again.written) == ((), (), ())


def test_a_file_and_a_sheet_may_say_it_too(host, workbook, slots):
    """By their names; a list called a draft is no draft of teams."""
    rows = [["Team", "Price"], ["Otters", 9]]
    result = host(workbook({"Apr 5 2031": rows, "Apr 12 2031": rows}), "retail_PYT.xlsx")
    assert result.questions == ()
    assert slots("date", "format", "how") == [
        ("2031-04-05", "retail", "fixed"),
        ("2031-04-12", "retail", "fixed"),
    ]


def test_a_list_called_a_draft_is_taken(host, slots):
    """It is the file that is one."""
    host("Team,Price\nOtters,45\n", "draft.csv")
    assert slots("slot", "how") == [(OTTERS, "")]


def test_days_are_read_in_the_order_that_the_list_shows(host, slots):
    """13/04 can only be read one way, so 05/04 is in April too."""
    host("Date,Team,Price\n13/04/2031,Otters,45\n05/04/2031,Herons,50\n")
    assert slots("date") == [("2031-04-13",), ("2031-04-05",)]


def test_a_day_that_can_be_read_two_ways_is_a_problem(host, words, slots):
    """Where neither list nor season decides, and both have passed."""
    result = host(
        "Date,Team,Price\n04/05/2031,Otters,45\n2031-04-06,Pike,9\n",
        season=replace(words, date_order="year first"),
    )
    assert slots("slot") == [(PIKE,)]
    assert [(one.row, one.code) for one in result.problems] == [(2, "bad-date")]


def test_days_to_come_are_told(host):
    """They are taken: slots of next week are sold today."""
    result = host("Date,Team,Price\n2031-07-16,Otters,45\n")
    assert [(one.code, one.severity) for one in result.problems] == [("late-date", "remark")]
    assert result.tables == {"slots.csv": 1}


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("Otters,-45", "bad-value"),
        ("Otters,0", "bad-value"),
        ("Otters,999999999999999999", "bad-value"),
        ("Otters,40-50", "bad-value"),
        ("Otters,=B2*2", "bad-value"),
        ("Otters,#REF!", "bad-value"),
        ("Otters,#N/A", "bad-value"),
        ("Otters,TRUE", "bad-value"),
        ('"=HYPERLINK(""x"")",45', "bad-value"),
        ("@Otters,45", "bad-value"),
        ("Herons,51", "duplicate-slot"),
        (f"{'x' * 201},45", "bad-value"),
    ],
)
def test_a_row_that_cannot_be_used_is_a_problem_of_its_own(host, slots, row, code):
    """The others are taken."""
    result = host(f"Hobby 2031-04-05\nTeam,Price\nHerons,50\n{row}\nPike,12\n")
    assert [(one.row, one.code) for one in result.problems] == [(4, code)]
    assert slots("slot") == [(HERONS,), (PIKE,)]


def test_a_workbooks_cells_of_other_types_are_problems_too(host, workbook, slots):
    """True, an error, a formula without its result."""
    rows = [["Team", "Price"], ["Otters", True], ["Herons", "#DIV/0!"], ["Pike", "=1/3"], ["Rooks", 30]]
    result = host(workbook({"Sheet1": rows}), "list.xlsx")
    assert slots("slot", "price") == [(ROOKS, "30.00")]
    assert {(one.row, one.code) for one in result.problems} == {
        (2, "bad-value"),
        (3, "bad-value"),
        (4, "uncomputed-formula"),
    }
    assert [one.row for one in result.set_aside] == [4]


def test_without_a_column_of_slots_it_is_no_list_of_them(host, table):
    """Nothing is guessed from prices alone."""
    result = host("Price,Buyer\n45,Jo\n50,Al\n")
    assert table("slots.csv") == ""
    assert result.set_aside[0].why == "neither cards nor odds, sales or slot prices are recognised in it"


def test_a_revised_list_brings_its_days_anew_and_leaves_the_others(host, slots):
    """A row that is gone goes, a price that changed changes; another day of the same file stays."""
    host("Date,Format,Team,Price\n2031-04-05,hobby,Otters,45\n2031-04-05,hobby,Pike,12\n")
    result = host("Date,Format,Team,Price\n2031-04-05,hobby,Otters,40\n")
    assert slots("date", "slot", "price") == [("2031-04-05", OTTERS, "40.00")]
    assert result.changed == {"added": 0, "removed": 1, "altered": 1}
    host("Date,Format,Team,Price\n2031-04-12,hobby,Otters,38\n")
    assert slots("date", "price") == [("2031-04-05", "40.00"), ("2031-04-12", "38.00")]


def test_edits_made_by_hand_are_kept_unless_replaced(host, release, slots):
    """As in the other tables."""
    content = "Date,Format,Team,Price\n2031-04-05,hobby,Otters,45\n2031-04-05,hobby,Pike,12\n"
    host(content)
    path = release / "slots.csv"
    path.write_text(path.read_text(encoding="utf-8").replace("45.00", "46.00"), encoding="utf-8")
    result = host(content)
    assert slots("price") == [("46.00",), ("12.00",)]
    assert len(result.kept) == 1
    host(content, replace=True)
    assert slots("price") == [("45.00",), ("12.00",)]


def test_the_same_list_under_another_name_is_not_taken_twice(host, slots):
    """And it is said; another host's list of the same day is taken beside it."""
    content = "Date,Format,Team,Price\n2031-04-05,hobby,Otters,45\n2031-04-05,hobby,Pike,12\n"
    host(content)
    result = host(content, "copy.csv")
    assert "copy.csv: all its slot prices stand in slots.csv already, from another list" in result.notes
    host(content.replace("45", "44"), "other.csv")
    assert slots("price", "source") == [
        ("45.00", "list.csv"),
        ("12.00", "list.csv"),
        ("44.00", "other.csv"),
        ("12.00", "other.csv"),
    ]


def test_the_record_knows_the_list_and_the_table(host, release):
    """With what it was read as."""
    host("Date,Format,Team,Price\n2031-04-05,hobby,Otters,45\n")
    record = json.loads((release / "intake.json").read_text(encoding="utf-8"))
    assert [(one["file"], one["read_as"]) for one in record["sources"]] == [
        ("list.csv", "list of slot prices")
    ]
    assert list(record["tables"]) == ["slots.csv"]


def test_a_damaged_table_is_refused_and_nothing_is_written(host, release):
    """What stands there is a person's."""
    (release / "slots.csv").write_text("who,what\n1,2\n", encoding="utf-8")
    with pytest.raises(RatingError, match="not known here"):
        host("Date,Format,Team,Price\n2031-04-05,hobby,Otters,45\n")
    assert not (release / "intake.json").exists()


def test_a_release_names_columns_of_its_own(host, release, slots):
    """Under [columns], as for the other kinds."""
    (release / "release.toml").write_text(
        f'{TOML}[columns]\nslot = ["Crew"]\nprice = ["Toll"]\n', encoding="utf-8"
    )
    host2 = "Crew,Toll\nOtters,45\n"
    path = release.parent / "sources" / "own.csv"
    path.parent.mkdir(exist_ok=True)
    path.write_text(host2, encoding="utf-8")
    from rating.release.intake import take_in

    take_in(release, [path], season=SeasonWords(teams=TEAMS, currency="USD"), today=date(2031, 7, 15))
    assert slots("slot", "price") == [(OTTERS, "45.00")]


def test_a_season_without_teams_uses_the_checklists(intake, slots):
    """Which may come with the list."""
    cards = "Card,Player,Team\n1,Orla Lowicz,Tarn End Foxes\n2,Ada Finch,Dun Hill Larks\n"
    intake(("cards.csv", cards), ("slots.csv", "Team,Price\nFoxes,45\nLarks,30\n"), season=SeasonWords())
    assert slots("slot") == [("Tarn End Foxes",), ("Dun Hill Larks",)]
