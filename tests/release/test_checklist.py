"""The checklist, its parallels and the odds, read from tidy CSV."""

from __future__ import annotations

import csv
from collections import Counter
from decimal import Decimal
from pathlib import Path

import pytest

from rating.errors import RatingError
from rating.release import CHECKLIST, ODDS, PARALLELS
from rating.release.checklist import KINDS, Card, Odds, Parallel

HALYARD = Path(__file__).resolve().parents[1] / "data/halyard"
HEADER = ",".join(CHECKLIST.names) + "\n"


def cards_of(*lines: str, quoted: bool = False):
    """Cards and problems of some rows, by either way of reading."""
    content = HEADER + "".join(f"{line}\n" for line in lines)
    if quoted:
        rows = list(csv.reader(content.splitlines()))
        content = "".join(",".join(f'"{cell}"' for cell in row) + "\n" for row in rows)
    return CHECKLIST.parse(content)


def told(problems):
    """Code, row and what of each problem."""
    return [(one.code, one.row, one.what) for one in problems]


def test_a_card_is_read_with_all_that_is_said_of_it():
    """Every column becomes its value; blank is not known or not so."""
    found, problems = cards_of(
        "Signed Canvas,Autograph Relic,SC-1,Ada Núñez / Bo Łowicz,Otters / Herons,"
        "yes,25,card,game-worn,yes,yes,one note",
        "Base,base,001,Cy,,,,,,,,",
    )
    assert problems == []
    assert found == (
        Card(
            subset="Signed Canvas",
            kind="autograph relic",
            number="SC-1",
            subjects=("Ada Núñez", "Bo Łowicz"),
            teams=("Otters", "Herons"),
            rookie=True,
            print_run=25,
            signed="card",
            relic="game-worn",
            variation=True,
            redemption=True,
            note="one note",
            row=2,
        ),
        Card("Base", "base", "001", ("Cy",), (), False, None, "", "", False, False, "", 3),
    )


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_says_whether_a_card_is_a_hit(kind):
    """An autograph, a relic or both; signed are the first and the last."""
    (card,), _ = cards_of(f"S,{kind},1,Ada,,,,,,,,")
    assert card.is_hit == (kind not in {"base", "insert"})
    assert card.has_signature == ("autograph" in kind)


@pytest.mark.parametrize(
    ("line", "code", "what"),
    [
        ("Base,bass,1,Ada,,,,,,,,", "bad-value", "kind is 'bass'"),
        ("Base,,1,Ada,,,,,,,,", "bad-value", "kind is blank"),
        (",base,1,Ada,,,,,,,,", "missing-value", "subset is blank"),
        ("Base,base,,Ada,,,,,,,,", "missing-value", "number is blank"),
        ("Base,base,1,,,,,,,,,", "missing-value", "subjects is blank"),
        ("Base,base,1,Ada,,no,,,,,,", "bad-value", "rookie is 'no'"),
        ("Base,base,1,Ada,,,0,,,,,", "bad-value", "print_run is '0'"),
        ("Base,base,1,Ada,,,-5,,,,,", "bad-value", "print_run is '-5'"),
        ("Base,base,1,Ada,,,1.5,,,,,", "bad-value", "print_run is '1.5'"),
        ("Base,base,1,Ada,,,,pencil,,,,", "bad-value", "signed is 'pencil'"),
        ("Base,base,1,Ada,,,,,old,,,", "bad-value", "relic is 'old'"),
        ("Base,base,1,Ada,,,,,,maybe,,", "bad-value", "variation is 'maybe'"),
        ("Base,base,1,Ada,,,,,,,x,", "bad-value", "redemption is 'x'"),
        (f"Base,base,{'9' * 41},Ada,,,,,,,,", "bad-value", "number has 41 characters"),
        ("Base,base,1,A\u202eda,,,,,,,,", "bad-mark", "subjects holds the invisible mark U+202E"),
        ("Base,base,1,Ada / Bo,A / B / C,,,,,,,", "uneven-teams", "2 subjects but 3 teams"),
        ("Base,base,1,Ada,A / B,,,,,,,", "uneven-teams", "1 subjects but 2 teams"),
        (
            "Base,base,1,Ada /,,,,,,,,",
            "bad-value",
            "subjects is 'Ada /', with nothing on one side of the stroke",
        ),
        (
            "Base,base,1,/ Ada,,,,,,,,",
            "bad-value",
            "subjects is '/ Ada', with nothing on one side of the stroke",
        ),
        (
            "Base,base,1,Ada /  / Bo,,,,,,,,",
            "bad-value",
            "subjects is 'Ada / / Bo', with nothing on one side",
        ),
        ("Base,base,1,/,,,,,,,,", "bad-value", "subjects is '/', with nothing on one side of the stroke"),
    ],
)
@pytest.mark.parametrize("quoted", [False, True])
def test_a_bad_cell_is_told_with_its_row(line, code, what, quoted):
    """By either way of reading, and the good row beside it is read."""
    found, problems = cards_of("Base,base,7,Good,,,,,,,,", line, quoted=quoted)
    assert found[0].number == "7"
    assert len(problems) == 1
    assert (problems[0].code, problems[0].row) == (code, 3)
    assert problems[0].what.startswith(what)


def test_every_bad_cell_of_a_file_is_told():
    """None hides another, also two in one row."""
    _, problems = cards_of("Base,bass,1,Ada,,no,,,,,,", "Base,base,2,Ada,,,x,,,,,", ",base,3,,,,,,,,,")
    assert sorted(row for _, row, _ in told(problems)) == [2, 2, 3, 4, 4]


@pytest.mark.parametrize("number", [3, 40])
def test_people_are_read_alike_from_short_and_long_tables(number):
    """A name that stands in many rows is split once; it makes no difference."""
    lines = [
        f"Base,base,{row},{name},{name}-Town,,,,,,,"
        for row in range(number)
        for name in ("Ada", "A / B", "C/D")
    ]
    lines = [line.replace("A / B-Town", "X / Y") for line in lines]
    found, problems = cards_of(*lines)
    assert problems == []
    assert [card.subjects for card in found] == [("Ada",), ("A", "B"), ("C/D",)] * number
    assert [card.teams for card in found] == [("Ada-Town",), ("X", "Y"), ("C/D-Town",)] * number


def read_text(tmp_path, table, content):
    """What a table makes of a text."""
    path = tmp_path / "x.csv"
    path.write_text(content, encoding="utf-8")
    return table.read(path)


def test_parallels_are_read_with_their_formats(tmp_path):
    """Parted by commas or blanks; none is all of them."""
    found, problems = read_text(
        tmp_path,
        PARALLELS,
        "subset,parallel,print_run,formats\nBase,Mist,,\n"
        'Base,Amber,75,"hobby, retail"\nBase,Red,1,hobby retail\n',
    )
    assert problems == []
    assert found == (
        Parallel("Base", "Mist", None, (), 2),
        Parallel("Base", "Amber", 75, ("hobby", "retail"), 3),
        Parallel("Base", "Red", 1, ("hobby", "retail"), 4),
    )


def test_bad_parallels_are_told(tmp_path):
    """Blank names and print runs that are none."""
    _, problems = read_text(
        tmp_path, PARALLELS, "subset,parallel,print_run\n,Mist,\nBase,,5\nBase,Red,none\n"
    )
    assert told(problems) == [
        ("missing-value", 2, "subset is blank"),
        ("missing-value", 3, "parallel is blank"),
        ("bad-value", 4, "print_run is 'none'"),
    ]


def test_odds_are_read_exactly(tmp_path):
    """N of '1 in N packs' as a decimal; a blank parallel is the base version."""
    found, problems = read_text(
        tmp_path,
        ODDS,
        "subset,parallel,format,packs_per_copy\nBase,,hobby,3\nInk,Red,hobby,2.5\n",
    )
    assert problems == []
    assert found == (
        Odds("Base", "", "hobby", Decimal(3), "", 2),
        Odds("Ink", "Red", "hobby", Decimal("2.5"), "", 3),
    )


@pytest.mark.parametrize("packs", ["", "0", "0.0", "-3", "1:3", "1e3", "nan", "٣", "3.1.4", ".", "1" * 13])
def test_bad_odds_are_told_and_left_out(tmp_path, packs):
    """No number above nought, no odds."""
    found, problems = read_text(
        tmp_path, ODDS, f"subset,format,packs_per_copy\nBase,hobby,{packs}\nBase,retail,4\n"
    )
    assert [one.format for one in found] == ["retail"]
    assert [(one.code, one.row) for one in problems] == [("bad-value", 2)]


@pytest.mark.parametrize("table", [CHECKLIST, PARALLELS, ODDS], ids=lambda table: table.file)
def test_a_table_with_another_header_is_refused(tmp_path, table):
    """It is not read as if columns were blank."""
    with pytest.raises(RatingError, match="not known here"):
        read_text(tmp_path, table, "name,price\nBase,3\n")


def test_the_tidy_files_of_halyard_are_read_as_the_csv_module_reads_them():
    """423 cards, every cell as it stands in the file; 23 parallels and 35 odds."""
    found, problems = CHECKLIST.read(HALYARD / "checklist.csv")
    assert problems == []
    with (HALYARD / "checklist.csv").open(encoding="utf-8", newline="") as file:
        theirs = list(csv.DictReader(file))
    assert len(found) == len(theirs) == 423
    for card, row in zip(found, theirs, strict=True):
        assert (card.subset, card.kind, card.number, card.note) == (
            row["subset"],
            row["kind"],
            row["number"],
            row["note"],
        )
        assert " / ".join(card.subjects) == row["subjects"]
        assert " / ".join(card.teams) == row["teams"]
        assert str(card.print_run or "") == row["print_run"]
        assert [card.rookie, card.variation, card.redemption] == [
            row[name] == "yes" for name in ("rookie", "variation", "redemption")
        ]
    assert Counter(card.subset for card in found) == Counter(row["subset"] for row in theirs)
    assert [len(table.read(HALYARD / table.file)[0]) for table in (PARALLELS, ODDS)] == [23, 35]


def test_cards_are_written_as_they_were_read():
    """The text of Halyard's cards is the file, byte for byte."""
    found, _ = CHECKLIST.read(HALYARD / "checklist.csv")
    assert CHECKLIST.to_text(found).encode() == (HALYARD / "checklist.csv").read_bytes()
