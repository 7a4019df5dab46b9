"""Mending: a corrected file in place of its elder, a file taken back, and sales matched anew."""

from __future__ import annotations

import pytest

from rating.errors import RatingError
from rating.release.intake import SeasonWords, forget

from .conftest import TODAY

WHOLE = """\
Card,Player,Team,Set
1,Pell Skelwith,Bells,Base
2,Una Tarnhowes,Divers,Base
3,Zeb Holm,Bells,Base
WS-1,Pell Skelwith,Bells,Wharf Signatures
WS-2,Zeb Holm,Bells,Wharf Signatures
"""
# the base set alone, with another person on card 2
BASE = """\
Card,Player,Team,Set
1,Pell Skelwith,Bells,Base
2,Corin Dunsley,Divers,Base
3,Zeb Holm,Bells,Base
"""
SOLD = """\
Date,Title,Price
2031-04-01,2031 Cordage Pell Skelwith #1,$5.00
2031-04-02,2031 Cordage Una Tarnhowes #2,$9.00
2031-04-03,2031 Cordage Zeb Holm #3,$4.00
"""
# the same list with a price that was misprinted
CORRECTED = SOLD.replace("$9.00", "$19.00")
ODDS = "Card,Hobby\nBase,1:1\nWharf Signatures,1:{}\n"
SHEET = """\
2031 Cordage

Hobby: {} cards per pack, 20 packs per box, 12 boxes per case.
Each Hobby box holds two autographs on average.
SRP $4.99 per pack
"""


@pytest.fixture
def forgotten(release, words):
    """Take a file back."""
    return lambda file: forget(release, file, season=words, today=TODAY)


def test_a_list_of_some_subsets_asks_whether_it_takes_the_place(intake, table, words):
    """What only the elder has stays meanwhile; a yes lets it go, a no asks nothing more."""
    intake(("whole.csv", WHOLE))
    result = intake(("base.csv", BASE))
    (asked,) = result.questions
    assert asked.id == "in place of: base.csv for whole.csv"
    assert asked.choices == ("yes", "no")
    assert "WS-1" in table("checklist.csv")
    assert "Corin Dunsley" in table("checklist.csv")
    no = SeasonWords(currency="USD", answers={asked.id: "no"})
    assert intake(("base.csv", BASE), season=no).questions == ()


def test_a_yes_takes_its_place(intake, table):
    """The subsets that only the elder had go."""
    intake(("whole.csv", WHOLE))
    yes = SeasonWords(currency="USD", answers={"in place of: base.csv for whole.csv": "yes"})
    result = intake(("base.csv", BASE), season=yes)
    assert result.changed == {"added": 0, "removed": 2, "altered": 1}
    assert "WS-1" not in table("checklist.csv")


def test_instead_of_needs_no_question(intake, table):
    """The file named goes, whatever the new one is called."""
    intake(("whole.csv", WHOLE))
    result = intake(("base.csv", BASE), instead_of="whole.csv")
    assert result.questions == ()
    assert result.changed == {"added": 0, "removed": 2, "altered": 1}
    again = intake(("base.csv", BASE))
    assert again.changed == {"added": 0, "removed": 0, "altered": 0}


def test_instead_of_keeps_an_edit_made_by_hand(intake, table, release):
    """As a revised file does."""
    intake(("sold.csv", SOLD), ("whole.csv", WHOLE))
    path = release / "sales.csv"
    *rows, last = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join([*rows, last.replace("raw", "slabbed")]) + "\n", encoding="utf-8")
    result = intake(("sold-2.csv", CORRECTED), instead_of="sold.csv")
    assert "19.00" in table("sales.csv")
    assert "9.00" not in table("sales.csv").replace("19.00", "")
    assert "slabbed" in table("sales.csv").splitlines()[-1]
    assert "sold.csv" not in table("sales.csv")
    assert len(result.kept) == 1


def test_instead_of_a_file_that_nobody_took_in_names_those_there_are(intake):
    """And nothing is changed."""
    intake(("whole.csv", WHOLE))
    with pytest.raises(RatingError) as caught:
        intake(("base.csv", BASE), instead_of="hole.csv")
    assert caught.value.fix == "name one of these: whole.csv"


def test_corrected_odds_take_the_place_of_their_elder(intake, table):
    """Though they are of another format, which the elder misnamed."""
    intake(("whole.csv", WHOLE), ("odds.csv", ODDS.format(40)))
    intake(("odds-2.csv", ODDS.format(44).replace("Hobby", "Retail")), instead_of="odds.csv")
    assert table("odds.csv").splitlines()[1:] == ["Base,,retail,1", "Wharf Signatures,,retail,44"]


def test_a_corrected_sell_sheet_takes_the_place_of_its_elder(intake, table):
    """Its values go where those of the elder stood that nobody changed."""
    intake(("whole.csv", WHOLE), ("sheet.txt", SHEET.format(6)), yes=True)
    assert "cards_per_pack = 6" in table("release.toml")
    intake(("sheet-2.txt", SHEET.format(8)), instead_of="sheet.txt")
    assert "cards_per_pack = 8" in table("release.toml")
    assert table("release.toml").count("guarantees]]") == 1
    assert table("prices.csv").count("4.99") == 1
    assert "sheet-2.txt" in table("prices.csv")


def test_what_a_file_brought_can_be_taken_back(intake, forgotten, table):
    """Cards, sales, odds, and what a sell sheet put into release.toml and prices.csv."""
    files = (
        ("whole.csv", WHOLE),
        ("sold.csv", SOLD),
        ("odds.csv", ODDS.format(40)),
        ("sheet.txt", SHEET.format(6)),
    )
    intake(*files, yes=True)
    assert forgotten("sold.csv").changed["removed"] == 3
    assert table("sales.csv").count("\n") == 1
    forgotten("odds.csv")
    assert table("odds.csv").count("\n") == 1
    forgotten("sheet.txt")
    assert table("release.toml").strip() == "format = 1"
    assert table("prices.csv").count("\n") == 1
    forgotten("whole.csv")
    assert table("checklist.csv").count("\n") == 1
    with pytest.raises(RatingError, match="no file called"):
        forgotten("whole.csv")


def test_what_a_person_changed_since_stays_when_a_file_is_forgotten(intake, forgotten, release, table):
    """A row of a table, and a value in release.toml."""
    intake(("whole.csv", WHOLE), ("sheet.txt", SHEET.format(6)), yes=True)
    for name, old, new in (
        ("checklist.csv", "Una Tarnhowes", "Una Tarnhow"),
        ("release.toml", "cards_per_pack = 6", "cards_per_pack = 7"),
    ):
        path = release / name
        path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    result = forgotten("whole.csv")
    assert table("checklist.csv").count("\n") == 2
    assert "Una Tarnhow" in table("checklist.csv")
    assert len(result.kept) == 1
    notes = forgotten("sheet.txt").notes
    assert "cards_per_pack = 7" in table("release.toml")
    assert "packs_per_box" not in table("release.toml")
    assert any("changed since in formats.hobby.cards_per_pack" in note for note in notes)


def test_sales_are_matched_anew_when_the_checklist_changed(intake, table):
    """Card 2 is another's now: the sale of its old name has no card; the others stay, in their order."""
    intake(("whole.csv", WHOLE), ("sold.csv", SOLD))
    before = table("sales.csv").splitlines()
    assert before[2].startswith("2031-04-02,Base,,2,9.00")
    result = intake(("whole-2.csv", WHOLE.replace("Una Tarnhowes", "Corin Dunsley")))
    after = table("sales.csv").splitlines()
    assert after[2].startswith("2031-04-02,,,,9.00")
    assert (after[1], after[3]) == (before[1], before[3])
    assert "the cards changed; 1 sale of earlier lists is matched again" in result.notes
    intake(("whole-3.csv", WHOLE))
    assert table("sales.csv").splitlines() == before
