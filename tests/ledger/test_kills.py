"""Killed at any call that changes a file: all of the work is done, or nothing is, and it goes on.

Recording is in `test_faults`; here are the other ways in which files of a season change.
"""

from __future__ import annotations

import dataclasses
import itertools
import random
import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from rating.errors import errors_in
from rating.export.tables import write_tables
from rating.ledger import backups
from rating.ledger.ledger import Ledger
from rating.release import swap
from rating.season import handed, keeping
from rating.season.season import Season

# a fork is what these tests are about; the child does one thing and ends
pytestmark = pytest.mark.filterwarnings("ignore:.*fork.*:DeprecationWarning")
DATA = Path(__file__).with_name("data")


@dataclasses.dataclass(frozen=True)
class Job:
    """Work on a folder, what must hold after a kill in it, and what must hold once it was done again."""

    begin: Callable
    work: Callable
    stands: Callable
    is_done: Callable


def sound(path):
    """The number of reviews of a ledger that `verify` finds nothing wrong with."""
    ledger = Ledger(path)
    assert errors_in(ledger.verify()) == ()
    return len(ledger.ids())


def copies_are_whole(folder):
    """What bears the name of a copy is one."""
    assert {sound(path) for path in folder.glob("backups/*.db")} <= {2, 3}


# merging: two copies went apart after two reviews, by one review each -------------------------------------


def two_copies(lab, folder):
    ledger = lab.made(folder, 2)
    shutil.copy(ledger.path, folder / "other.db")
    lab.add(Ledger(folder / "other.db"), release="oakum", title="Oakum")
    lab.add(ledger, grade=5)


def merge(folder):
    Ledger(folder / "ledger.db").merge(Ledger(folder / "other.db").content())


def merged_or_not(folder):
    assert sound(folder / "ledger.db") in {3, 4}


def all_four(folder):
    assert sound(folder / "ledger.db") == 4


# backing up and putting back ------------------------------------------------------------------------------


def with_copies(lab, folder):
    ledger = lab.made(folder, 2)
    for hour in (1, 2):
        ledger.back_up(folder / "backups" / f"ledger-20310101T0{hour}0000Z.db")
    lab.add(ledger, grade=5)


def back_up(folder):
    ledger = Ledger(folder / "ledger.db")
    made = ledger.back_up(folder / "backups" / "ledger-20310101T030000Z.db")
    backups.prune(ledger.path, 2, newest=made)


def backed_up_or_not(folder):
    assert sound(folder / "ledger.db") == 3
    kept = backups.kept(folder / "ledger.db")
    assert len(kept) >= 2
    copies_are_whole(folder)


def newest_is_whole(folder):
    kept = backups.kept(folder / "ledger.db")
    assert [sound(path) for path in kept] == [2, 3]


def restore(folder):
    Ledger(folder / "ledger.db").restore(folder / "backups" / "ledger-20310101T020000Z.db")


def restored_or_not(folder):
    """The ledger before, or the copy; its head may still be that of the one before, which stops writing."""
    ledger = Ledger(folder / "ledger.db")
    number = len(ledger.ids())
    found = [one.what for one in errors_in(ledger.verify())]
    assert number == 3 or [number, len(list(folder.glob("ledger.aside-*.db")))] == [2, 1]
    assert not found or (number == 2 and all("ledger.head says there were 3" in one for one in found))
    copies_are_whole(folder)


def is_the_copy(folder):
    assert sound(folder / "ledger.db") == 2


# bringing an older ledger up to date ----------------------------------------------------------------------


def older(version):
    def begin(_, folder):
        folder.mkdir()
        shutil.copy(DATA / f"version-{version}.db", folder / "ledger.db")

    return begin


def migrated_or_not(folder):
    assert sound(folder / "ledger.db") in {3, 4}
    copies_are_whole(folder)


def goes_on(folder):
    assert sound(folder / "ledger.db") in {4, 5}


# the tables of a release ----------------------------------------------------------------------------------

OLD = {"checklist.csv": b"old checklist\n" * 900, "odds.csv": b"old odds\n"}
NEW = {"checklist.csv": b"new checklist\n" * 900, "odds.csv": b"new odds\n", "sales.csv": b"new sales\n"}


def old_tables(_, folder):
    folder.mkdir()
    swap.swap(folder, OLD)


def take_in(folder):
    swap.swap(folder, NEW)


def tables_of(folder):
    swap.recover(folder)  # as every reader does
    return {path.name: path.read_bytes() for path in folder.iterdir() if not path.name.startswith(".")}


def old_or_new_tables(folder):
    assert tables_of(folder) in (OLD, NEW)


def new_tables(folder):
    assert tables_of(folder) == NEW


def record(lab):
    return lambda folder: lab.add(Ledger(folder / "ledger.db"), grade=1, reason_for_change="long " * 4000)


JOBS = {
    "merging": Job(two_copies, merge, merged_or_not, all_four),
    "backing up": Job(with_copies, back_up, backed_up_or_not, newest_is_whole),
    "restoring": Job(with_copies, restore, restored_or_not, is_the_copy),
    "bringing up from version 1": Job(older(1), record, migrated_or_not, goes_on),
    "bringing up from version 2": Job(older(2), record, migrated_or_not, goes_on),
    "swapping tables in": Job(old_tables, take_in, old_or_new_tables, new_tables),
}


@pytest.mark.trial(seed=19, few=10, full=500)
@pytest.mark.parametrize("name", JOBS)
def test_a_kill_leaves_all_or_nothing_and_it_goes_on(trial, lab, tmp_path, name):
    """At each call, and in the middle of what it writes: the files are sound, and the same work ends well."""
    job = JOBS[name]
    job.begin(lab, tmp_path / "source")
    work = job.work(lab) if job.work is record else job.work
    for number, (at, how) in enumerate(kills(trial, lab, tmp_path, work)):
        folder = tmp_path / f"kill-{number}"
        shutil.copytree(tmp_path / "source", folder)
        _, ended, _ = lab.faults.in_child(lambda: work(folder), lab.faults.Faults(at=at, how=how))  # noqa: B023
        assert ended == -9, (at, how)
        job.stands(folder)
        work(folder)
        job.is_done(folder)
        shutil.rmtree(folder)


def kills(trial, lab, tmp_path, work):
    """The calls at which to kill, each before it and in its middle, as many as the trial asks for."""
    shutil.copytree(tmp_path / "source", tmp_path / "count")
    counted = lab.faults.Faults(at=0, how=0)
    _, ended, seen = lab.faults.in_child(lambda: bool(work(tmp_path / "count")), counted)
    assert ended == 0
    found = [(at, how) for at in range(1, seen + 1) for how in (lab.faults.KILL, lab.faults.HALF)]
    random.Random(trial.seed).shuffle(found)
    return itertools.islice(itertools.cycle(found), trial.count)


# what is handed out ---------------------------------------------------------------------------------------


@pytest.mark.trial(seed=20, few=20, full=500)
def test_a_kill_while_exporting_leaves_no_half_file(trial, lab, own_season, tmp_path):
    """Tables, the ledger as lines, and the log of who got what: each file is the old one or the new one.

    Rows are added to the log in one write; one that is cut off is passed over, and the next begins a line.
    """
    season = Season.open(own_season)
    (tmp_path / "source").mkdir()
    (tmp_path / "source" / "standings.csv").write_bytes(b"old")
    shutil.copytree(tmp_path / "source", tmp_path / "whole")
    export(season, tmp_path / "whole")
    whole, log = exported(tmp_path / "whole")
    assert len(whole) == 4
    for number, (at, how) in enumerate(kills(trial, lab, tmp_path, lambda folder: export(season, folder))):
        folder = tmp_path / f"kill-{number}"
        shutil.copytree(tmp_path / "source", folder)
        _, ended, _ = lab.faults.in_child(lambda: export(season, folder), lab.faults.Faults(at=at, how=how))  # noqa: B023
        assert ended == -9, (at, how)
        files, rows = exported(folder)
        assert all(content in (b"old", whole[name]) for name, content in files.items()), (at, how)
        assert log.startswith(rows), (at, how)
        export(season, folder)
        assert exported(folder)[0] == whole
        assert [one.file for one in handed.read(folder)[0]][-4:] == [one.name for one in paths_in(folder)]
        shutil.rmtree(folder)


def export(season, folder):
    """Put the tables and the lines of the ledger into a folder, and log them there."""
    write_tables(season, folder, "csv")
    keeping.export(season.files, folder / "ledger.jsonl")
    now = datetime(2031, 7, 15, tzinfo=UTC)
    handed.log(folder, paths_in(folder), to="Bo", head="0" * 64, reviews=["1" * 64], now=now)


def paths_in(folder):
    return sorted(one for one in folder.iterdir() if one.is_file() and not one.name.startswith("."))


def exported(folder):
    """The bytes of each file in a folder, and of its log."""
    log = handed.path_of(folder)
    return {one.name: one.read_bytes() for one in paths_in(folder)}, log.read_bytes() if log.exists() else b""
