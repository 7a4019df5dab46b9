"""The commands as a person and a script use them: text, JSON, places of the season, exit codes."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from rating.cli import main


@pytest.fixture
def run(capsys, monkeypatch):
    """Run one command; gives exit code, standard output and standard error."""
    monkeypatch.delenv("BOXWRIGHT_SEASON", raising=False)
    monkeypatch.delenv("BOXWRIGHT_TODAY", raising=False)

    def call(*words):
        code = main([str(word) for word in words])
        out = capsys.readouterr()
        assert "Traceback" not in out.out + out.err
        return code, out.out, out.err

    return call


def answer(run, *words):
    code, out, _ = run(*words, "--json")
    assert code == 0
    return json.loads(out)


def test_an_evening_from_an_empty_folder_to_a_workbook(run, tmp_path, monkeypatch):
    """start, add, check, facts, grade, record, standings, export: the way the README goes."""
    monkeypatch.chdir(tmp_path)
    assert run("start", "mine", "--name", "Mine 2031")[0] == 0
    monkeypatch.chdir(tmp_path / "mine")
    assert run("add", "deep-harbour", "--title", "Marlow 2031 Deep Harbour")[0] == 0
    code, out, _ = run("check", "deep-harbour")
    assert code == 1
    assert "missing-value" in out
    folder = tmp_path / "mine" / "releases" / "deep-harbour"
    (folder / "release.toml").write_text(
        """format = 1
title = "Marlow 2031 Deep Harbour"
maker = "Marlow"
line = "Deep Harbour"
date = 2031-03-12
headline = "hobby"
[disclosure]
how_obtained = ["bought"]
sentence = "I bought a box."
[formats.hobby]
cards_per_pack = 8
packs_per_box = 14
""",
        encoding="utf-8",
    )
    (folder / "prices.csv").write_text(
        "date,format,unit,kind,price,currency,source\n2031-03-12,hobby,box,list,164.95,,sheet\n",
        encoding="utf-8",
    )
    (folder / "scores.toml").write_text(
        "format = 1\n"
        + "".join(
            f'[me.{key}]\nscore = 60\nreason = "Because of {key}."\n'
            for key in ("chase", "scarcity", "returns", "building", "opening", "design", "finish")
        ),
        encoding="utf-8",
    )
    assert run("check", "deep-harbour", "--today", "2031-04-01")[0] == 0
    code, out, _ = run("facts", "deep-harbour", "--today", "2031-04-01")
    assert code == 0
    assert "164.95" in out
    code, out, _ = run("grade", "deep-harbour", "--record", "--today", "2031-04-01")
    assert code == 0
    assert "Recorded as of 2031-04-01" in out
    code, out, _ = run("standings", "--today", "2031-04-01")
    assert "Deep" in out
    code, out, _ = run("export", "workbook", "--today", "2031-04-01")
    assert code == 0
    assert (tmp_path / "mine" / "exports" / "2031-04-01" / "season.xlsx").stat().st_size > 5000


def test_grade_answers_in_the_shape_scripts_rely_on(run, sample_season):
    """Every key of the contract, and the grade follows from scores and points alone."""
    got = answer(run, "grade", "halyard", "--season", sample_season)
    assert {
        "release", "stage", "grade", "lowest", "highest", "rank", "verdict", "partial", "disclosure",
        "scores", "not_applicable", "unknown", "recorded", "differs",
    } <= set(got)  # fmt: skip
    assert got["differs"] is False
    first = got["scores"][0]
    assert {"criterion", "group", "score", "points", "basis", "reason", "spread", "evidence"} <= set(first)
    N = sum(round(one["points"] * 10) * one["score"] for one in got["scores"])
    D = sum(round(one["points"] * 10) for one in got["scores"])
    assert got["grade"] == (20 * N + D) // (2 * D) / 10


def test_standings_answer_in_the_shape_scripts_rely_on(run, sample_season):
    """Keys, ranks of ties, a release apart, and what is to come."""
    got = answer(run, "standings", "--season", sample_season)
    assert {"format", "season", "as_of", "rubric", "standings", "to_come"} <= set(got)
    assert got["as_of"] == "2031-07-15"
    for row in got["standings"]:
        assert {
            "release", "title", "rank", "class_rank", "class", "tied", "grade", "verdict", "stage", "partial",
            "ranked_apart", "movement", "review",
        } <= set(row)  # fmt: skip
        assert (row["rank"] is None) == row["ranked_apart"]
    ranks = [row["rank"] for row in got["standings"] if row["rank"]]
    assert ranks == [*range(1, 13), 12, *range(14, 18)]
    assert [row["release"] for row in got["to_come"]] == ["halyard-late-watch", "undertow-bellbuoy"]


def test_standings_can_be_asked_for_a_day_a_stage_and_a_class(run, sample_season):
    """Past days show what stood then; a stage shows reviews of that stage only."""
    early = answer(run, "standings", "--as-of", "2031-03-15", "--season", sample_season)
    assert 0 < len(early["standings"]) < 18
    settled = answer(run, "standings", "--stage", "settled", "--season", sample_season)
    assert {row["stage"] for row in settled["standings"]} == {"settled"}
    premium = answer(run, "standings", "--class", "premium", "--season", sample_season)
    assert {row["class"] for row in premium["standings"]} == {"premium"}
    code, out, _ = run("standings", "--audit", "--season", sample_season)
    assert code == 0
    assert "no sign that price decides the grade." in " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 100


def test_facts_answer_by_format(run, sample_season):
    """A box of Halyard: 14 packs of 8 are 112 cards; 1.43 a card at 159.95 is half-up cents."""
    got = answer(run, "facts", "halyard", "--season", sample_season)
    hobby = got["economics"]["hobby"]
    assert hobby["cards_per_box"] == 112
    assert hobby["per_card"] == round(hobby["box_price"] / 112 + 1e-9, 2)
    assert got["content"]["kinds"] == {
        "base": 229, "insert": 30, "autograph": 98, "relic": 40, "autograph relic": 26,
    }  # fmt: skip
    assert set(got["economics"]) == {"hobby", "retail"}


def test_check_finds_every_problem_at_once(run, own_season):
    """Several files, several kinds, one call, exit code 1, and JSON with place and mend."""
    folder = own_season / "releases" / "halyard"
    path = folder / "checklist.csv"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("Base,base,002,", "Base,base,001,", 1), encoding="utf-8")
    scores = folder / "scores.toml"
    scores.write_text(
        scores.read_text(encoding="utf-8").replace("score = ", "score = 1", 1), encoding="utf-8"
    )
    with (folder / "prices.csv").open("a", encoding="utf-8") as file:
        file.write("2031-07-01,tin,box,street,12.5x,,\n")
    code, out, _ = run("check", "halyard", "--season", own_season, "--json")
    assert code == 1
    problems = json.loads(out)["problems"]
    assert {"duplicate-number", "bad-value"} <= {one["code"] for one in problems}
    assert {one["file"].rsplit("/", 1)[-1] for one in problems if one["severity"] == "error"} == {
        "checklist.csv", "prices.csv", "scores.toml",
    }  # fmt: skip
    assert all(one["what"] and one["fix"] for one in problems)


def test_check_sees_dropped_zeros_and_repairs_them(run, own_season):
    """001 that became 1 is found by the recorded review, and `--repair` brings the file back."""
    path = own_season / "releases" / "halyard" / "checklist.csv"
    before = path.read_text(encoding="utf-8")
    lines = [line.split(",") for line in before.splitlines()]
    for cells in lines[1:]:
        cells[2] = cells[2].lstrip("0") if cells[2].isdigit() else cells[2]
    path.write_text("\n".join(",".join(cells) for cells in lines) + "\n", encoding="utf-8")
    code, out, _ = run("check", "halyard", "--season", own_season)
    assert code == 1
    assert "zeros-lost" in out
    code, out, err = run("check", "halyard", "--repair", "--season", own_season)
    assert code == 0
    assert "written with 3 digits" in err
    assert path.read_text(encoding="utf-8") == before


def test_recording_the_same_twice_appends_nothing(run, own_season):
    """It says so; a changed score is appended, with its reason, and superseding the one before."""
    code, out, _ = run("grade", "halyard", "--record", "--season", own_season)
    assert (code, "nothing was appended" in out) == (0, True)
    before = answer(run, "ledger", "history", "halyard", "--season", own_season)["reviews"]
    path = own_season / "releases" / "halyard" / "scores.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("[mo.design]\nscore = 77", "[mo.design]\nscore = 20"), encoding="utf-8")
    assert answer(run, "grade", "halyard", "--season", own_season)["differs"] is True
    code, out, _ = run(
        "grade", "halyard", "--record", "--because", "The ink rubs off.", "--season", own_season
    )
    assert (code, "Recorded as of 2031-07-15" in out) == (0, True)
    after = answer(run, "ledger", "history", "halyard", "--season", own_season)["reviews"]
    assert after[:-1] == before
    assert after[-1]["reason_for_change"] == "The ink rubs off."
    assert after[-1]["supersedes"] == [before[-1]["review"]]
    assert run("ledger", "verify", "--season", own_season)[0] == 0


def test_a_withdrawn_release_leaves_and_the_one_before_does_not_come_back(run, own_season):
    """Its reviews stay in the ledger; on a past day it still stands."""
    assert run("ledger", "withdraw", "halyard", "--reason", "Searched boxes.", "--season", own_season)[0] == 0
    now = answer(run, "standings", "--season", own_season)["standings"]
    assert "halyard" not in {row["release"] for row in now}
    past = answer(run, "standings", "--as-of", "2031-07-01", "--season", own_season)["standings"]
    assert "halyard" in {row["release"] for row in past}
    assert run("ledger", "withdraw", "halyard", "--reason", "Again.", "--season", own_season)[0] == 1


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("standings", "--stage", "later"), 1),
        (("standings", "--as-of", "12.3.2031"), 1),
        (("grade", "nobody"), 1),
        (("grade", "../halyard"), 1),
        (("grade", "halyard", "--record", "--on", "2031-08-01"), 1),
        (("grade", "halyard", "--record", "--on", "2031-01-01"), 1),
        (("grade", "halyard", "--ask"), 1),
        (("facts", "halyard", "--section", "weather"), 1),
        (("criteria", "show", "weather"), 1),
        (("export", "tables", "--format", "pdf"), 1),
        (("ledger", "withdraw", "halyard", "--reason", "  "), 1),
        (("grade",), 2),
        (("standings", "--nonsense"), 2),
        (("dance",), 2),
    ],
)
def test_a_wrong_call_ends_in_one_clear_message(run, own_season, words, code, monkeypatch):
    """With the exit code of the contract, on standard error, and the ledger as it was."""
    monkeypatch.setenv("BOXWRIGHT_SEASON", str(own_season))
    before = (own_season / "ledger.db").read_bytes()
    got, out, err = run(*words)
    assert got == code
    assert err.strip()
    assert not out.strip()
    assert (own_season / "ledger.db").read_bytes() == before


def test_today_is_the_flag_then_the_variable_then_the_file(run, sample_season, monkeypatch):
    """`--today`, BOXWRIGHT_TODAY, season.toml, in this order."""
    assert answer(run, "standings", "--season", sample_season)["as_of"] == "2031-07-15"
    monkeypatch.setenv("BOXWRIGHT_TODAY", "2031-05-05")
    assert answer(run, "standings", "--season", sample_season)["as_of"] == "2031-05-05"
    told = answer(run, "standings", "--today", "2031-04-04", "--season", sample_season)
    assert told["as_of"] == "2031-04-04"


def test_the_season_is_found_from_a_folder_below_it(run, sample_season, monkeypatch):
    """The current folder and its parents are looked through; elsewhere it says what to do."""
    monkeypatch.chdir(sample_season / "releases" / "halyard")
    assert run("grade", "halyard")[0] == 0
    monkeypatch.chdir(sample_season.parent)
    code, _, err = run("standings")
    assert code == 1
    assert "boxwright start DIR" in err


def test_a_fault_of_ours_is_one_line_with_its_log(run, sample_season, monkeypatch):
    """Exit code 70, and the log holds the traceback."""
    from rating.season.season import Season

    monkeypatch.setattr(Season, "rank", lambda *_, **__: 1 / 0)
    code, _, err = run("standings", "--season", sample_season)
    assert code == 70
    assert len(err.strip().splitlines()) == 1
    log = err.strip().rsplit(" ", 1)[-1]
    assert "ZeroDivisionError" in Path(log).read_text(encoding="utf-8")
    Path(log).unlink()


def command(*words):
    return [sys.executable, "-m", "rating", *map(str, words)]


def test_a_closed_pipe_is_quiet(sample_season):
    """As with `| head -1`: no message, no traceback."""
    one = subprocess.Popen(
        command("facts", "halyard", "--season", sample_season), stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    one.stdout.readline()
    one.stdout.close()
    assert one.stderr.read() == b""
    one.stderr.close()
    assert one.wait() == 0


def test_the_demo_refuses_a_folder_that_is_not_its_own(run, tmp_path):
    """Nothing in it is touched."""
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "a.txt").write_text("mine", encoding="utf-8")
    code, _, err = run("demo", "--into", tmp_path / "letters")
    assert code == 1
    assert "something else" in err
    assert [path.name for path in (tmp_path / "letters").iterdir()] == ["a.txt"]
