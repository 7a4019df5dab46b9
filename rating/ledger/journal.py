"""A journal that lies beside a ledger: the ledger and it are copied aside before SQLite rolls back.

An interrupted write leaves a journal, and the next program that opens the ledger rolls it back, as it should.
A journal of an earlier day, put back by a sync program, is rolled back in the same way and takes reviews with
it: only the copies still have them. Nothing is copied while a program that writes holds its locks.
https://www.sqlite.org/fileformat.html, section 3; https://www.sqlite.org/lockingv3.html
"""

from __future__ import annotations

import contextlib
import os
import shutil
import struct
import sys
from collections.abc import Iterator
from pathlib import Path

from rating.ledger import faults

try:
    import fcntl
except ImportError:  # no such locks on this system: a journal is then copied whoever holds the ledger
    fcntl = None  # type: ignore[assignment]  # told apart by is None

# the bytes that SQLite locks, os_unix.c: PENDING keeps new readers out, RESERVED is held by whoever writes
_PENDING, _RESERVED = 0x40000000, 0x40000001
# struct flock: on Linux type, whence, start, length, process; elsewhere start, length, process, type, whence
_IS_LINUX = sys.platform.startswith("linux")
_MAGIC = b"\xd9\xd5\x05\xf9\x20\xa1\x63\xd7"


def beside(ledger: Path) -> Path:
    """Where SQLite puts the journal of a ledger."""
    return ledger.with_name(f"{ledger.name}-journal")


def is_hot(ledger: Path) -> bool:
    """Whether SQLite would roll a journal back, or throw one away that once belonged to a whole ledger."""
    try:
        with beside(ledger).open("rb") as file:
            start = file.read(20)
        size = ledger.stat().st_size
    except OSError:
        return False
    return start.startswith(_MAGIC) and (size > 0 or int.from_bytes(start[16:20]) > 0)


def keep_aside(ledger: Path) -> tuple[Path, Path] | None:
    """Copy a ledger and its hot journal aside; None where there is none, or somebody is writing.

    The copies are named so that SQLite does not take one for the journal of the other.

    Raises
    ------
    RatingError
        if they cannot be copied: then the journal stays as it is
    """
    if not is_hot(ledger):
        return None
    try:
        with kept_out(ledger) as is_alone:
            if not is_alone or not is_hot(ledger):
                return None
            whole, journal = _free_names(ledger)
            _copy(beside(ledger), journal)
            _copy(ledger, whole)
            sync_folder(ledger.parent)
            return whole, journal
    except OSError as fault:
        raise faults.of_disk(fault, ledger) from fault


def moved_aside(ledger: Path) -> Path:
    """Copy a ledger aside and move its journal away, before another file takes its place; gives the copy.

    Raises
    ------
    OSError
        if the disk refuses
    """
    whole, journal = _free_names(ledger)
    _copy(ledger, whole)
    if beside(ledger).exists():
        beside(ledger).replace(journal)
    sync_folder(ledger.parent)
    return whole


def _free_names(ledger: Path) -> tuple[Path, Path]:
    number = 1
    while any(one.exists() for one in _names(ledger, number)):
        number += 1
    return _names(ledger, number)


def _names(ledger: Path, number: int) -> tuple[Path, Path]:
    stem = f"{ledger.stem}.aside-{number}"
    return ledger.with_name(f"{stem}{ledger.suffix}"), ledger.with_name(f"{stem}.journal")


def _copy(source: Path, target: Path) -> None:
    part = target.with_name(f".{target.name}.part")
    try:
        with source.open("rb") as old, part.open("wb") as new:
            shutil.copyfileobj(old, new)
            new.flush()
            os.fsync(new.fileno())
        part.replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)
        raise


@contextlib.contextmanager
def kept_out(ledger: Path) -> Iterator[bool]:
    """Keep every other program out of a ledger for a moment; whether nobody was writing."""
    if fcntl is None:
        yield True
        return
    with ledger.open("r+b") as file:
        try:
            fcntl.lockf(file, fcntl.LOCK_EX | fcntl.LOCK_NB, 1, _PENDING, os.SEEK_SET)
        except (BlockingIOError, PermissionError):
            yield False
            return
        yield not _is_reserved(file.fileno())  # closing the file lets go of the lock


def _is_reserved(handle: int) -> bool:
    """Whether another program writes. Asked, never locked: a reader takes that lock for a sign of life."""
    asked: tuple[int, ...] = (fcntl.F_WRLCK, os.SEEK_SET, _RESERVED, 1, 0)
    form, place = "hhqqi", 0
    if not _IS_LINUX:
        form, place, asked = "qqihh", 3, (*asked[2:], *asked[:2])
    answer = fcntl.fcntl(handle, fcntl.F_GETLK, struct.pack(form, *asked))
    return int(struct.unpack(form, answer)[place]) != fcntl.F_UNLCK


def sync_folder(folder: Path) -> None:
    """Make a folder's names durable, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
