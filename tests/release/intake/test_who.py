"""Who is on the cards: whole names, halves and teams told apart by how they behave in the rows."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from rating.release.intake import TeamWords

FORENAMES = ("Ada", "Bo", "Cy", "Dot", "Eve", "Fen", "Gil")
SURNAMES = ("Quill", "Merrow", "Oxley", "Tarn", "Fell", "Hoar", "Rusk", "Vane")
TEAMS = ("Tarn Otters", "Fell Herons", "Moor Rooks", "Quay Gulls", "Low Hares", "Old Kites", "Dale Larks")


@pytest.fixture
def cards(table):
    """The checklist's rows, as dicts."""
    return lambda: list(csv.DictReader(io.StringIO(table("checklist.csv"))))


def person(number):
    """Forename, surname and team of a card; every third one stands in the insert set once more."""
    return FORENAMES[number % 7], SURNAMES[number % 8], TEAMS[(number * 3 + number // 7) % 7]


SET = [("Base", str(number + 1), *person(number)) for number in range(48)]
SET += [("Bright Sparks", f"BS-{place + 1}", *person(number)) for place, number in enumerate(range(0, 48, 3))]
NAMES = [f"{first} {last}" for _, _, first, last, _ in SET]


def listed(*lines):
    return "".join(";".join(line) + "\n" for line in lines)


def test_teams_that_nobody_named_before_are_told_from_persons(intake, cards):
    """A person stands on one card of a set and plays for one team; teams recur."""
    intake(("list.csv", listed(*((no, team, f"{a} {b}", subset) for subset, no, a, b, team in SET))))
    assert [one["subjects"] for one in cards()] == NAMES
    assert [one["teams"] for one in cards()] == [team for *_, team in SET]


@pytest.mark.parametrize("marks", ["", "®"])
def test_halves_of_names_are_told_from_teams_of_two_words(intake, cards, marks):
    """Without headings; what is said elsewhere tells which half goes first."""
    rows = listed(*((team + marks, last, no, first, subset) for subset, no, first, last, team in SET))
    sheet = "The fronts show Ada Quill and Bo Merrow. Look for Cy Oxley, Dot Tarn, Eve Fell and Fen Hoar.\n"
    intake(("list.csv", rows), ("sheet.txt", sheet))
    assert [one["subjects"] for one in cards()] == NAMES
    assert [one["teams"] for one in cards()] == [team for *_, team in SET]


def test_suffixes_and_particles_tell_surnames(intake, cards):
    """The column with a suffix holds the surnames, wherever it stands."""
    rows = [(last + " III" * (i in {3, 9}), no, first) for i, (_, no, first, last, _) in enumerate(SET[:48])]
    intake(("list.csv", listed(*rows)))
    assert cards()[3]["subjects"] == "Dot Tarn III"
    assert [one["subjects"] for one in cards()][10:] == NAMES[10:48]


def test_names_with_teams_in_brackets_in_a_row_for_each_parallel(intake, cards):
    """Each card stands once in the checklist, though its row stands three times in the file."""
    rows = [
        (subset, kind, f"{first} {last} ({team}®)", no)
        for kind in ("Base version", "Rust", "Plum")
        for subset, no, first, last, team in SET
    ]
    intake(("list.csv", listed(("v1", "v2", "v3", "v4"), *rows)))
    assert [(one["subjects"], one["number"]) for one in cards()] == list(
        zip(NAMES, (no for _, no, *_ in SET), strict=True)
    )


def test_number_and_name_in_a_cell_in_a_row_for_each_parallel(intake, cards):
    """The running number of the rows is none of a card."""
    kinds = ("Base version", "Hoar", "Peach", "Jade")
    rows = [(subset, kind, f"{no} {first} {last}") for kind in kinds for subset, no, first, last, _ in SET]
    numbered = [(str(place + 1), *row) for place, row in enumerate(rows)]
    intake(("list.csv", listed(("", "Set", "Version", ""), *numbered)))
    assert [one["number"] for one in cards()] == [no for _, no, *_ in SET]
    assert [one["subjects"] for one in cards()] == NAMES


def test_some_names_turned_round_and_some_short(intake, cards):
    """'Last, First' in the base set, 'F. Last' in the insert set."""
    rows = [
        (subset, no, f"{last}, {first}" if subset == "Base" else f"{first[0]}. {last}", team)
        for subset, no, first, last, team in SET
    ]
    intake(("list.csv", listed(("Set", "No.", "Player", "Team"), *rows)))
    assert [one["subjects"] for one in cards()][:48] == NAMES[:48]
    assert cards()[48]["subjects"] == "A. Quill"


def test_two_persons_in_columns_of_halves(intake, cards):
    """'Ada & Bo', 'Quill & Merrow' of 'Wold & Weir Gannets' and another team are two persons of two teams."""
    one = [
        (subset, no, first, last, team.replace("Moor Rooks", "Wold & Weir Gannets"))
        for subset, no, first, last, team in SET
    ]
    two = [
        ("Doubles", "D-1", "Ada & Cy", "Quill & Oxley", "Tarn Otters & Wold & Weir Gannets"),
        ("Doubles", "D-2", "Bo & Dot", "Merrow & Tarn", "Wold & Weir Gannets & Low Hares"),
    ]
    intake(("list.csv", listed(("Set", "No.", "First Name", "Last Name", "Team"), *one, *two)))
    assert cards()[-2]["subjects"] == "Ada Quill / Cy Oxley"
    assert [row["teams"] for row in cards()[-2:]] == [
        "Tarn Otters / Wold & Weir Gannets",
        "Wold & Weir Gannets / Low Hares",
    ]


def test_two_rows_of_one_number_with_the_same_surname_are_two_persons(intake, cards):
    """Brothers and sisters share a name and a card."""
    rows = [(no, first, last, team) for _, no, first, last, team in SET[:48]]
    rows += [("D-1", "Ada", "Quill", "Tarn Otters"), ("D-1", "Bo", "Quill", "Fell Herons")]
    rows += [("D-2", "Cy", "Oxley", "Moor Rooks"), ("D-2", "Dot", "Oxley", "Low Hares")]
    intake(("list.csv", listed(("No.", "First Name", "Last Name", "Team"), *rows)))
    assert [one["subjects"] for one in cards()][48:] == ["Ada Quill / Bo Quill", "Cy Oxley / Dot Oxley"]


def test_codes_of_teams_are_no_halves_of_names(intake, cards):
    """Short capitals of one length beside forenames and surnames in capitals."""
    codes = ("TID", "BOS", "HOL", "QUA", "KIR", "ORC", "NOR", "JUN", "FAL")
    rows = [
        (no, first.upper(), last.upper(), codes[(place * 2 + place // 5) % 9])
        for place, (_, no, first, last, _) in enumerate(SET[:48])
    ]
    rows[5] = (rows[5][0], rows[5][1], "VON HOAR", rows[5][3])
    intake(("list.csv", listed(*rows)))
    assert [one["subjects"] for one in cards()][:3] == ["ADA QUILL", "BO MERROW", "CY OXLEY"]
    assert [one["teams"] for one in cards()][:3] == ["TID", "HOL", "KIR"]


def test_a_subset_that_stands_once_above_its_cards_in_a_row_that_stands_twice(intake, cards):
    """Its heading could be that of surnames; the cards stand in a row for each parallel."""
    rows, before = [], ""
    for subset, no, first, last, team in SET:
        for place, kind in enumerate(("", "Copper", "Jade")):
            head = subset if not place and subset != before else ""
            rows.append((head, kind, no, f"{first} {last}", team))
        if subset != before and before:
            rows.insert(-2, rows[-3])
        before = subset
    intake(("list.csv", listed(("Family", "Colour", "Piece", "Featuring", "Crew"), *rows)))
    assert [(one["subset"], one["number"]) for one in cards()] == [(subset, no) for subset, no, *_ in SET]


def test_the_only_column_of_persons_is_taken_though_all_of_them_recur(intake, cards):
    """Twelve persons on twenty-four cards: a list of cards names somebody."""
    rows = [(str(i + 1), NAMES[i % 12], SET[i % 12][4]) for i in range(24)]
    intake(("list.csv", listed(*rows)))
    assert [one["subjects"] for one in cards()] == [*NAMES[:12], *NAMES[:12]]


def test_surnames_in_capitals_go_first_though_other_sets_shorten_the_forename(intake, cards):
    """Half of the names are short: they say nothing of the order."""
    rows = [("Base", no, f"{last.upper()} {first}") for _, no, first, last, _ in SET[:20]]
    rows += [("Bright Sparks", f"BS-{i + 1}", f"{a[0]}. {b}") for i, (_, _, a, b, _) in enumerate(SET[:18])]
    intake(("list.csv", listed(("Set", "No.", "Player"), *rows)))
    assert [one["subjects"] for one in cards()][:20] == NAMES[:20]
    assert [one["subjects"] for one in cards()][20:22] == ["A. Quill", "B. Merrow"]


def test_two_letters_for_forenames_among_short_names_are_no_surnames(intake, cards):
    """'JD Quill' keeps its order."""
    rows = [(no, f"{first[0]}. {last}") for _, no, first, last, _ in SET[:20]]
    rows += [("21", "JD Quill"), ("22", "TJ Merrow")]
    intake(("list.csv", listed(("No.", "Player"), *rows)))
    assert [one["subjects"] for one in cards()][20:] == ["JD Quill", "TJ Merrow"]


def test_short_names_beside_surnames_in_capitals(intake, cards):
    """'QUILL Ada' in one set and 'A. Quill' in a longer one: the short names say nothing of the order."""
    rows = [("Base", no, f"{last.upper()} {first}") for _, no, first, last, _ in SET[:20]]
    rows += [("Penned", f"P-{no}", f"{first[0]}. {last}") for _, no, first, last, _ in SET[:40]]
    intake(("list.csv", listed(("Set", "No.", "Player"), *rows)))
    assert [one["subjects"] for one in cards()][:20] == NAMES[:20]


def test_a_rookie_mark_behind_each_name_is_no_team(intake, cards):
    """A sheet whose cards are all of rookies: the mark recurs as a team would."""
    names = [
        "MERROW Ada",
        "OXLEY Sr. Bo",
        "DOS VENTOS Cy",
        "VON HOAR Dot",
        "FELL II Eve",
        "RUSK Fen",
        "VANE Gil",
    ]
    text = "".join(f"RA-{place + 1}\t{name} [R]\n" for place, name in enumerate(names))
    intake(("rookies.txt", "First Steps [RA]\n" + text))
    assert [one["subjects"] for one in cards()] == [
        "Ada Merrow",
        "Bo Oxley Sr.",
        "Cy Dos Ventos",
        "Dot Von Hoar",
        "Eve Fell II",
        "Fen Rusk",
        "Gil Vane",
    ]
    assert {(one["teams"], one["rookie"]) for one in cards()} == {("", "yes")}


def test_second_persons_turned_round_with_teams_in_brackets(intake, cards, table):
    """'Quill, Ada (Quay Gulls)' in few rows of the column 'Player 2' is a person and no list of parallels."""
    names = [f"{last}, {first} ({team})" for _, _, first, last, team in SET]
    rows = [("Base", f"B{no}", names[int(no) - 1], "") for _, no, *_ in SET[:48]]
    rows += [("Better Half", f"D-{place + 1}", names[place], names[47 - place]) for place in range(8)]
    intake(("list.csv", listed(("Set", "No.", "Player 1", "Player 2"), *rows)))
    assert [one["subjects"] for one in cards()][48:] == [f"{NAMES[i]} / {NAMES[47 - i]}" for i in range(8)]
    assert cards()[-1]["teams"] == f"{SET[7][4]} / {SET[40][4]}"
    assert "Quill" not in table("parallels.csv")


@pytest.mark.parametrize("heads", [("Name", "Name 2"), ("Name 1", "Name 2"), ("Player", "Player 2")])
def test_second_names_stand_under_headings_of_their_own(intake, cards, heads):
    """Few cards have a second person, and some are known by one word."""
    rows = [("Base", no, name, team, "") for (_, no, *_, team), name in zip(SET[:48], NAMES, strict=False)]
    seconds = ("Cy Oxley", "Dot Tarn", "Gilly", "Gil Rusk")
    rows += [
        ("Twin Moorings", f"TM-{i + 1}", NAMES[i], SET[i][4], second) for i, second in enumerate(seconds)
    ]
    intake(("list.csv", listed(("Set", "No.", heads[0], "Team", heads[1]), *rows)))
    assert [one["subjects"] for one in cards()] == [
        *NAMES[:48],
        *(f"{NAMES[i]} / {second}" for i, second in enumerate(seconds)),
    ]


def test_second_halves_stand_under_headings_of_their_own(intake, cards):
    """'First 2' and 'Last 2' are filled for pairs alone."""
    rows = [("Base", no, first, last, team, "", "") for _, no, first, last, team in SET[:48]]
    rows += [("Twin Moorings", "TM-1", "Ada", "Quill", "Tarn Otters", "Cy", "Oxley")]
    rows += [("Twin Moorings", "TM-2", "Bo", "Merrow", "Moor Rooks", "Dot", "Tarn")]
    rows += [("Twin Moorings", "TM-3", "Eve", "Fell", "Low Hares", "Gil", "Rusk")]
    intake(("list.csv", listed(("Set", "No.", "First", "Last", "Team", "First 2", "Last 2"), *rows)))
    assert [one["subjects"] for one in cards()] == [
        *NAMES[:48],
        "Ada Quill / Cy Oxley",
        "Bo Merrow / Dot Tarn",
        "Eve Fell / Gil Rusk",
    ]


@pytest.mark.parametrize("head", ["Team", "Team 2", "Zorp", ""])
def test_a_second_team_is_no_second_person(intake, cards, head):
    """Its cells look like names, and stand in the column of teams too."""
    rows = [("Base", no, name, team, "") for (_, no, *_, team), name in zip(SET[:48], NAMES, strict=False)]
    pairs = [(i, i + 3) for i in range(4)]
    rows += [
        ("Twin Moorings", f"TM-{i + 1}", f"{NAMES[i]} / {NAMES[other]}", SET[i][4], SET[other][4])
        for i, other in pairs
    ]
    intake(("list.csv", listed(("Set", "No.", "Player", "Team", head), *rows)))
    assert [(one["subjects"], one["teams"]) for one in cards()][48:] == [
        (f"{NAMES[i]} / {NAMES[other]}", f"{SET[i][4]} / {SET[other][4]}") for i, other in pairs
    ]


def test_names_written_without_a_blank_are_parted_at_the_mark_between_them(intake, cards):
    """'신하린 & P. Sørbø' are two persons."""
    text = "BASE\n1. 신하린\n2. P. Sørbø\n3. 田中葵\n4. Ada Quill\n\n"
    text += "TWIN MOORINGS\nTM-1. 신하린 & P. Sørbø\nTM-2. Ada Quill & 田中葵\nTM-3. 신하린 & 田中葵\n"
    intake(("list.txt", text))
    assert [one["subjects"] for one in cards()] == [
        "신하린",
        "P. Sørbø",
        "田中葵",
        "Ada Quill",
        "신하린 / P. Sørbø",
        "Ada Quill / 田中葵",
        "신하린 / 田中葵",
    ]


def test_each_person_of_a_pair_may_have_a_team_behind_the_name(intake, cards):
    """'A, Team A / B, Team B': the names go together, and so do the teams."""
    text = "BASE\n" + "".join(f"{no}. {a} {b}, {team}\n" for _, no, a, b, team in SET[:48])
    text += "\nTWIN MOORINGS\nTM-1. Ada Quill, Tarn Otters / Cy Oxley, Fell Herons\n"
    text += "TM-2. Bo Merrow, Moor Rooks / Dot Tarn, Low Hares\n"
    intake(("list.txt", text))
    assert [(one["subjects"], one["teams"]) for one in cards()][48:] == [
        ("Ada Quill / Cy Oxley", "Tarn Otters / Fell Herons"),
        ("Bo Merrow / Dot Tarn", "Moor Rooks / Low Hares"),
    ]


def test_teams_stand_behind_names_or_above_them(intake, cards, words):
    """One subset has its teams behind the names, the other in headings."""
    season = replace(words, teams=tuple(TeamWords(name=one) for one in TEAMS))
    text = "BASE\n\n"
    for team in TEAMS[:4]:
        some = [one for one in SET[:48] if one[4] == team][:4]
        text += f"{team}\n" + "".join(f"{no}. {a} {b}\n" for _, no, a, b, _ in some) + "\n"
    text += "BRIGHT SPARKS\n" + "".join(f"{no}. {a} {b}, {team}\n" for _, no, a, b, team in SET[48:60])
    intake(("list.txt", text), season=season)
    teams = {number: team for _, number, _, _, team in SET}
    assert len(cards()) == 16 + 12
    assert [one["teams"] for one in cards()] == [teams[one["number"]] for one in cards()]
    names = {number: f"{first} {last}" for _, number, first, last, _ in SET}
    assert [one["subjects"] for one in cards()] == [names[one["number"]] for one in cards()]


def test_a_column_that_counts_rows_may_skip_one(intake, cards):
    """A row was taken out of the list; the cards' own numbers begin anew in each subset."""
    count = [place for place in range(1, 66) if place != 20]
    rows = [
        (str(at), no, f"{a} {b}", team, subset)
        for at, (subset, no, a, b, team) in zip(count, SET, strict=True)
    ]
    intake(("list.csv", listed(*rows)))
    assert [one["number"] for one in cards()] == [no for _, no, *_ in SET]
    assert [one["subset"] for one in cards()] == [subset for subset, *_ in SET]
