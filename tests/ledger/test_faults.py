"""Nothing acknowledged is lost: kills and refusals at every call that changes a file, the first included."""

from __future__ import annotations

import errno
import random
import shutil
import sqlite3
from contextlib import closing

import pytest

from rating.errors import RatingError, errors_in
from rating.ledger.ledger import Ledger

# a fork is what these tests are about; the child does one thing and ends
pytestmark = pytest.mark.filterwarnings("ignore:.*fork.*:DeprecationWarning")
LONG = "long " * 4000
BEFORE = (0, 1, 3)


def attempt(lab, ledger):
    """Record one more review: 'recorded', or what it says."""

    def work():
        try:
            lab.add(ledger, grade=1, reason_for_change=LONG)
        except RatingError as fault:
            return str(fault)
        return "recorded"

    return work


def places(lab, tmp_path):
    """A ledger for each number of reviews before, and how many calls it takes to record one more."""
    for reviews in BEFORE:
        source = lab.made(tmp_path / f"source-{reviews}", reviews)
        copy = copied(source, tmp_path / f"count-{reviews}")
        found, ended, seen = lab.faults.in_child(attempt(lab, copy), lab.faults.Faults(at=0, how=0))
        assert (found, ended) == ("recorded", 0)
        yield source, reviews, seen


def copied(ledger, folder):
    """The ledger with all that lies beside it, in another folder."""
    shutil.copytree(ledger.path.parent, folder)
    return Ledger(folder / ledger.path.name)


def held_to_the_truth(lab, ledger, before, found):
    """What was said is so: it holds what it held, and the new review where it said 'recorded', and only then.

    A call that was killed said nothing, and may have recorded it or not.
    """
    number = len(ledger.entries())
    assert number in ({before + 1} if found == "recorded" else {before} if found else {before, before + 1})
    if number:
        assert errors_in(ledger.verify()) == ()
    lab.add(ledger, grade=2)  # and the season goes on
    assert len(ledger.entries()) == number + 1
    assert errors_in(ledger.verify()) == ()


@pytest.mark.trial(seed=16, few=50, full=500)
def test_a_kill_at_any_call_loses_nothing(trial, lab, tmp_path):
    """Before a call or in the middle of a write, after 0, 1 or 3 reviews: one whole review more, or none."""
    hows = (lab.faults.KILL, lab.faults.HALF)
    kills = [
        (source, reviews, at, how)
        for source, reviews, seen in places(lab, tmp_path)
        for at in range(1, seen + 1)
        for how in hows
    ]
    random.Random(trial.seed).shuffle(kills)
    for number in range(trial.count):
        source, reviews, at, how = kills[number % len(kills)]
        ledger = copied(source, tmp_path / f"kill-{number}")
        found, ended, _ = lab.faults.in_child(attempt(lab, ledger), lab.faults.Faults(at=at, how=how))
        assert (found, ended) == (None, -9), (reviews, at, how)
        held_to_the_truth(lab, ledger, reviews, found)


REFUSALS = {
    errno.ENOSPC: "the disk is full",
    errno.EIO: "the disk is failing (input/output error)",
    errno.EROFS: "the disk is read-only",
    errno.EACCES: "you have no right to use the ledger",
}


@pytest.mark.trial(seed=17, few=60, full=600)
def test_a_refusal_at_any_call_is_told_and_loses_nothing(trial, lab, tmp_path):
    """ENOSPC, EIO, EROFS and EACCES, once or from then on: no traceback, and what it says is so.

    A refusal that does no harm, as of ledger.head, is said beside a review that is recorded.
    """
    refusals = [
        (source, reviews, at, how, lasting)
        for source, reviews, seen in places(lab, tmp_path)
        for at in range(1, seen + 1)
        for how in REFUSALS
        for lasting in (False, True)
    ]
    random.Random(trial.seed).shuffle(refusals)
    for number in range(trial.count):
        source, reviews, at, how, lasting = refusals[number % len(refusals)]
        ledger = copied(source, tmp_path / f"refused-{number}")
        faults = lab.faults.Faults(at=at, how=how, lasting=lasting)
        found, ended, _ = lab.faults.in_child(attempt(lab, ledger), faults)
        assert ended == 0, (reviews, at, how, lasting)
        assert found == "recorded" or found.startswith("error: "), found
        held_to_the_truth(lab, ledger, reviews, None if "cannot be seen" in found else found)


@pytest.mark.parametrize("how", REFUSALS)
def test_a_refusal_is_told_by_its_own_name(lab, tmp_path, how):
    """Whichever call is the first to be refused for good."""
    ledger = lab.made(tmp_path / "season", 1)
    told = set()
    for at in range(1, 12):
        copy = copied(ledger, tmp_path / f"try-{at}")
        faults = lab.faults.Faults(at=at, how=how, lasting=True)
        found, _, _ = lab.faults.in_child(attempt(lab, copy), faults)
        told.add(found.splitlines()[0])
    assert all(one.startswith(f"error: {REFUSALS[how]}") for one in told), told


def test_one_altered_bit_is_found_or_changes_nothing(lab, tmp_path):
    """In every byte of the header and a byte of each page: verify names it, or every row reads as before."""
    ledger = lab.made(tmp_path / "season", 3)
    whole, chosen = ledger.path.read_bytes(), random.Random(18)
    rows, page = content(ledger.path), int.from_bytes(whole[16:18])
    spots = list(range(100)) + [
        start + chosen.randrange(page) for start in range(0, len(whole), page) for _ in range(4)
    ]
    missed = 0
    for spot in spots:
        altered = bytearray(whole)
        altered[spot] ^= 1 << chosen.randrange(8)
        ledger.path.write_bytes(altered)
        if not errors_in(ledger.verify()):
            missed += 1
            assert content(ledger.path) == rows, spot
    assert missed < len(spots) / 2  # most of a page is in use


def content(path):
    """Every row of every table, and the statements that made them."""
    with closing(sqlite3.connect(path)) as db:
        tables = ("sqlite_master", "rubric", "facts", "review", "entry", "score", "superseded")
        return {table: db.execute(f"SELECT * FROM {table}").fetchall() for table in tables}


@pytest.mark.parametrize("kept", [0, 1, 50, 99, 100, 101, 2000, 4096, 8192])
def test_a_file_cut_anywhere_is_named(lab, tmp_path, kept):
    """Down to nothing: then ledger.head still says how many there were."""
    ledger = lab.made(tmp_path / "season", 2)
    ledger.path.write_bytes(ledger.path.read_bytes()[:kept])
    assert errors_in(ledger.verify())
    with pytest.raises(RatingError):
        lab.add(ledger)


def test_appended_bytes_are_named(lab, tmp_path):
    """Whatever somebody wrote behind the last page."""
    ledger = lab.made(tmp_path / "season", 2)
    with ledger.path.open("ab") as file:
        file.write(b"more")
    assert [one.what for one in ledger.verify()] == ["4 bytes are appended to the file"]
