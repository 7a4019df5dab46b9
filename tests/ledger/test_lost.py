"""A ledger that is shorter, older, blank or another season's is noticed, and nothing is written over it."""

from __future__ import annotations

import dataclasses
import shutil
import sqlite3
import threading
from contextlib import closing

import pytest

from rating.errors import RatingError, errors_in
from rating.ledger import head, opening
from rating.ledger.ledger import Ledger

OURS, OTHERS = "0" * 31 + "a", "0" * 31 + "b"


@pytest.fixture
def said(book):
    """A ledger that keeps what it says beside its answers."""
    told = []
    return dataclasses.replace(book.ledger, say=told.append), told


@pytest.mark.parametrize("content", [b"", b"\0" * 4096, b"\0" * 9000])
def test_a_blank_file_is_no_ledger_yet_for_every_reader(tmp_path, book, content):
    """As a kill or a power cut during the first record leaves it; the next review begins it."""
    ledger = Ledger(tmp_path / "new.db")
    ledger.path.write_bytes(content)
    assert not ledger.exists
    assert ledger.entries() == []
    for call in (ledger.verify, lambda: ledger.review("0" * 64), lambda: ledger.scores([1])):
        with pytest.raises(RatingError, match="no ledger yet"):
            call()
    book.add(ledger=ledger)
    assert [len(ledger.entries()), ledger.verify()] == [1, []]


def test_a_database_without_tables_is_no_ledger_yet(tmp_path, book):
    """It has a header and nothing else."""
    ledger = Ledger(tmp_path / "new.db")
    with closing(sqlite3.connect(ledger.path)) as db:
        db.execute("VACUUM")
    assert (ledger.exists, ledger.entries()) == (False, [])
    book.add(ledger=ledger)
    assert ledger.verify() == []


def test_the_head_is_one_line_that_says_how_many_and_which(book):
    """The count and the last id stand there, in the open."""
    line = head.beside(book.path).read_text()
    assert line.split()[:2] == ["3", book.ledger.entries()[-1].id]
    assert line.count("\n") == 1


def test_an_older_ledger_stops_writing_and_says_what_is_missing(book, said, tmp_path):
    """A copy of some days ago put back: reading says it, recording and verify refuse."""
    older = book.path.read_bytes()
    book.add(grade=1)
    book.path.write_bytes(older)
    ledger, told = said
    assert len(ledger.entries()) == 3
    assert "reviews are missing from ledger.db: ledger.head says there were 4" in told[0]
    assert "reviews are missing" in ledger.verify()[0].what
    with pytest.raises(RatingError, match="reviews are missing") as caught:
        book.add(grade=2)
    assert "'boxwright ledger restore FILE' puts a backup" in caught.value.fix
    assert "ledger merge FILE" in caught.value.fix
    assert book.path.read_bytes() == older


def test_another_ledger_of_as_many_reviews_is_no_heir(book, tmp_path):
    """The count alone would not tell."""
    other = Ledger(tmp_path / "other.db")
    for grade in (1, 2, 3):
        book.add(ledger=other, grade=grade)
    shutil.copy(other.path, book.path)
    with pytest.raises(RatingError, match="reviews are missing"):
        book.add(grade=2)


@pytest.mark.parametrize("leave", [None, b"", b"\0" * 4096])
def test_a_head_without_a_ledger_stops_writing(book, said, leave):
    """The file is gone, or blank."""
    book.path.unlink()
    if leave is not None:
        book.path.write_bytes(leave)
    ledger, told = said
    assert ledger.entries() == []
    assert "there is no ledger.db any more, or it is blank: ledger.head says there were 3" in told[0]
    assert "no ledger.db any more" in ledger.verify()[0].what
    with pytest.raises(RatingError, match=r"no ledger.db any more"):
        book.add()


@pytest.mark.parametrize("number", range(3))
def test_a_head_that_lags_is_caught_up_in_silence(book, said, number):
    """A ledger that holds what the head names, and more, is an heir of it."""
    entry = book.ledger.entries()[number]
    head.write(book.path, head.Head(reviews=entry.seq, ids=(entry.id,)))
    ledger, told = said
    assert (len(ledger.entries()), ledger.verify()) == (3, [])
    book.add(ledger=ledger, grade=1)
    assert told == []
    assert head.read(book.path).reviews == 4


def test_any_altered_bit_of_the_head_is_named_and_stops_nobody(book, said):
    """The head bears witness of the ledger, and cannot once it is damaged: it is written anew."""
    path = head.beside(book.path)
    whole = path.read_bytes()
    for spot in range(len(whole)):
        altered = bytearray(whole)
        altered[spot] ^= 1 << (spot % 8)
        path.write_bytes(altered)
        assert [one.what for one in book.ledger.verify()] == [
            "ledger.head is damaged: its line does not add up"
        ]
    ledger, told = said
    book.add(ledger=ledger, grade=1)
    assert told == ["ledger.head is damaged: its line does not add up; a new one is written"]
    assert ledger.verify() == []


def test_a_head_that_cannot_be_written_is_said_and_the_review_is_recorded(book, said):
    """A folder stands in its place."""
    path = head.beside(book.path)
    path.unlink()
    path.mkdir()
    ledger, told = said
    book.add(ledger=ledger, grade=1)
    assert "recorded all the same" in told[-1]
    assert len(Ledger(book.path).entries()) == 4


def in_season(book, season_id):
    return dataclasses.replace(book.ledger, season_id=season_id)


def test_a_ledger_of_another_season_is_refused(book):
    """Once a review names its season, another neither reads nor writes it, nor does one without a name."""
    ours = in_season(book, OURS)
    book.add(ledger=ours, season_id=OURS)
    before = book.path.read_bytes()
    for ledger, told in ((in_season(book, OTHERS), "another season"), (in_season(book, ""), "no season_id")):
        for call in (ledger.entries, lambda ledger=ledger: book.add(ledger=ledger, season_id=OTHERS)):
            with pytest.raises(RatingError, match=told):
                call()
        assert told in ledger.verify()[0].what
    assert book.path.read_bytes() == before
    assert ours.verify() == []
    assert len(ours.entries()) == 4


def test_a_ledger_without_names_goes_on_in_a_season_with_one(book):
    """It was begun before seasons had ids."""
    assert len(in_season(book, OURS).entries()) == 3


def stale(book, reviews, folder):
    """The journal of a write after so many reviews, beside the ledger as it is now."""
    old = Ledger(folder / "ledger.db")
    folder.mkdir()
    for number in range(reviews):
        book.add(ledger=old, grade=number)
    # what a program leaves that is killed once its journal is whole
    with closing(sqlite3.connect(old.path, isolation_level=None)) as db:
        db.execute("PRAGMA cache_size = 1")
        db.execute("BEGIN IMMEDIATE")
        db.execute("CREATE TABLE IF NOT EXISTS large (a)")
        db.executemany("INSERT INTO large VALUES (?)", [("x" * 9000,)] * 30)
        journal = old.path.with_name("ledger.db-journal").read_bytes()
        db.execute("ROLLBACK")
    book.path.with_name("ledger.db-journal").write_bytes(journal)


@pytest.mark.parametrize("reviews", range(6))
def test_a_stale_journal_takes_reviews_back_but_not_from_the_copies(book, said, tmp_path, reviews):
    """Whatever SQLite makes of it, the ledger as it was stands beside it, and it is said."""
    for grade in (4, 5):
        book.add(grade=grade)
    whole, known = book.path.read_bytes(), [one.id for one in book.ledger.entries()]
    stale(book, reviews, tmp_path / "old")
    ledger, told = said
    try:
        left = [one.id for one in ledger.entries()]
    except RatingError:
        left = None
    assert "both were copied to ledger.aside-1.db and ledger.aside-1.journal" in told[0]
    assert (tmp_path / "ledger.aside-1.db").read_bytes() == whole
    if left != known:
        assert errors_in(ledger.verify())
        with pytest.raises(RatingError):
            book.add(ledger=ledger, grade=6)
    shutil.copy(tmp_path / "ledger.aside-1.db", book.path)
    assert [one.id for one in Ledger(book.path).entries()] == known
    assert Ledger(book.path).verify() == []


def test_nothing_is_copied_while_a_writer_holds_the_lock(book, said):
    """Its journal is no leftover."""
    with closing(sqlite3.connect(book.path, isolation_level=None)) as db:
        db.execute("BEGIN IMMEDIATE")
        db.execute("INSERT INTO rubric VALUES (?, ?)", ("0" * 64, "x"))
        ledger, told = said
        assert len(ledger.entries()) == 3
        db.execute("ROLLBACK")
    assert told == []
    assert sorted(one.name for one in book.path.parent.iterdir()) == ["ledger.db", "ledger.head"]


def test_a_wait_is_said_after_a_moment_and_goes_on(book, said, monkeypatch):
    """Two seconds in earnest, here shorter; the writer then lets go."""
    assert (opening.SAID_AFTER_MS, opening.BUSY_WAIT_MS) == (2_000, 30_000)
    monkeypatch.setattr(opening, "SAID_AFTER_MS", 50)
    ledger, told = said
    db = sqlite3.connect(book.path, isolation_level=None, check_same_thread=False)
    db.execute("BEGIN IMMEDIATE")
    timer = threading.Timer(0.5, lambda: db.execute("COMMIT"))
    timer.start()
    book.add(ledger=ledger, grade=1)
    timer.join()
    db.close()
    assert told == ["ledger.db is in use by another program; waiting up to 29 seconds more for it"]


def test_what_holds_a_review_back_is_asked_inside_the_transaction(book, base):
    """It sees what the ledger has at that moment; what it raises leaves every byte."""
    seen = []

    def hold(last, current):
        with (
            closing(sqlite3.connect(book.path, timeout=0, isolation_level=None)) as db,
            pytest.raises(sqlite3.OperationalError, match="locked"),
        ):
            db.execute("BEGIN IMMEDIATE")
        seen.append((last, [one.grade for one in current]))
        raise RatingError("stop")

    before = book.path.read_bytes()
    with pytest.raises(RatingError, match="stop"):
        book.ledger.append(base, rubric=book.rubric, facts=book.facts, hold=hold)
    assert seen == [("2031-05-01", [500])]
    assert book.path.read_bytes() == before


def test_a_commit_is_durable_down_to_the_folder(book, monkeypatch):
    """synchronous=EXTRA, which syncs the folder once the journal is gone."""
    connect, found = sqlite3.connect, []

    class Watched(sqlite3.Connection):
        def close(self):
            found.append(self.execute("PRAGMA synchronous").fetchone()[0])
            super().close()

    monkeypatch.setattr(sqlite3, "connect", lambda *words, **names: connect(*words, factory=Watched, **names))
    book.add(grade=1)
    assert set(found) == {3}  # https://www.sqlite.org/pragma.html#pragma_synchronous: 3 is EXTRA
