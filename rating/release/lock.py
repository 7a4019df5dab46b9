"""One writer at a time for the files of a folder: a lock that the system takes back when its holder ends."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rating.errors import RatingError


@contextmanager
def held(folder: Path, *, what: str) -> Iterator[None]:
    """Hold the folder's lock; what is being done is said where somebody else holds it.

    Raises
    ------
    RatingError
        if another process holds it, or the folder cannot be opened
    """
    try:
        handle = _opened(folder)
    except OSError as fault:
        raise RatingError(
            f"the folder cannot be opened: {fault.strerror}",
            where=str(folder),
            fix="check that you may open it; nothing was changed",
        ) from fault
    try:
        if not _taken(handle):
            raise RatingError(
                f"another {what} is under way here",
                where=str(folder),
                fix="wait until it has ended, then try again",
            )
        yield
    finally:
        os.close(handle)


if sys.platform == "win32":
    import msvcrt

    def _opened(folder: Path) -> int:
        return os.open(folder / ".lock", os.O_RDWR | os.O_CREAT, 0o644)

    def _taken(handle: int) -> bool:
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _opened(folder: Path) -> int:
        return os.open(folder, os.O_RDONLY)

    def _taken(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True
