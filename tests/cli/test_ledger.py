"""`ledger`: what was recorded, taking a release out, and proving that nothing was altered."""

from __future__ import annotations

import csv
import hashlib
import json
import re
import shutil
import sqlite3

import pytest

from rating import open_season
from rating.cli import main


@pytest.fixture(scope="module")
def recorded_once(laid_out, tmp_path_factory):
    season = tmp_path_factory.mktemp("recorded") / "mine"
    shutil.copytree(laid_out, season)
    for slug, day in (("deep-harbour", "2031-04-01"), ("high-water", "2031-04-02")):
        assert main(["grade", slug, "--record", "--on", day, "--season", str(season)]) == 0
    path = season / "releases" / "deep-harbour" / "scores.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("= 80", "= 90"), encoding="utf-8")
    words = ("grade", "deep-harbour", "--record", "--stage", "in-hand", "--because", "Cards seen.")
    assert main([*words, "--season", str(season)]) == 0
    return season


@pytest.fixture
def recorded(recorded_once, small_season):
    """Three reviews: deep-harbour on 1 April and, changed, on 1 May; high-water on 2 April."""
    shutil.copytree(recorded_once, small_season, dirs_exist_ok=True)
    return small_season


def altered(season, *statements):
    """Change the database behind the program's back, past its triggers."""
    db = sqlite3.connect(season / "ledger.db")
    for name, sql in db.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall():
        db.execute(f"DROP TRIGGER {name}")
        statements = (*statements, sql)
    for statement in statements:
        db.execute(statement)
    db.commit()
    db.close()


def test_history_answers_oldest_first(answer, recorded):
    """4889 / 95 = 51.5; with 90 for design (4889 + 60) / 95 = 52.1; the later supersedes the earlier."""
    got = answer("ledger", "history", "deep-harbour", "--season", recorded)
    assert got["release"] == "deep-harbour"
    first, second = got["reviews"]
    assert (first["published_on"], first["stage"], first["grade"]) == ("2031-04-01", "preview", 51.5)
    assert (second["published_on"], second["stage"], second["grade"]) == ("2031-05-01", "in-hand", 52.1)
    assert (first["reason_for_change"], second["reason_for_change"]) == (None, "Cards seen.")
    assert (first["supersedes"], second["supersedes"]) == ([], [first["review"]])
    assert not first["withdrawn"]
    for one in got["reviews"]:
        assert re.fullmatch("[0-9a-f]{64}", one["review"])
        assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", one["recorded_at"])


def test_history_in_words(run, recorded):
    """A line a review, and which of them stands."""
    code, out, err = run("ledger", "history", "deep-harbour", "--season", recorded)
    assert (code, err) == (0, "")
    assert "2031-05-01  in-hand  52.1 (+0.6)  " in out
    assert out.endswith("The last of 2 reviews stands; the others are kept as they were.\n")


def test_history_of_nothing_is_refused(refused, small_season, recorded):
    """With the way to record something."""
    assert "grade low-water --record" in refused("ledger", "history", "low-water", "--season", recorded)
    (small_season / "ledger.db").unlink()
    refused("ledger", "history", "deep-harbour", "--season", small_season)


def test_a_withdrawal_is_a_review_of_its_own(run, answer, recorded):
    """Kept with its reason; the one it supersedes does not come back, and a new one can follow."""
    got = answer("ledger", "withdraw", "deep-harbour", "--reason", "Searched boxes.", "--season", recorded)
    assert got == {
        "format": 1,
        "release": "deep-harbour",
        "withdrawn": True,
        "published_on": "2031-05-01",
    }
    history = answer("ledger", "history", "deep-harbour", "--season", recorded)["reviews"]
    assert [one["withdrawn"] for one in history] == [False, False, True]
    assert history[-1]["reason_for_change"] == "Searched boxes."
    assert run("ledger", "history", "deep-harbour", "--season", recorded)[1].endswith("It is withdrawn.\n")
    rows = answer("standings", "--season", recorded)["standings"]
    assert [one["release"] for one in rows] == ["high-water"]
    before = answer("standings", "--as-of", "2031-04-30", "--season", recorded)["standings"]
    assert {one["release"]: one["grade"] for one in before} == {"high-water": 51.8, "deep-harbour": 51.5}
    assert answer("grade", "deep-harbour", "--season", recorded)["recorded"] is None
    assert run("grade", "deep-harbour", "--record", "--season", recorded)[0] == 0
    rows = answer("standings", "--season", recorded)["standings"]
    assert {one["release"] for one in rows} == {"high-water", "deep-harbour"}
    assert run("ledger", "verify", "--season", recorded)[0] == 0


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("low-water", "--reason", "So."), "no current review of low-water"),
        (("deep-harbour", "--reason", "   "), "a withdrawal needs a reason"),
        (("deep-harbour", "--reason", "So.", "--on", "2031-05-02"), "does not lie between"),
        (("deep-harbour", "--reason", "So.", "--on", "2031-04-30"), "does not lie between"),
        (("deep-harbour", "--reason", "So.", "--on", "soon"), "is not a date"),
        (("deep-harbour", "--reason", "So\u202e."), "U+202E"),
    ],
)
def test_a_withdrawal_that_cannot_be_is_refused(refused, recorded, words, told):
    """And the ledger stays as it was."""
    before = (recorded / "ledger.db").read_bytes()
    assert told in refused("ledger", "withdraw", *words, "--season", recorded)
    assert (recorded / "ledger.db").read_bytes() == before


def test_a_withdrawal_without_a_reason_is_a_wrong_call(run, recorded):
    """Exit code 2."""
    code, _, err = run("ledger", "withdraw", "deep-harbour", "--season", recorded)
    assert (code, "--reason" in err) == (2, True)


def test_an_unaltered_ledger_is_verified(run, answer, recorded):
    """In words with the number of reviews, as JSON with no problems."""
    code, out, _ = run("ledger", "verify", "--season", recorded)
    assert (code, out) == (0, "3 reviews and every copy of their values are unaltered.\n")
    assert answer("ledger", "verify", "--season", recorded) == {"format": 1, "problems": []}


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE review SET body = replace(body, 'The fronts breathe.', 'The fronts shine.') WHERE seq = 1",
        "UPDATE review SET body = 'x' WHERE seq = 1",
        "UPDATE review SET body = '{}' WHERE seq = 1",
        "UPDATE entry SET grade = 999 WHERE review = 1",
        "UPDATE score SET score = 100 WHERE review = 1 AND criterion = 'design'",
        "UPDATE rubric SET body = replace(body, '130', '120')",
        "UPDATE rubric SET body = 'x'",
        "UPDATE rubric SET body = '[]'",
        "UPDATE facts SET body = 'x'",
        "DELETE FROM superseded",
    ],
)
def test_what_was_altered_is_found(run, answer, recorded, statement):
    """Exit code 1, and each problem has a code, what it is and how to mend it; never a traceback."""
    altered(recorded, statement)
    got = answer("ledger", "verify", "--season", recorded, code=1)
    assert got["problems"]
    for one in got["problems"]:
        assert one["code"] == "ledger-altered"
        assert one["what"]
        assert one["fix"]
    code, out, _ = run("ledger", "verify", "--season", recorded)
    assert (code, "[ledger-altered]" in out) == (1, True)


@pytest.mark.parametrize(
    ("damage", "told"),
    [
        (lambda path: path.write_bytes(b"Dear diary"), "not a ledger of boxwright"),
        (lambda path: path.write_bytes(path.read_bytes()[:5000]), "cut short"),
        (lambda path: (path.unlink(), sqlite3.connect(path).execute("CREATE TABLE a (b)")), "not a ledger"),
        (lambda path: sqlite3.connect(path).execute("PRAGMA user_version = 9"), "version 9"),
        (lambda path: (path.unlink(), path.mkdir()), "is not a file"),
    ],
)
@pytest.mark.parametrize(
    "words", [("standings",), ("ledger", "verify"), ("grade", "deep-harbour", "--record")]
)
def test_a_ledger_that_is_none_is_refused_by_every_command(run, refused, recorded, damage, told, words):
    """Foreign, cut short, newer, a folder: one message, by verify as what it found; it stays as it is."""
    path = recorded / "ledger.db"
    damage(path)
    before = path.read_bytes() if path.is_file() else None
    if "verify" in words:
        code, out, _ = run(*words, "--season", recorded)
        assert (code, told in out, out.count("error: ")) == (1, True, 1)
    else:
        assert told in refused(*words, "--season", recorded)
    assert (path.read_bytes() if path.is_file() else None) == before


def test_without_a_ledger_there_is_nothing_to_verify(refused, small_season):
    """It says how one comes about."""
    assert "there is no ledger yet" in refused("ledger", "verify", "--season", small_season)


def ids(season):
    return {entry.id for entry in open_season(season).recorded.entries}


def test_a_backup_is_dated_looked_over_and_put_back(run, answer, refused, recorded, monkeypatch):
    """The last few are kept; one that lacks reviews is put back only where somebody says so."""
    (recorded / "season.toml").write_text(
        (recorded / "season.toml").read_text(encoding="utf-8") + "\n[ledger]\nkeep = 1\n", encoding="utf-8"
    )
    assert "There is no backup" in run("ledger", "verify", "--season", recorded)[2]
    old = recorded / "backups" / "ledger-20200101T000000Z.db"
    old.parent.mkdir()
    shutil.copy(recorded / "ledger.db", old)
    got = answer("ledger", "backup", "--season", recorded)
    assert (got["reviews"], len(got["gone"])) == (3, 1)
    (copy,) = (recorded / "backups").iterdir()
    assert re.fullmatch(r"ledger-\d{8}T\d{6}Z\.db", copy.name)
    code, _, err = run("ledger", "verify", "--season", recorded)
    assert (code, "backup" in err) == (0, False)
    before = ids(recorded)
    run("ledger", "withdraw", "high-water", "--reason", "Searched.", "--season", recorded)
    told = refused("ledger", "restore", copy, "--season", recorded)
    assert "lacks 1 of the reviews" in told
    assert "ledger merge" in told
    code, out, _ = run("ledger", "restore", copy, "--even-if-lost", "--season", recorded)
    assert (code, ids(recorded)) == (0, before)
    assert out.splitlines()[-1] == "The earlier ledger is now ledger.aside-1.db."
    got = answer("ledger", "merge", recorded / "ledger.aside-1.db", "--season", recorded)
    assert (len(got["added"]), got["reviews"]) == (1, 4)
    assert run("ledger", "verify", "--season", recorded)[0] == 0


def test_a_backup_of_an_altered_ledger_is_none(run, refused, recorded):
    """It would push the sound ones out."""
    altered(recorded, "UPDATE entry SET grade = 1")
    assert "differ from its text" in refused("ledger", "backup", "--season", recorded)
    assert not (recorded / "backups").exists()


def test_a_ledger_goes_out_as_lines_and_comes_back(run, answer, refused, recorded, tmp_path):
    """Into a season without a ledger; with one it is refused and says what would do."""
    file = tmp_path / "ledger.jsonl"
    assert answer("ledger", "export", file, "--season", recorded)["reviews"] == 3
    assert (
        len(file.read_text(encoding="utf-8").splitlines()) == 1 + 1 + 2 + 3
    )  # header, a rubric, facts, reviews
    assert "there is a ledger already" in refused("ledger", "import", file, "--season", recorded)
    before = ids(recorded)
    for path in recorded.glob("ledger.*"):
        path.unlink()
    code, out, _ = run("ledger", "import", file, "--season", recorded)
    assert (code, out.splitlines()[-1]) == (0, "The ledger now holds 3 reviews.")
    assert ids(recorded) == before
    again = tmp_path / "again.jsonl"
    run("ledger", "export", again, "--season", recorded)
    assert again.read_bytes() == file.read_bytes()


def logged(season):
    with (season / "exports" / "log.csv").open(encoding="utf-8", newline="") as file:
        return [
            tuple(row[name] for name in ("file", "sha256", "receiver", "head", "reviews"))
            for row in csv.DictReader(file)
        ]


def test_whoever_gets_the_ledger_is_logged_with_its_head(run, answer, recorded, tmp_path):
    """Lines and backups print the head of the season, and the log has it with the file's own hash."""
    head = open_season(recorded).recorded.ledger.tree_head()
    file = tmp_path / "ledger.jsonl"
    code, out, _ = run("ledger", "export", file, "--to", "Bo", "--season", recorded)
    assert (code, out.splitlines()[-2:]) == (0, ["The head, which covers all 3 reviews:", f"  {head}"])
    assert json.loads(file.read_text(encoding="utf-8").splitlines()[0])["head"] == head
    code, out, _ = run("ledger", "backup", "--to", "Cy", "--season", recorded)
    assert (code, f"The head, which covers all 3 reviews:\n  {head}\n" in out) == (0, True)
    [copy] = (recorded / "backups").iterdir()
    hashes = [hashlib.sha256(one.read_bytes()).hexdigest() for one in (file, copy)]
    assert logged(recorded) == [
        (file.resolve().as_posix(), hashes[0], "Bo", head, "all 3"),
        (f"backups/{copy.name}", hashes[1], "Cy", head, "all 3"),
    ]
    assert answer("ledger", "export", file, "--season", recorded)["head"] == head
    first = answer("ledger", "history", "deep-harbour", "--season", recorded)["reviews"][0]["review"]
    path = recorded / "releases" / "deep-harbour" / "scores.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("= 90", "= 70"), encoding="utf-8")
    got = answer("ledger", "errata", first, "--says", "The fronts do not shine.", "--season", recorded)
    assert [one["receiver"] for one in got["exports"]] == ["Bo", "Cy", None]


def test_a_log_that_cannot_be_added_to_stops_no_backup_of_ones_own(run, refused, recorded, tmp_path):
    """One for somebody else is refused, as lines are, and nothing is written."""
    (recorded / "exports").mkdir(exist_ok=True)
    (recorded / "exports" / ".~lock.log.csv#").write_text("", encoding="utf-8")
    file = tmp_path / "ledger.jsonl"
    assert "has it open" in refused("ledger", "backup", "--to", "Bo", "--season", recorded)
    assert "has it open" in refused("ledger", "export", file, "--season", recorded)
    assert [file.exists(), (recorded / "backups").exists()] == [False, False]
    (recorded / "exports" / "log.csv").mkdir()
    code, _, err = run("ledger", "backup", "--season", recorded)
    assert (code, "the backup is made all the same" in " ".join(err.split())) == (0, True)
    assert len(list((recorded / "backups").iterdir())) == 1


def test_whoever_gets_a_release_under_embargo_is_told(run, recorded, tmp_path):
    """The ledger goes out whole; a backup that stays here needs no word."""
    sheet = recorded / "releases" / "high-water" / "release.toml"
    told = sheet.read_text(encoding="utf-8")
    sheet.write_text(told.replace("[disclosure]", "embargo = 2031-05-02\n[disclosure]", 1), encoding="utf-8")
    export = ("ledger", "export", tmp_path / "ledger.jsonl", "--season", recorded)
    wanted = "remark: high-water is in it and under embargo until 2031-05-02: ask to keep it close"
    assert " ".join(run(*export)[2].split()) == wanted
    sent = run("ledger", "backup", "--to", "Bo", "--season", recorded)[2]
    assert " ".join(sent.split()) == wanted
    assert run("ledger", "backup", "--season", recorded)[2] == ""
    assert run(*export, "--today", "2031-05-02")[2] == ""


@pytest.mark.parametrize("name", ["ledger.db", "ledger.head"])
def test_lines_are_not_written_over_the_ledger(refused, recorded, name):
    """Whatever it is called from there."""
    before = (recorded / name).read_bytes()
    odd = recorded / "releases" / ".." / name
    assert "the season's own" in refused("ledger", "export", odd, "--season", recorded)
    assert (recorded / name).read_bytes() == before


def test_what_cannot_be_merged_is_refused_and_nothing_changes(
    run, refused, recorded, sample_season, tmp_path
):
    """Itself, another season's, a letter, nothing; by a database or by lines."""
    lines = tmp_path / "other.jsonl"
    assert run("ledger", "export", lines, "--season", sample_season)[0] == 0
    (tmp_path / "letter").write_text("Dear aunt", encoding="utf-8")
    before = (recorded / "ledger.db").read_bytes()
    for file, told in (
        (recorded / "ledger.db", "the season's own ledger"),
        (sample_season / "ledger.db", "another season"),
        (lines, "another season"),
        (tmp_path / "letter", "line 1 is not a line of an exported ledger"),
        (tmp_path / "nothing", "there is no such file"),
    ):
        assert told in refused("ledger", "merge", file, "--season", recorded)
    assert (recorded / "ledger.db").read_bytes() == before


def test_a_side_of_a_fork_is_chosen_with_a_reason(run, answer, refused, recorded, tmp_path):
    """The new review follows both, though it says the same as one of them; without a reason it is refused."""
    other = tmp_path / "other"
    shutil.copytree(recorded, other)
    for season, score in ((recorded, "= 91"), (other, "= 92")):
        path = season / "releases" / "deep-harbour" / "scores.toml"
        path.write_text(path.read_text(encoding="utf-8").replace("= 90", score), encoding="utf-8")
        words = ("grade", "deep-harbour", "--record", "--stage", "in-hand", "--because", f"Design {score}.")
        assert run(*words, "--season", season)[0] == 0
    got = answer("ledger", "merge", other / "ledger.db", "--season", recorded)
    [fork] = got["forks"]
    assert (fork["release"], len(fork["reviews"])) == ("deep-harbour", 2)
    words = ("grade", "deep-harbour", "--record", "--stage", "in-hand", "--season", recorded)
    before = (recorded / "ledger.db").read_bytes()
    assert "add --because" in refused(*words)
    assert (recorded / "ledger.db").read_bytes() == before
    assert run(*words, "--because", "Ours: seen in hand.")[0] == 0
    last = answer("ledger", "history", "deep-harbour", "--season", recorded)["reviews"][-1]
    assert sorted(last["supersedes"]) == sorted(fork["reviews"])
    assert last["reason_for_change"] == "Ours: seen in hand."
    merged = answer("ledger", "merge", other / "ledger.db", "--season", recorded)
    assert (merged["added"], merged["forks"]) == ([], [])
    assert run("ledger", "verify", "--season", recorded)[0] == 0


def test_a_copy_that_a_sync_program_left_is_found(run, recorded):
    """And offered for merging."""
    shutil.copy(recorded / "ledger.db", recorded / "ledger (conflicted copy).db")
    code, _, err = run("ledger", "verify", "--season", recorded)
    assert code == 0
    assert 'boxwright ledger merge "ledger (conflicted copy).db"' in err
