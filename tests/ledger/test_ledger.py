"""The ledger: it gives back what it was given, only grows, and survives what happens to files."""

from __future__ import annotations

import contextlib
import dataclasses
import os
import resource
import signal
import sqlite3
import subprocess
import sys
import time

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from rating import review as reviews
from rating.errors import RatingError, errors_in
from rating.ledger import opening, schema
from rating.ledger.ledger import Ledger
from rating.review import PrintedDisclosure, Review, Score, Unscored

RUBRIC = reviews.canonical(
    {
        "criteria": [
            {"group": "look", "key": "design", "points": 600, "scale": None},
            {"group": "look", "key": "finish", "points": 400, "scale": None},
        ],
        "format": 1,
        "verdicts": [{"from": 0, "words": "Look"}],
    }
)
FACTS = reviews.canonical({"release": "halyard"})


def review(**changes):
    made = Review(
        season="Mine",
        release="halyard",
        title="Halyard",
        released_on="2031-03-12",
        price_class="middle",
        log_price="5.10565",
        product_format="hobby",
        stage="launch",
        published_on="2031-03-12",
        recorded_at="2031-03-12T20:00:00Z",
        raters=("mo",),
        disclosure=PrintedDisclosure(how_obtained=("bought",), sentence="I bought it."),
        rubric=reviews.hash_of(RUBRIC),
        scores=(Score(criterion="design", score=62, basis="judged", reason="Good.", spread=8, rater="mo"),),
        not_applicable=(),
        unknown=(Unscored(criterion="finish", why="not seen"),),
        grade=620,
        lowest=372,
        highest=772,
        facts=reviews.hash_of(FACTS),
    )
    return dataclasses.replace(made, **changes)


@pytest.fixture
def ledger(tmp_path):
    made = Ledger(tmp_path / "ledger.db")
    made.append(review(), rubric=RUBRIC, facts=FACTS)
    return made


def add(ledger, **changes):
    return ledger.append(review(**changes), rubric=RUBRIC, facts=FACTS)


def raw(ledger, *statements):
    with sqlite3.connect(ledger.path) as db:
        for statement in statements:
            db.execute(statement)
    db.close()


names = st.text(st.characters(blacklist_categories=("Cs",)), min_size=1, max_size=30)


@given(title=names, reason=names, score=st.integers(0, 100), spread=st.integers(0, 50))
def test_a_review_comes_back_from_its_text_as_it_was(title, reason, score, spread):
    """And its canonical text is that of RFC 8785, by the independent package rfc8785."""
    given_review = review(
        title=reviews.unicodedata.normalize("NFC", title),
        scores=(
            Score(
                criterion="design",
                score=score,
                basis="judged",
                reason=reviews.unicodedata.normalize("NFC", reason),
                spread=spread,
            ),
        ),
    )
    text = reviews.text_of(given_review)
    assert text.encode() == rfc8785.dumps(reviews.as_plain(given_review))
    assert reviews.from_text(text) == given_review


@pytest.mark.parametrize("value", [1.5, float("nan"), {"a": 0.0}, [2**53], {1: "a"}, {"a": b"x"}])
def test_what_has_no_canonical_form_is_refused(value):
    """Floats, whole numbers beyond 2^53, keys that are no text (RFC 8785, section 3.2.2)."""
    with pytest.raises(ValueError, match=r"canonical|large|plain text"):
        reviews.canonical(value)


def test_the_ledger_gives_back_what_it_was_given(ledger):
    """The review by its id, its rubric and facts by their hashes, and the copied values."""
    stored = add(ledger, grade=500, published_on="2031-05-12")
    entries = ledger.entries()
    assert ledger.review(entries[-1].id) == stored
    assert ledger.rubric(stored.rubric) == RUBRIC
    assert ledger.facts(stored.facts) == FACTS
    assert (entries[-1].grade, entries[-1].unknown_points, entries[-1].applying_points) == (500, 400, 1000)
    assert [(one.criterion, one.score, one.points) for one in ledger.scores([2])[2]] == [
        ("design", 62, 600),
        ("finish", None, 400),
    ]
    assert ledger.verify() == []


def test_each_review_follows_the_one_before_and_supersedes_its_own(ledger):
    """`heads` is what the ledger ended with, `supersedes` the current review of the release."""
    first = ledger.entries()[0].id
    other = add(ledger, release="oakum", title="Oakum")
    second = add(ledger, grade=500)
    third = add(ledger, grade=400)
    ids = [entry.id for entry in ledger.entries()]
    assert (other.heads, other.supersedes) == ((first,), ())
    assert (second.heads, second.supersedes) == ((ids[1],), (first,))
    assert (third.heads, third.supersedes) == ((ids[2],), (ids[2],))


@pytest.mark.parametrize("table", schema.TABLES)
@pytest.mark.parametrize("verb", ["UPDATE {} SET rowid = rowid", "DELETE FROM {}"])
def test_nothing_can_be_changed_or_deleted(ledger, table, verb):
    """The database itself refuses, so that no caller can forget."""
    add(ledger, grade=500)
    if table == "merged":
        raw(ledger, "INSERT INTO merged VALUES (1, '[]', '[]')")
    if table == "note":
        raw(ledger, "INSERT INTO note SELECT 1, id, id, '{}' FROM review WHERE seq = 1")
    column = {"rubric": "body", "facts": "body", "review": "body", "entry": "title"}.get(table, "review")
    statement = verb.format(table).replace("rowid", column)
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        raw(ledger, statement)
    assert table in {"merged", "note"} or ledger.verify() == []


@pytest.mark.parametrize(
    ("statements", "told"),
    [
        (("UPDATE review SET body = replace(body, '620', '999')",), "was altered"),
        (("UPDATE entry SET grade = 999",), "copied values"),
        (("UPDATE score SET score = 99",), "copied scores"),
        (("DELETE FROM superseded",), "copied links"),
        (("UPDATE rubric SET body = body || ' '",), "the rubric"),
        (("UPDATE facts SET body = '{}'",), "the facts"),
        (("DELETE FROM score WHERE review = 1", "DELETE FROM entry WHERE review = 1"), "copies"),
    ],
)
def test_verify_finds_what_was_altered(ledger, statements, told):
    """With the guards taken away first, as somebody would; the missing guards are told too."""
    add(ledger, grade=500)
    drops = [f"DROP TRIGGER {table}_no_{verb}" for table in schema.TABLES for verb in ("update", "delete")]
    raw(ledger, *drops, *statements)
    whats = " | ".join(problem.what for problem in ledger.verify())
    assert told in whats
    assert "guard entry_no_update was removed" in whats


def test_at_rest_it_is_one_file_with_its_marks(ledger):
    """journal_mode DELETE, application id and version set, its head beside it and nothing else."""
    assert sorted(path.name for path in ledger.path.parent.iterdir()) == ["ledger.db", "ledger.head"]
    db = sqlite3.connect(ledger.path)
    assert db.execute("PRAGMA journal_mode").fetchone()[0] == "delete"
    assert db.execute("PRAGMA application_id").fetchone()[0] == schema.APPLICATION_ID
    assert db.execute("PRAGMA user_version").fetchone()[0] == schema.VERSION
    db.close()


def test_a_locked_ledger_is_told_and_left_alone(ledger, monkeypatch):
    """Another program holds it: one message, and it is as it was."""
    monkeypatch.setattr(opening, "BUSY_WAIT_MS", 50)
    db = sqlite3.connect(ledger.path, isolation_level=None)
    db.execute("BEGIN EXCLUSIVE")
    with pytest.raises(RatingError, match="in use by another program"):
        add(ledger, grade=1)
    db.execute("ROLLBACK")
    db.close()
    assert len(ledger.entries()) == 1


def test_a_foreign_a_newer_and_a_cut_ledger_are_refused(ledger, tmp_path):
    """Each has its message, and the file keeps every byte."""
    whole = ledger.path.read_bytes()
    other = tmp_path / "other.db"
    with sqlite3.connect(other) as db:
        db.execute("CREATE TABLE t (a)")
    db.close()
    cases = [
        (b"a letter to my aunt\n" * 40, "not a ledger of boxwright"),
        (other.read_bytes(), "not a ledger of boxwright"),
        (whole[: len(whole) - 4096], "cut short"),
        (whole[:60] + (99).to_bytes(4) + whole[64:], "version 99"),
    ]
    for content, told in cases:
        ledger.path.write_bytes(content)
        for call in (ledger.entries, lambda: add(ledger, grade=1)):
            with pytest.raises(RatingError, match=told):
                call()
        assert any(told in one.what for one in ledger.verify())
        assert ledger.path.read_bytes() == content


def test_a_folder_in_its_place_is_refused(tmp_path):
    """And a missing ledger says what to do."""
    (tmp_path / "ledger.db").mkdir()
    with pytest.raises(RatingError, match="not a file"):
        Ledger(tmp_path / "ledger.db").entries()
    with pytest.raises(RatingError, match="no ledger yet"):
        Ledger(tmp_path / "none.db").verify()


def test_a_full_database_leaves_it_as_it_was(ledger, monkeypatch):
    """By max_page_count: what does not fit is not half there."""
    before = ledger.path.read_bytes()
    connect = sqlite3.connect

    def small(*words, **names):
        db = connect(*words, **names)
        db.execute(f"PRAGMA max_page_count = {len(before) // 4096}")
        return db

    monkeypatch.setattr(sqlite3, "connect", small)
    with pytest.raises(RatingError, match="disk is full"):
        ledger.append(
            review(scores=(dataclasses.replace(review().scores[0], reason="long " * 9000),)),
            rubric=RUBRIC,
            facts=FACTS,
        )
    monkeypatch.undo()
    assert ledger.path.read_bytes() == before
    assert ledger.verify() == []


def child(tmp_path, body):
    """A program that appends to the ledger in a process of its own."""
    path = tmp_path / "child.py"
    path.write_text(
        "import importlib.util, sys\n"
        f"spec = importlib.util.spec_from_file_location('t', {__file__!r})\n"
        "t = importlib.util.module_from_spec(spec)\nspec.loader.exec_module(t)\n"
        "from pathlib import Path\n"
        f"ledger = t.Ledger(Path({str(tmp_path / 'ledger.db')!r}))\n" + body,
        encoding="utf-8",
    )
    return [sys.executable, str(path)]


def test_a_file_that_may_not_grow_leaves_it_as_it_was(ledger, tmp_path):
    """By RLIMIT_FSIZE, as on a full disk: a message, no traceback, and the ledger verifies."""
    limit = ledger.path.stat().st_size

    def narrow():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))

    body = (
        "try:\n    t.add(ledger, grade=1, reason_for_change='x' * 60000)\n"
        "except t.RatingError as fault:\n    print(fault.what); raise SystemExit(1)\n"
    )
    before = ledger.path.read_bytes()
    done = subprocess.run(
        child(tmp_path, body), capture_output=True, text=True, check=False, preexec_fn=narrow
    )
    assert done.returncode == 1, done.stderr
    assert done.stdout.strip()
    assert ledger.path.read_bytes() == before
    assert ledger.verify() == []


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGKILL])
def test_a_stop_in_the_middle_leaves_whole_reviews_only(ledger, tmp_path, how):
    """Stopped while it appends without end: what is there verifies, and can be added to."""
    one = subprocess.Popen(
        child(tmp_path, "n = 0\nwhile True:\n    n += 1\n    t.add(ledger, reason_for_change=str(n))\n"),
        stderr=subprocess.DEVNULL,
    )
    written = 0
    while written < 5:
        time.sleep(0.02)
        with contextlib.suppress(
            RatingError
        ):  # on a busy machine the one that writes may keep others waiting
            written = len(ledger.entries())
    time.sleep(0.05)
    os.kill(one.pid, how)
    one.wait()
    assert errors_in(ledger.verify()) == ()  # the write that was stopped may be told as a remark
    number = len(ledger.entries())
    add(ledger, grade=1)
    assert len(ledger.entries()) == number + 1
    assert ledger.verify() == []
