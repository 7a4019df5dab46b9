"""Odds in several layouts become packs per copy; what is converted says so, what is misprinted is kept."""

from __future__ import annotations

import pytest

from rating.release.intake.odds import stated_in

CARDS = """\
Card,Player,Team,Set
1,Pell Skelwith,Bells,Base
2,Una Tarnhowes,Divers,Base
WS-1,Pell Skelwith,Bells,Wharf Signatures
WS-2,Una Tarnhowes,Divers,Wharf Signatures
"""
PARALLELS = "Set,Parallel,Print Run\nBase,Manila,45\nBase,Sisal,\nWharf Signatures,Wire,9\n"


@pytest.fixture
def listed(intake):
    """A release whose checklist is taken in."""
    intake(("cards.csv", CARDS), ("parallels.csv", PARALLELS))
    return intake


@pytest.mark.parametrize(
    ("cell", "packs"),
    [
        ("1:24", "24"),
        ("1 : 24", "24"),
        ("1:1,431", "1431"),
        ("1:1.431", "1431"),
        ("1:2.5", "2.5"),
        ("1 in 12", "12"),
        ("one in 12", "12"),
        ("1 in every 12 packs", "12"),
        ("1/12", "12"),
        ("24", "24"),
        ("approx. 1:300", "300"),
    ],
)
def test_odds_are_read_however_they_are_written(cell, packs):
    """The N of one in N packs."""
    found = stated_in(cell)
    assert (str(found.number), found.per) == (packs, "pack")


@pytest.mark.parametrize("cell", ["-", "–", "—", "n/a", "", " "])
def test_a_dash_states_that_it_is_not_in_the_format(cell):
    """No odds, and no problem."""
    assert stated_in(cell) is None


@pytest.mark.parametrize("cell", ["often", "1:0", "1:", "see box"])
def test_what_is_neither_odds_nor_a_dash_is_refused(cell):
    """It becomes a problem of its row."""
    with pytest.raises(ValueError):
        stated_in(cell)


def test_a_column_a_format(listed, table):
    """Subsets and parallels take the checklist's names, numbered-to columns are compared with it."""
    content = """\
Stated odds, average over the print run
Card,Numbered to,HOBBY,RETAIL
Base Manila,45,"1:1,431",-
BASE SISAL,,1 in 3,1:11
Wharf Signatures,,1:15,1:217
Wharf Signatures - Wire,9,1:190,—
"""
    result = listed(("odds.csv", content))
    assert table("odds.csv") == (
        "subset,parallel,format,packs_per_copy\n"
        "Base,Manila,hobby,1431\n"
        "Base,Sisal,hobby,3\n"
        "Base,Sisal,retail,11\n"
        "Wharf Signatures,,hobby,15\n"
        "Wharf Signatures,,retail,217\n"
        "Wharf Signatures,Wire,hobby,190\n"
    )
    assert result.problems == ()


def test_a_row_a_format_with_the_parallel_in_a_column(listed, table):
    """'Base version' is the blank parallel."""
    content = """\
Set;Parallel;Format;Odds
Base;Manila;Hobby;1:30
Base;Manila;Retail;1:300
Wharf Signatures;Base version;Hobby;1:15
"""
    listed(("odds.csv", content))
    assert table("odds.csv") == (
        "subset,parallel,format,packs_per_copy\n"
        "Base,Manila,hobby,30\n"
        "Base,Manila,retail,300\n"
        "Wharf Signatures,,hobby,15\n"
    )


def test_odds_per_box_and_case_are_converted_and_say_so(listed, release, table):
    """14 packs in a box, 10 boxes in a case: one in 2 boxes is one in 28 packs."""
    (release / "release.toml").write_text(
        'format = 1\ntitle = "C"\nmaker = "B"\nline = "C"\nheadline = "hobby"\n'
        "[formats.hobby]\ncards_per_pack = 8\npacks_per_box = 14\nboxes_per_case = 10\n",
        encoding="utf-8",
    )
    rows = [
        "Card,Hobby",
        "Base Manila,1 in 2 boxes",
        "Wharf Signatures,2 per box",
        "Wharf Signatures Wire,1 per case",
    ]
    listed(("odds.csv", "\n".join(rows)))
    packing = "14 packs in a box, 10 boxes in a case"
    assert table("odds.csv") == (
        "subset,parallel,format,packs_per_copy,note\n"
        "Base,Manila,hobby,28,stated per box as 1 in 2 boxes; 14 packs in a box\n"
        "Wharf Signatures,,hobby,7,stated per box as 2 per box; 14 packs in a box\n"
        f'Wharf Signatures,Wire,hobby,140,"stated per case as 1 per case; {packing}"\n'
    )


def test_odds_per_box_wait_for_the_packing(listed):
    """Without packs in a box the row is a problem, not a guess."""
    result = listed(("odds.csv", "Card,Hobby\nBase Manila,1 in 2 boxes\nWharf Signatures,1:15\n"))
    assert [(one.code, one.row) for one in result.problems] == [("unknown-packing", 2)]


def test_a_misprint_is_kept_as_stated(listed, table):
    """Manila /45 cannot fall in every second pack of a large run; finding that is another's work."""
    listed(("odds.csv", "Card,Hobby\nBase Manila,1:2\nBase Sisal,1:3\n"))
    assert "Base,Manila,hobby,2\n" in table("odds.csv")


def test_unknown_names_are_told_and_near_ones_asked_about(listed, table):
    """'Wharf Signature' is near; 'Harbour Lights' is unknown and stands as written."""
    result = listed(("odds.csv", "Card,Hobby\nWharf Signatrues,1:15\nHarbour Lights,1:20\n"))
    assert [one.what for one in result.questions] == [
        "'Wharf Signatrues': the checklist has 'Wharf Signatures'. Are they the same?"
    ]
    assert [one.code for one in result.problems] == ["unknown-subset"]
    assert "Harbour Lights,,hobby,20\n" in table("odds.csv")


def test_a_run_that_differs_from_the_checklist_is_told(listed):
    """The checklist's is kept."""
    result = listed(("odds.csv", "Card,Numbered to,Hobby\nBase Manila,50,1:30\nBase Sisal,,1:3\n"))
    assert [one.code for one in result.problems] == ["run-differs"]


def test_sections_and_two_formats_on_two_sheets(listed, workbook, table):
    """A sheet a format; the subset is a heading over its parallels."""
    rows = [["Odds per pack"], ["Parallel", "Odds"], ["Base"], ["Manila /45", "1:30"], ["Sisal", "1:3"]]
    rows += [["Wharf Signatures"], ["Base version", "1:15"], ["Wire /9", "1:190"]]
    listed(
        (
            "odds.xlsx",
            workbook(
                {
                    "Hobby": rows,
                    "Retail": [["Parallel", "Odds"], ["Base"], ["Sisal", "1:9"], ["Manila", "1:99"]],
                }
            ),
        )
    )
    assert table("odds.csv") == (
        "subset,parallel,format,packs_per_copy\n"
        "Base,Manila,hobby,30\n"
        "Base,Sisal,hobby,3\n"
        "Wharf Signatures,,hobby,15\n"
        "Wharf Signatures,Wire,hobby,190\n"
        "Base,Sisal,retail,9\n"
        "Base,Manila,retail,99\n"
    )
