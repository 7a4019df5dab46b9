"""What happens to files: locks, full disks, stops in the middle, files that are something else."""

from __future__ import annotations

import dataclasses
import os
import resource
import shutil
import signal
import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from pathlib import Path

import pytest

from rating.errors import RatingError
from rating.ledger import ledger as ledgers
from rating.ledger import merging, opening
from rating.ledger.ledger import Ledger

CONFTEST = Path(__file__).with_name("conftest.py")
LONG = "long " * 20_000


AT_REST = ["ledger.db", "ledger.head"]


def calls(book):
    """Everything that opens a ledger; `verify` tells what the others raise."""
    identity = "0" * 64
    return [
        book.ledger.entries,
        lambda: told_by_verify(book.ledger),
        lambda: book.ledger.scores([1]),
        lambda: book.ledger.review(identity),
        lambda: book.ledger.rubric(identity),
        lambda: book.add(grade=1),
    ]


def told_by_verify(ledger):
    """What verify says first, raised as the other calls raise it."""
    for one in ledger.verify():
        raise RatingError(one.what, where=one.where, fix=one.fix)


def names_in(folder):
    """The files of a folder."""
    return sorted(path.name for path in folder.iterdir())


@pytest.mark.parametrize("hold", ["BEGIN EXCLUSIVE", "BEGIN IMMEDIATE"])
def test_a_ledger_in_use_is_told_and_left_alone(book, monkeypatch, hold):
    """Written by another program, it cannot be written; while that program writes it out, neither be read."""
    monkeypatch.setattr(opening, "BUSY_WAIT_MS", 30)
    with closing(sqlite3.connect(book.path, isolation_level=None)) as db:
        db.execute(hold)
        blocked = calls(book) if hold == "BEGIN EXCLUSIVE" else calls(book)[-1:]
        for call in blocked:
            with pytest.raises(RatingError, match="in use by another program") as caught:
                call()
            assert caught.value.fix == "close it there and try again"
        db.execute("ROLLBACK")
    assert len(book.ledger.entries()) == 3
    assert book.ledger.verify() == []


def test_a_ledger_in_use_for_a_moment_is_waited_for(book):
    """The busy wait outlasts a short write of another program."""
    db = sqlite3.connect(book.path, isolation_level=None, check_same_thread=False)
    db.execute("BEGIN EXCLUSIVE")
    timer = threading.Timer(0.3, lambda: db.execute("COMMIT"))
    timer.start()
    book.add(grade=1)
    timer.join()
    db.close()
    assert len(book.ledger.entries()) == 4


def test_two_writers_at_once_lose_nothing(book):
    """Every review of both is there, in one chain."""
    writers = [
        threading.Thread(target=lambda name=name: [book.add(release=name) for _ in range(5)]) for name in "ab"
    ]
    for one in writers:
        one.start()
    for one in writers:
        one.join()
    assert sorted(one.release for one in book.ledger.entries()[3:]) == ["a"] * 5 + ["b"] * 5
    assert book.ledger.verify() == []


FOREIGN = "not a ledger of boxwright"
REFUSED = {
    "a letter": (lambda _: b"a letter to my aunt\n" * 40, FOREIGN),
    "a zip file": (lambda whole: b"PK\x03\x04" + whole[4:], FOREIGN),
    "one letter": (lambda _: b"S", FOREIGN),
    "a newer one": (
        lambda whole: whole[:60] + (99).to_bytes(4) + whole[64:],
        "version 99, this program reads",
    ),
    "a byte short": (lambda whole: whole[:-1], "cut short"),
    "one page": (lambda whole: whole[:4096], "cut short"),
    "a head": (lambda whole: whole[:150], "cut short"),
    "half a head": (lambda whole: whole[:60], "damaged"),
    "nonsense": (lambda whole: whole[:100] + b"\xff" * 3996 + whole[4096:], "damaged"),
}


def refuse(book, content, told):
    """Hold every call to refusing the file, and to leaving it alone."""
    book.path.write_bytes(content)
    for call in calls(book):
        with pytest.raises(RatingError, match=told):
            call()
    assert book.path.read_bytes() == content
    assert names_in(book.path.parent) == AT_REST


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_no_ledger_is_refused_and_keeps_every_byte(book, name):
    """Foreign, newer, cut short or overwritten: told by name, and never written to."""
    change, told = REFUSED[name]
    refuse(book, change(book.path.read_bytes()), told)


@pytest.mark.parametrize("mark", [0, 7])
def test_a_database_of_another_program_is_refused(book, tmp_path, mark):
    """With a mark of its own or without."""
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute(f"PRAGMA application_id = {mark}")
        db.execute("CREATE TABLE t (a)")
    content = path.read_bytes()
    path.unlink()
    refuse(book, content, FOREIGN)


def test_an_empty_file_is_a_ledger_that_begins(book, tmp_path):
    """What an interrupted first write may leave behind stands in nobody's way."""
    (tmp_path / "new.db").touch()
    ledger = Ledger(tmp_path / "new.db")
    book.add(ledger=ledger)
    assert ledger.verify() == []


@pytest.mark.parametrize("make", [os.mkdir, os.mkfifo])
def test_something_else_in_its_place_is_refused(tmp_path, book, make):
    """A folder, or a pipe that would hang."""
    make(tmp_path / "odd.db")
    odd = Ledger(tmp_path / "odd.db")
    for call in (odd.entries, lambda: told_by_verify(odd), lambda: book.add(ledger=odd)):
        with pytest.raises(RatingError, match="is not a file"):
            call()


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_without_rights_is_told(tmp_path, book):
    """Nothing can be recorded there."""
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(RatingError, match="cannot be written"):
            book.add(grade=1)
    finally:
        tmp_path.chmod(0o700)


def test_a_folder_that_is_not_there_is_told(tmp_path, book):
    """A message instead of a folder made up."""
    with pytest.raises(RatingError, match="cannot be written"):
        book.add(ledger=Ledger(tmp_path / "no" / "ledger.db"))


def narrowed(monkeypatch, pages):
    """Every connection finds the database full at so many pages."""
    connect = sqlite3.connect

    def small(*words, **names):
        db = connect(*words, **names)
        db.execute(f"PRAGMA max_page_count = {pages}")
        return db

    monkeypatch.setattr(sqlite3, "connect", small)


def test_a_full_disk_leaves_the_ledger_as_it_was(book, monkeypatch):
    """By max_page_count: told once, and every byte stays."""
    before = book.path.read_bytes()
    narrowed(monkeypatch, len(before) // 4096)
    with pytest.raises(RatingError, match="disk is full; nothing was recorded"):
        book.add(reason_for_change=LONG)
    monkeypatch.undo()
    assert book.path.read_bytes() == before
    assert names_in(book.path.parent) == AT_REST
    assert book.ledger.verify() == []


@pytest.mark.parametrize("pages", [1, 3, 10, 20])
def test_a_first_review_on_a_full_disk_leaves_no_ledger(tmp_path, book, monkeypatch, pages):
    """No empty file that looks like a ledger; once there is room it begins as if nothing had been."""
    ledger = Ledger(tmp_path / "new.db")
    narrowed(monkeypatch, pages)
    with pytest.raises(RatingError, match="disk is full"):
        book.add(ledger=ledger, reason_for_change=LONG)
    monkeypatch.undo()
    assert names_in(tmp_path) == AT_REST
    assert ledger.entries() == []
    book.add(ledger=ledger)
    assert ledger.verify() == []


@pytest.mark.parametrize("step", [(ledgers, "_current_ids"), (merging, "insert_copies"), (merging, "copies")])
@pytest.mark.parametrize("stop", [KeyboardInterrupt, MemoryError])
def test_a_stop_between_two_writes_leaves_the_ledger_as_it_was(book, monkeypatch, step, stop):
    """Ctrl-C in the middle of an append: nothing of it stays, and nobody is locked out."""
    before = book.path.read_bytes()

    def stopped(*_):
        raise stop

    monkeypatch.setattr(*step, stopped)
    with pytest.raises(stop):
        book.add(grade=1)
    monkeypatch.undo()
    assert book.path.read_bytes() == before
    assert names_in(book.path.parent) == AT_REST
    book.add(grade=1)
    assert len(book.ledger.entries()) == 4
    assert book.ledger.verify() == []


def crashed(book, folder):
    """A copy of the ledger as a machine leaves it that stops while a large review is written out.

    The cache is made so small that pages go to the file before the review is whole, which is what a commit
    does as well; the copy is taken before it ends. Gives the ledger, and how many pages were written.
    """
    whole = book.path.read_bytes()
    with closing(sqlite3.connect(book.path, isolation_level=None)) as db:
        db.execute("PRAGMA cache_size = 1")
        db.execute("BEGIN IMMEDIATE")
        for number in range(10, 40):
            db.execute("INSERT INTO review VALUES (?, ?, ?)", (number, f"{number:064d}", "x" * 9000))
        for path in book.path.parent.glob("ledger.db*"):
            shutil.copy(path, folder)
        db.execute("ROLLBACK")
    return Ledger(folder / "ledger.db"), whole


def test_a_write_that_a_crash_interrupted_is_rolled_back(book, tmp_path):
    """Reading is enough; the file has every byte that it had before, and the journal is gone."""
    folder = tmp_path / "crash"
    folder.mkdir()
    ledger, whole = crashed(book, folder)
    assert names_in(folder) == ["ledger.db", "ledger.db-journal"]
    assert ledger.path.read_bytes() != whole
    assert len(ledger.entries()) == 3
    assert ledger.path.read_bytes() == whole
    assert names_in(folder) == ["ledger.aside-1.db", "ledger.aside-1.journal", "ledger.db"]
    assert ledger.verify() == []


def test_a_crash_between_the_first_page_and_the_last_is_no_cut(book, tmp_path):
    """The first page tells of pages that were not written yet: the journal says so, and it is rolled back."""
    folder = tmp_path / "crash"
    folder.mkdir()
    ledger, whole = crashed(book, folder)
    pages = len(whole) // 4096 + 9
    ledger.path.write_bytes(whole[:28] + pages.to_bytes(4) + whole[32:])
    assert len(ledger.entries()) == 3
    assert ledger.path.read_bytes() == whole
    assert ledger.verify() == []


def child(path, body):
    """A program of its own with a ledger and an `add`."""
    lines = [
        "import importlib.util, dataclasses, sys",
        f"spec = importlib.util.spec_from_file_location('shared', {str(CONFTEST)!r})",
        "shared = importlib.util.module_from_spec(spec); spec.loader.exec_module(shared)",
        "from pathlib import Path",
        "from rating.errors import RatingError",
        f"ledger = shared.Ledger(Path({str(path)!r}))",
        "def add(**changes):",
        "    review = dataclasses.replace(shared.BASE, **changes)",
        "    return ledger.append(review, rubric=shared.RUBRIC, facts=shared.FACTS)",
        body,
    ]
    return [sys.executable, "-c", "\n".join(lines)]


@pytest.mark.parametrize("room", [0, 4096, 30_000])
def test_a_file_that_may_not_grow_leaves_the_ledger_as_it_was(book, room):
    """By RLIMIT_FSIZE, which also stops the journal: a message, no traceback, every byte in its place."""
    before = book.path.read_bytes()
    limit = len(before) + room

    def narrow():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))

    body = (
        f"try:\n    add(reason_for_change='x' * {room + 60_000})\n"
        "except RatingError as fault:\n    print(fault.what)\n    sys.exit(1)"
    )
    done = subprocess.run(
        child(book.path, body), capture_output=True, text=True, check=False, preexec_fn=narrow
    )
    assert (done.returncode, done.stderr) == (1, "")
    assert done.stdout.startswith("the disk is failing (input/output error); nothing was recorded")
    assert book.path.read_bytes() == before
    assert book.ledger.verify() == []


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGINT, signal.SIGTERM])
def test_a_program_stopped_while_it_appends_leaves_whole_reviews(book, how):
    """What it had said was recorded is there, and at most the one that it was about to say so of."""
    body = (
        "for number in range(10_000):\n"
        "    stored = add(reason_for_change=f'{number} ' + 'x' * 20_000)\n"
        "    print(number, flush=True)"
    )
    command = child(book.path, body)
    one = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    told = [one.stdout.readline() for _ in range(8)]
    one.send_signal(how)
    told += one.stdout.readlines()
    one.wait()
    one.stdout.close()
    assert one.returncode != 0
    found = book.ledger.entries()[3:]
    assert book.ledger.verify() == []
    assert len(found) - len([line for line in told if line.endswith("\n")]) in {0, 1}
    book.add(grade=1)
    assert book.ledger.verify() == []
    assert [name for name in names_in(book.path.parent) if ".aside-" not in name] == AT_REST


def test_the_ledger_can_be_read_while_it_is_read(book):
    """Two readers do not stand in each other's way."""
    with closing(sqlite3.connect(book.path, isolation_level=None)) as db:
        db.execute("BEGIN")
        db.execute("SELECT * FROM review").fetchone()
        assert len(book.ledger.entries()) == 3
        assert book.ledger.verify() == []


def test_a_copy_of_a_ledger_is_a_ledger(book, tmp_path):
    """At rest it is one file: copied, it holds everything."""
    shutil.copy(book.path, tmp_path / "copy.db")
    copy = Ledger(tmp_path / "copy.db")
    assert copy.entries() == book.ledger.entries()
    assert copy.verify() == []
    assert dataclasses.astuple(copy) != dataclasses.astuple(book.ledger)
