"""What goes wrong with a ledger's file, each by its own name and with what to do about it."""

from __future__ import annotations

import errno
import sqlite3
from pathlib import Path

from rating.errors import RatingError


class NoLedger(RatingError):
    """Nothing was recorded yet: there is no file, or one that holds nothing."""


class InUse(RatingError):
    """Another program holds the ledger."""


def no_ledger(path: Path) -> NoLedger:
    """Nothing was recorded yet."""
    return NoLedger(
        "there is no ledger yet",
        where=path.name,
        fix="run 'boxwright grade RELEASE --record' first, or pass --season with another folder",
    )


def foreign(path: Path) -> RatingError:
    """The file is something else."""
    return RatingError(
        "this file is not a ledger of boxwright",
        where=path.name,
        fix="move it out of the season folder, or restore the right one",
    )


def damaged(path: Path, why: str = "") -> RatingError:
    """The file was a ledger, and can no longer be read as one."""
    return RatingError(
        f"the ledger is damaged{f': {why}' if why else ''}", where=path.name, fix="restore it from a copy"
    )


_DISK = {
    errno.ENOSPC: ("the disk is full; nothing was recorded", "make room and try again"),
    errno.EDQUOT: ("your share of the disk is full; nothing was recorded", "make room and try again"),
    errno.EFBIG: ("the file may not grow any further; nothing was recorded", "lift the limit on file sizes"),
    errno.EIO: (
        "the disk is failing (input/output error); nothing was recorded",
        "copy the season folder to another disk before anything else",
    ),
    errno.EROFS: ("the disk is read-only; the ledger cannot be written", "copy the season to another disk"),
    errno.EACCES: (
        "you have no right to use the ledger; it cannot be written",
        "see to the rights of the season folder",
    ),
}
_DISK[errno.EPERM] = _DISK[errno.EACCES]


def of_disk(fault: OSError, path: Path) -> RatingError:
    """What the disk refused, by its own name."""
    what, fix = _DISK.get(
        fault.errno or 0,
        (f"the ledger cannot be opened: {fault.strerror or fault}", "see to the rights of the season folder"),
    )
    return RatingError(what, where=path.name, fix=fix)


def in_use(path: Path) -> InUse:
    """Another program holds the ledger."""
    return InUse(
        "the ledger is in use by another program", where=path.name, fix="close it there and try again"
    )


def is_busy(fault: sqlite3.Error) -> bool:
    """Whether another program held the database."""
    return _code(fault) in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}


def of_database(fault: sqlite3.Error, path: Path) -> RatingError:
    """What the database refused, by its own name; where SQLite keeps that to itself, the disk is asked."""
    code = _code(fault)
    if is_busy(fault):
        return in_use(path)
    if code == sqlite3.SQLITE_FULL:
        return of_disk(OSError(errno.ENOSPC, ""), path)
    if code in _UNSAID and (refused := _refused(path.parent)) is not None:
        return of_disk(refused, path)
    if code == sqlite3.SQLITE_IOERR:
        told = of_disk(OSError(errno.EIO, ""), path)
        return RatingError(
            f"{told.what} [{getattr(fault, 'sqlite_errorname', '')}]", where=told.where, fix=told.fix
        )
    if code in _UNSAID:
        return RatingError(
            "the ledger cannot be written: the folder is missing, read-only, or not yours",
            where=path.name,
            fix="see to the rights of the season folder",
        )
    if code == sqlite3.SQLITE_NOTADB:
        return foreign(path)
    if code == sqlite3.SQLITE_CORRUPT:
        return damaged(path)
    return RatingError(
        f"the ledger cannot be used: {fault}", where=path.name, fix="run 'boxwright ledger verify'"
    )


# results behind which the system may have said more than one thing
_UNSAID = frozenset(
    (
        sqlite3.SQLITE_IOERR,
        sqlite3.SQLITE_READONLY,
        sqlite3.SQLITE_CANTOPEN,
        sqlite3.SQLITE_PERM,
        sqlite3.SQLITE_AUTH,
    )
)


def _refused(folder: Path) -> OSError | None:
    """What the system says to a page written into a folder, in a file that is gone at once; None: nothing."""
    import tempfile

    try:
        with tempfile.TemporaryFile(dir=folder, buffering=0) as file:
            file.write(bytes(4096))
    except OSError as fault:
        return fault if fault.errno in _DISK else None
    return None


def _code(fault: sqlite3.Error) -> int:
    """SQLite's primary result code, 0 where the fault is not SQLite's."""
    return int(getattr(fault, "sqlite_errorcode", 0) or 0) & 0xFF
