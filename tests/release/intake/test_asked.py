"""What is asked of columns and kinds, and what an answer or an earlier release settles."""

from __future__ import annotations

import csv
import io

import pytest

from rating.release.intake import SeasonWords

FIRST = ["Ada", "Bram", "Cleo", "Dorian", "Edda", "Fenn", "Greta", "Hollis", "Ines", "Joss"]
HEADINGS = ("card", "player", "team", "zq")


def rows_of(table):
    return list(csv.DictReader(io.StringIO(table("checklist.csv"))))


def cards(prefix, name, number=10):
    """Rows of one subset."""
    return "".join(f"{prefix}{n + 1},{FIRST[n]} Quill,Ferry,{name}\n" for n in range(number))


LIST = "Card,Player,Team,Set\n" + cards("", "Base Set") + cards("PREFIX-", "Quiet Giants", 4)


def test_a_kind_that_nobody_names_is_asked(intake, table, words):
    """Its cards are inserts meanwhile; an answer makes them what they are."""
    (asked,) = intake(("list.csv", LIST.replace("PREFIX", "QG"))).questions
    assert asked.id == "kind: quiet giants"
    assert asked.what == (
        "What are the 4 cards of Quiet Giants, such as QG-1 Ada Quill, QG-2 Bram Quill and QG-3 Cleo Quill?"
        " No file says so."
    )
    assert (asked.cells, asked.weight, asked.meanwhile) == (("12:15",), 4, "taken as inserts")
    assert [row["kind"] for row in rows_of(table)[10:]] == ["insert"] * 4
    season = SeasonWords(currency="USD", answers={asked.id: "autograph"})
    assert intake(("list.csv", LIST.replace("PREFIX", "QG")), season=season).questions == ()
    assert [row["kind"] for row in rows_of(table)[10:]] == ["autograph"] * 4


@pytest.mark.parametrize("prefix", ["QGA", "QGS"])
def test_where_something_speaks_for_a_signature_no_kind_is_written(intake, table, prefix):
    """Numbers with a letter more than the subset's initials do, though nobody says so."""
    (asked,) = intake(("list.csv", LIST.replace("PREFIX", prefix))).questions
    assert f"No file says so, but its numbers begin with {prefix}." in asked.what
    assert asked.meanwhile == "left blank"
    assert [row["kind"] for row in rows_of(table)] == ["base"] * 10 + [""] * 4


def test_a_sold_title_that_speaks_of_ink_leaves_the_kind_open(intake, table):
    """One of them is not enough to write it."""
    sold = "Date,Title,Price\n2031-04-01,2031 Cordage Ada Quill Quiet Giants autograph,$5.00\n"
    result = intake(("list.csv", LIST.replace("PREFIX", "QG")), ("sold.csv", sold))
    assert any("a sold title says" in one.what for one in result.questions)
    assert [row["kind"] for row in rows_of(table)[10:]] == [""] * 4


def test_a_column_that_tells_nothing_apart_is_no_question(intake):
    """The name of the game in each row, and the count of the rows."""
    listed = "Row,Card,Player,Team,Game\n" + "".join(
        f"{n + 1},{n + 21},{FIRST[n]} Quill,{'Ferry' if n % 2 else 'Harbour'},Shinty\n" for n in range(10)
    )
    result = intake(("list.csv", listed))
    assert result.questions == ()
    assert {one.code for one in result.problems} == {"unknown-column"}


# plays of a game: numbers that go down, and no word that is known
PLAYS = "Ko,Ra,Mi\n" + "".join(
    f"{90 - 7 * n},{FIRST[n]},{'Ferry' if n % 2 else 'Harbour'}\n" for n in range(8)
)


def test_a_table_that_nobody_recognises_is_asked_column_by_column(intake, table):
    """Nothing of it is taken; where a person says which column has numbers and people, it is read."""
    result = intake(("list.csv", PLAYS))
    assert table("checklist.csv") == ""
    assert sum(one.rows for one in result.set_aside) == 9
    assert [one.id for one in result.questions] == ["column: ko", "column: ra", "column: mi"]
    assert result.questions[0].what == "What does the column 'Ko' hold? It has '90', '83' and '76'."
    told = {"column: ko": "number", "column: ra": "subjects", "column: mi": "teams"}
    result = intake(("list.csv", PLAYS), season=SeasonWords(currency="USD", answers=told))
    assert result.questions == ()
    assert [(row["number"], row["subjects"], row["teams"]) for row in rows_of(table)][:2] == [
        ("90", "Ada", "Harbour"),
        ("83", "Bram", "Ferry"),
    ]


def test_columns_without_headings_are_told_apart_by_how_many_there_are(intake, table):
    """An answer about a table of three columns says nothing of one with two."""
    bare = PLAYS.split("\n", 1)[1]
    told = {f"column: column {name} of 3": role for name, role in zip("abc", COLUMNS, strict=True)}
    season = SeasonWords(currency="USD", answers=told)
    intake(("list.csv", bare), season=season)
    assert [row["subjects"] for row in rows_of(table)][:2] == ["Ada", "Bram"]
    other = "".join(f"{90 - 7 * n},{FIRST[n]}\n" for n in range(8))
    assert [one.id for one in intake(("other.csv", other), season=season).questions] == [
        "column: column a of 2",
        "column: column b of 2",
    ]


COLUMNS = ("number", "subjects", "teams")


def test_a_kept_layout_is_used_and_its_blanks_are_read_anew(intake, table):
    """What an earlier release of this maker showed goes before what the headings say."""
    listed = "Card,Player,Team,Zq\n" + "".join(
        f"{n + 1},{FIRST[n]} Quill,{'Ferry' if n % 2 else 'Harbour'},{'Ferry' if n % 3 else 'Harbour'}\n"
        for n in range(10)
    )
    kept = {HEADINGS: ("number", "subject", "", "team")}
    intake(("list.csv", listed), season=SeasonWords(currency="USD", layouts=kept))
    assert [row["teams"] for row in rows_of(table)][:3] == ["Harbour", "Ferry", "Ferry"]
    left = {HEADINGS: ("number", "subject", "team", "nothing")}
    result = intake(("list.csv", listed), season=SeasonWords(currency="USD", layouts=left))
    assert result.questions == ()
    assert [row["teams"] for row in rows_of(table)][:3] == ["Harbour", "Ferry", "Harbour"]


def test_an_answer_about_a_column_behind_the_headings_is_used(intake, table):
    """A column of three marks that no heading reaches is asked about once."""
    listed = "Card,Player,Team\n" + "".join(
        f"{n + 1},{FIRST[n]} Quill,{'Ferry' if n % 2 else 'Harbour'}{',,see mail' if n in (2, 5) else ''}\n"
        for n in range(10)
    )
    asked = [one.id for one in intake(("list.csv", listed)).questions]
    assert asked == ["column: column e"]
    for answer in ("nothing", "note"):
        season = SeasonWords(currency="USD", answers={asked[0]: answer})
        assert intake(("list.csv", listed), season=season).questions == ()
    assert {row["note"] for row in rows_of(table)} == {"", "see mail"}


def test_one_answer_for_two_columns_is_asked_no_second_time(intake, table):
    """Two columns cannot hold the same: the first has it, the other is left out."""
    told = {"column: ko": "number", "column: ra": "subjects", "column: mi": "subjects"}
    result = intake(("list.csv", PLAYS), season=SeasonWords(currency="USD", answers=told))
    assert result.questions == ()
    assert [row["subjects"] for row in rows_of(table)][:2] == ["Ada", "Bram"]


def test_an_answer_goes_before_the_layout_that_was_kept(intake, table):
    """The layout gives the team's role to another column; the answer takes it away from that."""
    listed = "Card,Player,Team,Zq\n" + "".join(
        f"{n + 1},{FIRST[n]} Quill,{'Ferry' if n % 2 else 'Harbour'},{'Ferry' if n % 3 else 'Harbour'}\n"
        for n in range(10)
    )
    season = SeasonWords(
        currency="USD",
        layouts={HEADINGS: ("number", "subject", "team", "nothing")},
        answers={"column: zq": "teams"},
    )
    asked = [one.id for one in intake(("list.csv", listed), season=season).questions]
    assert asked == ["column: team"]  # and Zq no second time
    assert [row["teams"] for row in rows_of(table)][:3] == ["Harbour", "Ferry", "Ferry"]


def test_a_column_of_few_cells_cannot_hold_what_each_card_has(intake):
    """Two of ten: no team and no person, though it may be a note."""
    listed = "Card,Player,Team,Zq\n" + "".join(
        f"{n + 1},{FIRST[n]} Quill,{'Ferry' if n % 2 else 'Harbour'},{'low tide' if n in (2, 5) else ''}\n"
        for n in range(10)
    )
    (asked,) = intake(("list.csv", listed)).questions
    assert asked.id == "column: zq"
    assert not {"number", "subjects", "teams", "forename", "surname"} & set(asked.choices)
    assert {"note", "nothing"} <= set(asked.choices)


def test_a_column_of_short_prints_is_a_note_and_no_question(intake, table):
    """Its cells say what they are, whatever stands above them."""
    listed = "Card,Player,Team,Zq\n" + "".join(
        f"{n + 1},{FIRST[n]} Quill,{'Ferry' if n % 2 else 'Harbour'},{'short print' if n in (2, 5) else ''}\n"
        for n in range(10)
    )
    assert intake(("list.csv", listed)).questions == ()
    noted = [row["number"] for row in rows_of(table) if row["note"]]
    assert noted == ["3", "6"]


def test_a_question_names_the_column_of_the_file(intake):
    """Though number and name were parted, and each column behind them is read one further on."""
    listed = "Spalte1\tSpalte2\tSpalte3\n" + "".join(
        f"{n + 1} {FIRST[n]} Quill\t{'Ferry' if n % 2 else 'Harbour'}\t{'low tide' if n in (2, 5) else ''}\n"
        for n in range(10)
    )
    asked = [one for one in intake(("list.tsv", listed)).questions if one.about == "Spalte3"]
    assert [one.cells for one in asked] == [("C4", "C7")]


def test_numbers_alone_cannot_be_names_or_marks(intake):
    """So none of those is offered as an answer."""
    counts = (14, 3, 99, 27, 5, 61, 8, 40, 72, 33)
    listed = "Card,Player,Team,Zq\n" + "".join(
        f"{n + 1},{FIRST[n]} Quill,{'Ferry' if n % 2 else 'Harbour'},{counts[n]}\n" for n in range(10)
    )
    asked = [one for one in intake(("list.csv", listed)).questions if one.topic == "column"]
    for one in asked:
        assert not {"redemption", "rookie", "subjects", "teams", "kind"} & set(one.choices)
        assert "nothing" in one.choices
    assert asked


def test_a_column_with_a_question_mark_names_nothing(intake):
    """What somebody noted beside a list is no subset, though a word may stand among it."""
    notes = {2: "checked", 5: "?", 7: "see mail"}
    listed = "Card,Player,Team,Zq\n" + "".join(
        f"{n + 1},{FIRST[n]} Quill,{'Ferry' if n % 2 else 'Harbour'},{notes.get(n, '')}\n" for n in range(10)
    )
    (asked,) = [one for one in intake(("list.csv", listed)).questions if one.about == "Zq"]
    assert not {"subset", "kind", "parallel", "teams"} & set(asked.choices)
    assert {"note", "nothing"} <= set(asked.choices)
