"""Revised files, hand edits, and what is remembered from one intake to the next."""

from __future__ import annotations

import json

import pytest

from rating.answers.intake import taken
from rating.errors import RatingError

FIRST = """\
Card,Player,Team,Set
1,Pell Skelwith,Bells,Base
2,Una Tarnhowes,Divers,Base
3,Zeb Núñez-Holm,Bells,Base
WS-1,Pell Skelwith,Bells,Wharf Signatures
"""
# card 2 is another's, card 3 is gone, card 4 is new
SECOND = """\
Card,Player,Team,Set
1,Pell Skelwith,Bells,Base
2,Corin Dunsley,Divers,Base
4,Ivo Ullock,Bells,Base
WS-1,Pell Skelwith,Bells,Wharf Signatures
"""


@pytest.fixture
def edit(release):
    """Change a table by hand."""

    def change(name, old, new):
        path = release / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new), encoding="utf-8")

    return change


def test_a_revised_list_tells_what_was_added_removed_and_altered(intake, table):
    """Row by row, under whatever name the new file comes."""
    intake(("list.csv", FIRST))
    result = intake(("list-v2.csv", SECOND))
    assert result.changed == {"added": 1, "removed": 1, "altered": 1}
    assert {(one.how, one.key) for one in result.changes} == {
        ("altered", ("Base", "2")),
        ("removed", ("Base", "3")),
        ("added", ("Base", "4")),
    }
    assert "Una Tarnhowes" not in table("checklist.csv")


def test_an_edit_made_by_hand_is_kept_and_named(intake, edit, table):
    """The file's own change to another row goes through."""
    intake(("list.csv", FIRST))
    edit("checklist.csv", "Base,base,1,Pell Skelwith", "Base,base,1,Pell Skelwyth")
    result = intake(("list-v2.csv", SECOND))
    assert "Base,base,1,Pell Skelwyth,Bells" in table("checklist.csv")
    assert "Base,base,2,Corin Dunsley,Divers" in table("checklist.csv")
    assert result.kept == (
        "checklist.csv: Base 1 keeps your subjects Pell Skelwyth (the file says Pell Skelwith)",
    )


def test_an_edit_is_kept_again_and_again(intake, edit, table):
    """The third and fourth run of the same file know it still."""
    intake(("list.csv", FIRST))
    edit("checklist.csv", "Base,base,1,Pell Skelwith", "Base,base,1,Pell Skelwyth")
    for _ in range(3):
        result = intake(("list.csv", FIRST))
        assert len(result.kept) == 1
        assert "Pell Skelwyth" in table("checklist.csv")


def test_rows_added_and_deleted_by_hand_stay_so(intake, edit, table):
    """Both are named."""
    intake(("list.csv", FIRST))
    edit("checklist.csv", "Base,base,3,Zeb Núñez-Holm,Bells,,,,,,,\n", "Base,base,3b,Own Find,,,,,,,,\n")
    result = intake(("list.csv", FIRST))
    assert "Own Find" in table("checklist.csv")
    assert "Zeb" not in table("checklist.csv")
    assert sorted(result.kept) == [
        "checklist.csv: Base 3 was deleted by hand and stays out",
        "checklist.csv: Base 3b was added by hand; it stays",
    ]


def test_replace_lets_the_file_go_before_the_edits(intake, edit, table):
    """And nothing is kept."""
    intake(("list.csv", FIRST))
    first = table("checklist.csv")
    edit("checklist.csv", "Base,base,1,Pell Skelwith", "Base,base,1,Pell Skelwyth")
    result = intake(("list.csv", FIRST), replace=True)
    assert table("checklist.csv") == first
    assert result.kept == ()


def test_a_table_made_by_hand_before_any_intake_is_kept(intake, release, table):
    """Without a record every row of it counts as a person's own."""
    (release / "checklist.csv").write_text(
        "subset,kind,number,subjects\nBase,base,1,Pell Skelwyth\nBase,base,9,Only Mine\n", encoding="utf-8"
    )
    result = intake(("list.csv", FIRST))
    assert "Pell Skelwyth" in table("checklist.csv")
    assert "Only Mine" in table("checklist.csv")
    assert len(result.kept) == 2


def test_noughts_that_a_spreadsheet_program_dropped_are_no_edit(intake, edit, release, table):
    """001 that became 1 on saving comes back as 001, and nothing is called an edit."""
    intake(("list.csv", FIRST.replace("\n1,", "\n001,").replace("\n2,", "\n002,")))
    edit("checklist.csv", "Base,base,001,", "Base,base,1,")
    result = intake(("list.csv", FIRST.replace("\n1,", "\n001,").replace("\n2,", "\n002,")))
    assert "Base,base,001," in table("checklist.csv")
    assert result.kept == ()


def test_a_second_file_with_other_subsets_is_added_to_the_first(intake, table):
    """A maker may publish inserts apart; taking them in removes no base card."""
    intake(("base.csv", FIRST))
    more = "Card,Player,Team,Set\nST-1,Ivo Ullock,Bells,Storm\nST-2,Corin Dunsley,Divers,Storm\n"
    result = intake(("storm.csv", more))
    assert result.changed == {"added": 2, "removed": 0, "altered": 0}
    assert "Una Tarnhowes" in table("checklist.csv")
    assert any("of other files (base.csv) stay as they are" in note for note in result.notes)
    again = intake(("base.csv", FIRST))
    assert again.changed == {"added": 0, "removed": 0, "altered": 0}


def test_the_record_holds_the_hash_of_each_source_and_table(intake, release):
    """So that anybody can tell what was taken in, and whether it was changed since."""
    import hashlib

    intake(("list.csv", FIRST))
    told = json.loads((release / "intake.json").read_text(encoding="utf-8"))
    assert told["format"] == 1
    assert told["sources"][0]["sha256"] == hashlib.sha256(FIRST.encode()).hexdigest()
    written = (release / "checklist.csv").read_bytes()
    assert told["tables"]["checklist.csv"]["sha256"] == hashlib.sha256(written).hexdigest()


@pytest.mark.parametrize("content", ["{", "[]", '{"format": 99}', '{"sources": 3}', '{"tables": {"a": 1}}'])
def test_a_damaged_record_is_refused_in_words(content, intake, release):
    """Never read as something else."""
    (release / "intake.json").write_text(content, encoding="utf-8")
    with pytest.raises(RatingError):
        intake(("list.csv", FIRST))


def test_a_checklist_for_a_release_that_borrows_one_is_refused(intake, release):
    """It says whose checklist it is."""
    (release / "release.toml").write_text(
        'format = 1\ntitle = "C"\nmaker = "B"\nline = "C"\nchecklist_of = "other"\n', encoding="utf-8"
    )
    with pytest.raises(RatingError, match="the checklist of this release is that of other"):
        intake(("list.csv", FIRST))


def test_what_nobody_recognises_is_set_aside(intake):
    """Every row of it, once and with their number."""
    listed = "\n".join(f"word {n}" for n in range(40))
    result = intake(("list.csv", FIRST), ("diary.txt", listed))
    (one,) = [found for found in result.set_aside if found.file == "diary.txt"]
    assert (one.rows, one.why) == (40, "neither cards nor odds, sales or slot prices are recognised in it")


def test_wrong_column_words_are_refused(intake, release):
    """The columns that there are are named."""
    (release / "release.toml").write_text(
        'format = 1\ntitle = "C"\nmaker = "B"\nline = "C"\n[columns]\nshoe = ["Shoe"]\n', encoding="utf-8"
    )
    with pytest.raises(RatingError, match=r"columns\.shoe is not a column"):
        intake(("list.csv", FIRST))


def test_the_answer_has_the_shape_that_scripts_rely_on(intake):
    """Tables with row counts, what was set aside, problems and changes."""
    result = taken(intake(("list.csv", FIRST)))
    assert result["tables"] == {"checklist.csv": 4}
    assert result["changed"] == {"added": 4, "removed": 0, "altered": 0}
    assert result["set_aside"] == []
    assert result["problems"] == []
    json.dumps(result)
