"""A grade's life: what changed from review to review, notes, corrections, what is due, other rubrics."""

from __future__ import annotations

import csv
import re
import shutil

import pytest

from rating.cli import main


@pytest.fixture(scope="module")
def recorded_once(laid_out, tmp_path_factory):
    season = tmp_path_factory.mktemp("lives") / "mine"
    shutil.copytree(laid_out, season)
    words = ("--season", str(season))
    for slug in ("deep-harbour", "high-water"):
        assert main(["grade", slug, "--record", "--on", "2031-04-01", *words]) == 0
    change(season, "releases/deep-harbour/scores.toml", "= 80", "= 90")
    assert (
        main(
            ["grade", "deep-harbour", "--record", "--on", "2031-04-20", "--because", "Looked again.", *words]
        )
        == 0
    )
    return season


@pytest.fixture
def recorded(recorded_once, small_season):
    """deep-harbour on 1 April with 80 for design, on 20 April with 90; high-water on 1 April."""
    shutil.copytree(recorded_once, small_season, dirs_exist_ok=True)
    return small_season


def change(season, file, old, new):
    path = season / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def add_card(season, slug):
    """A rookie more in the checklist, which has no day."""
    with (season / "releases" / slug / "checklist.csv").open("a", encoding="utf-8") as file:
        file.write("Base,base,005,Eve Holm,Gull Point Herons,,,,,,,\n")


def reviews_of(answer, season, slug="deep-harbour"):
    return answer("ledger", "history", slug, "--season", season)["reviews"]


def test_history_tells_a_score_that_a_person_changed(answer, recorded):
    """Design alone, from 80 to 90, by the rater, with the reason in scores.toml."""
    first, second = reviews_of(answer, recorded)
    assert (first["changes"], first["points"], first["notes"]) == ([], [], [])
    (one,) = second["changes"]
    assert (one["criterion"], one["before"], one["after"]) == ("design", 80, 90)
    assert (one["was"], one["now"], one["by"], one["rater"]) == ("judged", "judged", "person", "me")
    assert one["why"]


def test_history_tells_a_score_that_facts_changed(run, answer, recorded):
    """The price goes from 125 to 250: outlay and signatures are measured otherwise, design is not named."""
    assert run("price", "deep-harbour", "hobby", "250", "--on", "2031-04-25", "--season", recorded)[0] == 0
    assert run("grade", "deep-harbour", "--record", "--season", recorded)[0] == 0
    changes = {one["criterion"]: one for one in reviews_of(answer, recorded)[-1]["changes"]}
    assert "outlay" in changes
    assert "design" not in changes
    one = changes["outlay"]
    assert (one["by"], one["now"], one["rater"]) == ("facts", "computed", None)
    assert one["measure_after"] > one["measure_before"]
    assert one["after"] < one["before"]
    assert one["unit"] == "times the usual cost at its price"


def test_history_tells_points_and_scales_of_another_rubric(run, answer, recorded):
    """Roster counts 12, not 10; the scale of access is another, so its score is, and not its measure."""
    rubric = (recorded / "rubric.toml").read_text(encoding="utf-8")
    change(
        recorded,
        "rubric.toml",
        '[criteria.roster]\ngroup = "people"\npoints = 10',
        '[criteria.roster]\ngroup = "people"\npoints = 12',
    )
    change(
        recorded,
        "rubric.toml",
        "[[0.7, 100], [1, 60], [1.1, 50], [2, 0]]",
        "[[0.7, 100], [1, 90], [1.1, 80], [2, 0]]",
    )
    assert rubric != (recorded / "rubric.toml").read_text(encoding="utf-8")
    assert run("grade", "deep-harbour", "--record", "--season", recorded)[0] == 0
    last = reviews_of(answer, recorded)[-1]
    assert last["points"] == [{"criterion": "roster", "before": 10, "after": 12}]
    (one,) = last["changes"]
    assert (one["criterion"], one["by"]) == ("access", "scale")
    assert one["measure_before"] == one["measure_after"]


def test_history_on_a_screen(run, recorded):
    """From what to what, by whom; no line over 80 columns."""
    assert (
        run("ledger", "note", "deep-harbour", "--because", "The light was poor.", "--season", recorded)[0]
        == 0
    )
    code, out, err = run("ledger", "history", "deep-harbour", "--season", recorded)
    assert (code, err) == (0, "")
    assert "Why: Looked again." in out
    assert re.search(r"design went from 80 to 90, scored by \w+", out)
    assert re.search(r"Said on \d{4}-\d\d-\d\d: The light was poor\.", out)
    assert out.endswith("The last of 2 reviews stands; the others are kept as they were.\n")


def test_a_note_stands_beside_the_review_it_names(run, answer, recorded):
    """By the first letters of the id, or the release for its last; the review stays, verify finds nothing."""
    first, second = reviews_of(answer, recorded)
    got = answer("ledger", "note", first["review"][:8], "--because", " Bought  twice. ", "--season", recorded)
    assert (got["release"], got["review"], got["says"]) == ("deep-harbour", first["review"], "Bought twice.")
    answer("ledger", "note", "deep-harbour", "--because", "And sold.", "--season", recorded)
    told = reviews_of(answer, recorded)
    assert [[note["says"] for note in one["notes"]] for one in told] == [["Bought twice."], ["And sold."]]
    assert [one["review"] for one in told] == [first["review"], second["review"]]
    code, out, _ = run("ledger", "verify", "--season", recorded)
    assert (code, out) == (0, "3 reviews, 2 notes and every copy of their values are unaltered.\n")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("deep-harbor", "--because", "x"), "did you mean deep-harbour?"),
        (("12345", "--because", "x"), "there is no review 12345"),
        (("deep-harbour", "--because", "  "), "it says nothing"),
        (("deep-harbour", "--because", "a\u202eb"), "U+202E"),
        (("deep-harbour", "--because", "x" * 2001), "2,001 characters"),
    ],
)
def test_a_note_that_cannot_be_is_refused(refused, recorded, words, told):
    """And the ledger stays as it was."""
    before = (recorded / "ledger.db").read_bytes()
    assert told in refused("ledger", "note", *words, "--season", recorded)
    assert (recorded / "ledger.db").read_bytes() == before


def test_a_correction_is_a_review_and_names_who_got_the_wrong_one(answer, recorded):
    """Ada got files with the wrong review, Bo one after it; high-water's review is not what was wrong."""
    answer("export", "tables", "--to", "Ada", "--season", recorded)
    wrong = reviews_of(answer, recorded)[-1]
    change(recorded, "releases/deep-harbour/scores.toml", "= 90", "= 70")
    got = answer("ledger", "errata", "deep-harbour", "--says", "I misread the back.", "--season", recorded)
    answer("export", "workbook", "--to", "Bo", "--season", recorded)
    right = reviews_of(answer, recorded)[-1]
    assert (got["wrong"], got["review"]) == (wrong["review"], right["review"])
    assert (right["corrects"], right["reason_for_change"]) == (wrong["review"], "I misread the back.")
    assert right["supersedes"] == [wrong["review"]]
    assert [(one["receiver"], one["file"]) for one in got["exports"]] == [
        ("Ada", f"exports/2031-05-01/{name}.csv") for name in ("standings", "scores", "reasons")
    ]
    # (4889 + 6 * (90 - 80)) / 95 = 52.1 and (4889 - 6 * 10) / 95 = 50.8
    assert got["text"].split("\n") == [
        "Correction of 2031-05-01: Marlow 2031 Deep Harbour",
        "I misread the back.",
        "Our review of 2031-04-20 graded it 52.1; corrected, the grade is 50.8.",
        "How the reviewer came by it: bought. I bought a box.",
    ]
    again = answer("ledger", "errata", wrong["review"][:12], "--says", "Still so.", "--season", recorded)
    assert again["exports"] == got["exports"]  # already put right: the new review says so once more
    with (recorded / "exports" / "log.csv").open(encoding="utf-8", newline="") as file:
        assert [row["receiver"] for row in csv.DictReader(file)] == ["Ada", "Ada", "Ada", "Bo"]


@pytest.mark.parametrize("withdrawn", [False, True])
def test_a_correction_that_puts_nothing_right_is_refused(run, refused, recorded, withdrawn):
    """The files say the same, or nothing stands that could be corrected; a note is offered."""
    if withdrawn:
        assert run("ledger", "withdraw", "deep-harbour", "--reason", "So.", "--season", recorded)[0] == 0
    before = (recorded / "ledger.db").read_bytes()
    told = refused("ledger", "errata", "deep-harbour", "--says", "Wrong.", "--season", recorded)
    assert ("is withdrawn" if withdrawn else "nothing has been corrected yet") in told
    assert "boxwright ledger note" in told
    assert (recorded / "ledger.db").read_bytes() == before


def test_a_correction_on_a_screen(run, recorded):
    """What to pin first, then who got the wrong one."""
    assert run("export", "workbook", "--season", recorded)[0] == 0
    change(recorded, "releases/deep-harbour/scores.toml", "= 90", "= 70")
    code, out, err = run("ledger", "errata", "deep-harbour", "--says", "Wrong.", "--season", recorded)
    assert (code, err) == (0, "")
    assert out.startswith("To pin:\n\nCorrection of 2031-05-01: Marlow 2031 Deep Harbour\nWrong.\n")
    assert "1 export had the wrong review:" in out
    assert re.search(r"- 20\d\d-\d\d-\d\d, exports/2031-05-01/season.xlsx, recipient not noted", out)


def test_an_export_that_cannot_be_logged_is_not_made(run, refused, recorded):
    """A spreadsheet program holds the log open; no file is written."""
    assert run("export", "tables", "--season", recorded)[0] == 0
    shutil.rmtree(recorded / "exports" / "2031-05-01")
    (recorded / "exports" / ".~lock.log.csv#").write_text("", encoding="utf-8")
    assert "has it open" in refused("export", "workbook", "--season", recorded)
    assert not (recorded / "exports" / "2031-05-01").exists()


def test_nothing_is_due_right_after_a_review_but_what_is_out(answer, recorded):
    """low-water came out on 20 April and has no review; finish of the others is provisional at preview."""
    got = answer("ledger", "due", "--season", recorded)
    assert (got["outrun"], got["stages"]) == ([], [])
    assert {one["release"]: [need["what"] for need in one["needs"]] for one in got["provisional"]} == {
        slug: ["finish is provisional until the release is in-hand"]
        for slug in ("deep-harbour", "high-water")
    }
    assert [one["release"] for one in got["not_reviewed"]] == ["low-water"]


def test_a_checklist_that_was_revised_is_due(answer, recorded):
    """It has no day, so only grading anew finds it."""
    add_card(recorded, "high-water")
    assert answer("ledger", "due", "--quick", "--season", recorded)["outrun"] == []
    (one,) = answer("ledger", "due", "--season", recorded)["outrun"]
    assert one["release"] == "high-water"
    assert "graded again, it differs" in one["needs"][0]["what"]
    assert "content" in one["needs"][0]["what"]
    assert one["needs"][0]["settle"] == "boxwright grade high-water --record --because TEXT"


def test_a_rate_that_was_added_is_due(run, answer, recorded):
    """A price in other money counts for nothing until season.toml says what it is worth."""
    path = recorded / "releases" / "high-water" / "prices.csv"
    row = "2031-03-20,hobby,box,street,100.00,CAD,a shop\n"
    with path.open("a", encoding="utf-8") as file:
        file.write(row)
    assert run("grade", "high-water", "--record", "--season", recorded)[0] == 0
    assert answer("ledger", "due", "--season", recorded)["outrun"] == []
    with (recorded / "season.toml").open("a", encoding="utf-8") as file:
        file.write("\n[rates]\nCAD = 0.75\n")
    assert [one["release"] for one in answer("ledger", "due", "--season", recorded)["outrun"]] == [
        "high-water"
    ]


@pytest.mark.parametrize(
    ("file", "row", "stage"),
    [
        ("odds.csv", "subset,parallel,format,packs_per_copy\nInk,,hobby,5\n", "launch"),
        ("opened.csv", "date,format,boxes,subset,parallel,number,count\n2031-04-28,hobby,1,,,,\n", "in-hand"),
    ],
)
def test_a_stage_that_is_reached_is_due(answer, recorded, file, row, stage):
    """Odds are out, or a box was opened."""
    (recorded / "releases" / "high-water" / file).write_text(row, encoding="utf-8")
    (one,) = answer("ledger", "due", "--quick", "--season", recorded)["stages"]
    assert one["release"] == "high-water"
    assert one["needs"][0]["settle"] == f"boxwright grade high-water --stage {stage} --record"


def test_errors_in_files_do_not_keep_the_others_from_being_looked_at(answer, recorded):
    """The broken one is told, with check."""
    (recorded / "releases" / "high-water" / "odds.csv").write_text("subset\nx\n", encoding="utf-8")
    (one,) = answer("ledger", "due", "--season", recorded)["outrun"]
    assert one["needs"] == [
        {"what": "its files have errors, or are gone", "settle": "boxwright check high-water"}
    ]


def test_restating_by_the_same_rubric_changes_nothing(run, answer, recorded):
    """Each grade is worked out anew from what the review keeps, and comes to the same."""
    got = answer("standings", "--restate", "--season", recorded)
    assert got["places_that_differ"] == 0
    assert len(got["restated"]) == 2
    assert all(one["published"] == one["restated"] for one in got["restated"])
    assert "nothing to restate" in run("standings", "--restate", "--season", recorded)[1]


def test_restating_shows_both_apart(run, answer, recorded):
    """Design and finish for nothing: by hand below; what was published stays, and so does the ledger."""
    published = {
        one["release"]: one["grade"] for one in answer("standings", "--season", recorded)["standings"]
    }
    before = (recorded / "ledger.db").read_bytes()
    change(
        recorded,
        "rubric.toml",
        '[criteria.design]\ngroup = "object"\npoints = 6',
        '[criteria.design]\ngroup = "object"\npoints = 0',
    )
    got = answer("standings", "--restate", "--season", recorded)
    assert {one["release"]: one["published"]["grade"] for one in got["restated"]} == published
    # of 95 points 6 are design: (4889 - 6 * 80) / 89 = 49.54 and, with 86 for design, (4925 - 6 * 86) / 89
    assert {one["release"]: one["restated"]["grade"] for one in got["restated"]} == {
        "deep-harbour": 49.5,
        "high-water": 49.5,
    }
    assert [
        (one["release"], one["published"]["rank"], one["restated"]["rank"]) for one in got["restated"]
    ] == [
        ("deep-harbour", 1, 1),
        ("high-water", 2, 1),
    ]
    assert got["places_that_differ"] == 1
    assert (recorded / "ledger.db").read_bytes() == before
    out = run("standings", "--restate", "--season", recorded)[1]
    assert "1 of 2 places differs by today's rubric, and 2 grades do." in " ".join(out.split())


def test_a_question_that_a_review_was_not_asked_is_unknown_when_restated(answer, recorded):
    """It is shared out over the rest, and the grade stays."""
    with (recorded / "rubric.toml").open("a", encoding="utf-8") as file:
        file.write('\n[criteria.nobody]\ngroup = "object"\npoints = 5\n')
    got = answer("standings", "--restate", "--season", recorded)
    assert all(one["published"]["grade"] == one["restated"]["grade"] for one in got["restated"])
