"""Copies of a ledger: made by SQLite's online backup, looked over before they count, and put back.

A copy is named by its moment, `backups/ledger-20310715T200000Z.db`, so that names sort as days do.
"""

from __future__ import annotations

import contextlib
import os
import re
import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from rating.errors import RatingError
from rating.ledger import faults, journal

FOLDER = "backups"
_STAMP = "%Y%m%dT%H%M%SZ"
_NAME = re.compile(r"-(\d{8}T\d{6}Z)\.db\Z", re.ASCII)


def folder_of(ledger: Path) -> Path:
    """Where the copies of a ledger lie."""
    return ledger.parent / FOLDER


def kept(ledger: Path) -> list[Path]:
    """The dated copies of a ledger, oldest first."""
    found = folder_of(ledger).glob(f"{ledger.stem}-*.db")
    return sorted(path for path in found if _NAME.search(path.name))


def moment_of(copy: Path) -> datetime | None:
    """When a copy was made, UTC; None where its name does not say."""
    match = _NAME.search(copy.name)
    return datetime.strptime(match[1] + "+0000", _STAMP + "%z") if match else None


def name_at(ledger: Path, moment: datetime) -> Path:
    """Where a copy of a moment goes, UTC."""
    return folder_of(ledger) / f"{ledger.stem}-{moment.strftime(_STAMP)}.db"


def before_upgrade(ledger: Path, version: int) -> Path:
    """Copy a ledger as it is while a writing transaction has changed nothing yet.

    By a connection of its own, since SQLite copies nothing through one that is writing, and would wait for
    ever; the lock of the writer lets others read.

    Raises
    ------
    RatingError
        if the copy cannot be written
    """
    number, target = 1, folder_of(ledger) / f"{ledger.stem}.version-{version}.db"
    while target.exists():
        number += 1
        target = target.with_name(f"{ledger.stem}.version-{version}-{number}.db")
    with closing(sqlite3.connect(f"{ledger.resolve().as_uri()}?mode=ro", uri=True)) as reader:
        return write(reader, target)


def write(db: sqlite3.Connection, target: Path) -> Path:
    """Write the whole of a database to a new file, durable, in one step.

    Raises
    ------
    RatingError
        if the disk refuses
    """
    part = target.with_name(f".{target.name}.part")
    try:
        target.parent.mkdir(exist_ok=True)
        part.unlink(missing_ok=True)
        with closing(sqlite3.connect(part, isolation_level=None)) as copy:
            db.backup(copy)
        with part.open("rb+") as file:
            os.fsync(file.fileno())
        part.replace(target)
        journal.sync_folder(target.parent)
    except sqlite3.Error as fault:
        raise faults.of_database(fault, target) from fault
    except OSError as fault:
        raise faults.of_disk(fault, target) from fault
    finally:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)
    return target


def prune(ledger: Path, keep: int, *, newest: Path) -> list[Path]:
    """Take away all but the last so many dated copies; gives those that went, which the newest never does."""
    older = [path for path in kept(ledger) if path != newest]
    gone = older[: len(older) - (keep - 1)] if len(older) >= keep else []
    for path in gone:
        path.unlink()
    return gone


def put_in_place(ledger: Path, copy: Path) -> Path | None:
    """Put a copy in the place of a ledger, in one step; gives where the ledger before went, None for none.

    Raises
    ------
    RatingError
        if another program holds the ledger, or the disk refuses
    """
    aside = None
    try:
        if ledger.exists():
            with journal.kept_out(ledger) as is_alone:
                if not is_alone:
                    raise faults.in_use(ledger)
                aside = journal.moved_aside(ledger)
                copy.replace(ledger)
        else:
            copy.replace(ledger)
        journal.sync_folder(ledger.parent)
    except OSError as fault:
        raise faults.of_disk(fault, ledger) from fault
    return aside


def no_copy(path: Path, why: str) -> RatingError:
    """A file that cannot be taken for a copy of this ledger."""
    return RatingError(
        f"{path.name} is not a sound copy of a ledger: {why}", where=str(path), fix="name another"
    )
