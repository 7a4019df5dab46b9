"""`ledger prove` and `ledger check`: a grade that a stranger can check."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest

from rating.ledger import check_proof, proof
from rating.season.season import Season

GONE = ("ledger", "withdraw", "halyard", "--reason", "Searched boxes.")


@pytest.fixture
def proved(sample_season, tmp_path, run):
    """The proof of the sample's Halyard."""
    code, _, err = run("ledger", "prove", "halyard", "--into", tmp_path, "--season", sample_season)
    assert (code, err) == (0, "")
    return tmp_path / "halyard-proof.json"


def test_a_proof_says_where_it_is_and_its_head(run, answer, sample_season, tmp_path):
    """The head in words is that of the JSON, of the file, and of the season."""
    words = ("ledger", "prove", "halyard", "--into", tmp_path, "--season", sample_season)
    _, out, _ = run(*words)
    got = answer(*words)
    head = Season.open(sample_season).recorded.ledger.tree_head()
    assert got["head"] == head == json.loads((tmp_path / "halyard-proof.json").read_bytes())["head"]
    assert f"\n  {head}\n" in out
    assert (got["release"], got["reviews"]) == ("halyard", 59)
    [current] = [
        one
        for one in answer("standings", "--season", sample_season)["standings"]
        if one["release"] == "halyard"
    ]
    assert (got["review"], got["grade"]) == (current["review"], current["grade"])


def test_by_default_it_lies_with_the_exports_of_the_day(run, own_season, monkeypatch):
    monkeypatch.chdir(own_season)
    _, out, _ = run("ledger", "prove", "halyard")
    assert out.startswith("wrote exports/2031-07-15/halyard-proof.json\n")
    assert (own_season / "exports" / "2031-07-15" / "halyard-proof.json").is_file()


def test_what_is_shown_and_what_is_not(run, proved):
    """Without a season; each answer on its own line, and what no proof shows."""
    code, out, err = run("ledger", "check", proved)
    assert (code, err) == (0, "")
    for line in (
        "Wickfield 2031 Halyard Roller Hockey: grade 66.2, stage settled",
        "How the reviewer came by it: partly bought, partly sent free.",
        "What         shown: the review is unaltered",
        "Who          not shown: nobody signed it.",
        "When         not shown: ",
        "One history  not shown: ",
        "None of this shows that a score is deserved",
    ):
        assert f"\n{line}" in f"\n{out}"


def test_a_published_head_shows_when_and_an_older_one_shows_one_history(run, answer, own_season, tmp_path):
    """Of two files, one made from the other's head, each is checked with the other."""
    words = ("ledger", "prove", "vellum-night", "--season", own_season, "--into")
    first = answer(*words, tmp_path / "a")
    assert run(*GONE, "--season", own_season)[0] == 0
    second = answer(*words, tmp_path / "b", "--since", first["head"][:12])
    assert second["earlier"] == {"head": first["head"], "reviews": 59}
    assert (second["reviews"], second["place"]) == (60, first["place"])
    files = [tmp_path / name / "vellum-night-proof.json" for name in "ab"]
    told = answer("ledger", "check", *files)["proofs"]
    assert [(one["what"], one["when"], one["one_history"]) for one in told] == [
        ("shown", "not shown", "not shown"),
        ("shown", "not shown", "shown"),
    ]
    told = answer("ledger", "check", *files, "--head", f" {first['head'].upper()}")["proofs"]
    assert [(one["when"], one["one_history"]) for one in told] == [("shown", "not shown"), ("shown", "shown")]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--release", "vellum-night"), "this is a proof of halyard, not of vellum-night"),
        (("--head", "ab" * 32), "is not in this file"),
        (("--head", "short"), "give all 64 letters"),
        (("--signers", "nowhere"), "the file cannot be read"),
        (("--countersign", "key"), "--as NAME"),
    ],
)
def test_what_speaks_against_a_proof_is_refused(refused, proved, words, told):
    assert told in refused("ledger", "check", proved, *words)


def test_files_that_are_no_proofs_are_refused(refused, proved, tmp_path):
    """One message each, with the file; also where a sound one stands beside it."""
    content = proved.read_bytes()
    for name, other in {
        "cut.json": content[:-100],
        "altered.json": content.replace(b'"grade":662', b'"grade":762'),
        "other.json": b'{"a":1}',
        "empty.json": b"",
        "large.json": content + b" " * 20000,
    }.items():
        (tmp_path / name).write_bytes(other)
        err = refused("ledger", "check", proved, tmp_path / name)
        assert err.count("error: ") == 1
        assert name in err
    assert "no.json" in refused("ledger", "check", tmp_path / "no.json")
    refused("ledger", "check", tmp_path)


def test_what_cannot_be_proved_is_refused(run, refused, own_season, tmp_path):
    """Nothing recorded, a name that is none, one withdrawn, a head that never was: and nothing is written."""
    words = ("--into", tmp_path / "out", "--season", own_season)
    assert "no current review of nothing" in refused("ledger", "prove", "nothing", *words)
    assert "halyard" in refused("ledger", "prove", "halyrd", *words)
    assert "no release named" in refused("ledger", "prove", *words)
    assert "never had the head" in refused("ledger", "prove", "halyard", "--since", "ab" * 32, *words)
    assert run(*GONE, "--season", own_season)[0] == 0
    assert "no current review of halyard" in refused("ledger", "prove", "halyard", *words)
    (own_season / "ledger.db").unlink()
    refused("ledger", "prove", "vellum-night", *words)
    assert not (tmp_path / "out").exists()


def test_a_signer_that_fails_without_a_word_is_refused_in_words(refused, own_season, tmp_path, monkeypatch):
    """Its last line is told, where it has one."""
    signer = tmp_path / "ssh-keygen"
    signer.write_text("#!/bin/sh\nexit 1\n", encoding="utf-8")
    signer.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path), prepend=os.pathsep)
    settings = own_season / "season.toml"
    settings.write_text(
        settings.read_text(encoding="utf-8") + '\n[ledger]\nsign_with = "key"\n', encoding="utf-8"
    )
    err = refused("ledger", "prove", "halyard", "--into", tmp_path, "--season", own_season)
    assert "the key does not sign: ssh-keygen does not say why" in err
    assert not (tmp_path / "halyard-proof.json").exists()


def test_nothing_is_proved_before_an_embargo_ends(refused, run, own_season, tmp_path):
    """The file holds the whole review."""
    path = own_season / "releases" / "halyard" / "release.toml"
    path.write_text(f"embargo = 2031-08-01\n{path.read_text(encoding='utf-8')}", encoding="utf-8")
    words = ("ledger", "prove", "halyard", "--into", tmp_path, "--season", own_season)
    assert "under embargo until 2031-08-01" in refused(*words)
    assert not (tmp_path / "halyard-proof.json").exists()
    assert run(*words, "--today", "2031-08-01")[0] == 0


def test_where_two_copies_went_apart_the_review_that_counts_is_proved(run, answer, own_season, tmp_path):
    """As standings take it: of both recorded ones, the later."""
    other = tmp_path / "other"
    shutil.copytree(own_season, other)
    for season, reason in ((own_season, "Ours."), (other, "Theirs.")):
        scores = season / "releases" / "halyard" / "scores.toml"
        text = scores.read_text(encoding="utf-8")
        scores.write_text(text.replace("score = 77", f"score = {70 + len(reason)}"), encoding="utf-8")
        assert run("grade", "halyard", "--record", "--because", reason, "--season", season)[0] == 0
    assert run("ledger", "merge", other / "ledger.db", "--season", own_season)[0] == 0
    got = answer("ledger", "prove", "halyard", "--into", tmp_path, "--season", own_season)
    [row] = [
        one for one in answer("standings", "--season", own_season)["standings"] if one["release"] == "halyard"
    ]
    assert (got["review"], got["grade"]) == (row["review"], row["grade"])


SAMPLE = Path(__file__).resolve().parents[2] / "exports" / "halyard-proof.json"


def test_the_proof_of_a_sample_grade_holds_and_none_of_its_bytes_altered(demo_season):
    """What `demo` writes, each byte with some of its bits changed; a smaller proof is tried with more."""
    content = (demo_season / "exports" / "2031-07-15" / "halyard-proof.json").read_bytes()
    assert len(content) <= 16384
    told = proof.read(content, where="")
    assert told["review"]["release"] == "halyard"
    for place, byte in enumerate(content):
        with pytest.raises(Exception):  # noqa: B017  (whatever the script meets, it refuses)
            check_proof.read(content[:place] + bytes([byte ^ 1 + place % 7]) + content[place + 1 :])


def test_the_proof_in_the_exports_is_the_one_that_the_demo_makes(demo_season):
    assert SAMPLE.read_bytes() == (demo_season / "exports" / "2031-07-15" / SAMPLE.name).read_bytes()


def test_the_verifier_is_printed_as_it_is(run):
    """Ready to be put into a file, outside of any season."""
    code, out, err = run("ledger", "prove", "--verifier")
    assert (code, out, err) == (0, proof.script(), "")
