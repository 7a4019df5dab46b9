"""ledger.head: how many reviews a ledger held, and which it ended with, kept outside of the database.

One line: how many, their ids parted by commas, the same of notes where there are any, and the first 16
letters of the SHA-256 of that. It is
written after each commit and swapped in without a sync of its own, so it may lag behind the ledger, never run
ahead of it: a head that the ledger does not hold tells that the ledger is an older or another one.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import sqlite3
from pathlib import Path
from typing import NamedTuple

from rating.errors import RatingError
from rating.ledger import notes

_IDS = r"(\d{1,12}) ([0-9a-f]{64}(?:,[0-9a-f]{64})*)"
_LINE = re.compile(rf"({_IDS}(?: {_IDS})?) ([0-9a-f]{{16}})\n", re.ASCII)
_LIMIT = 100_000


class Head(NamedTuple):
    """How many reviews a ledger holds, the ids that none of them follows, and the same of its notes."""

    reviews: int
    ids: tuple[str, ...]
    notes: int = 0
    note_ids: tuple[str, ...] = ()

    @property
    def line(self) -> str:
        """The line as it is written."""
        said = f"{self.reviews} {','.join(self.ids)}"
        if self.notes:
            said += f" {self.notes} {','.join(self.note_ids)}"
        return f"{said} {_check(said)}\n"


def beside(ledger: Path) -> Path:
    """Where the head of a ledger stands."""
    return ledger.with_suffix(".head")


def read(ledger: Path) -> Head | None:
    """The head beside a ledger, None where there is none.

    Raises
    ------
    RatingError
        if the file is no head any more
    """
    path = beside(ledger)
    try:
        with path.open("rb") as file:
            content = file.read(_LIMIT)
    except FileNotFoundError:
        return None
    except OSError as fault:
        raise _damaged(path, fault.strerror or str(fault)) from fault
    match = _LINE.fullmatch(content.decode("ascii", "replace"))
    if match is None or match[6] != _check(match[1]):
        raise _damaged(path, "its line does not add up")
    told = Head(reviews=int(match[2]), ids=tuple(match[3].split(",")))
    return (
        told if match[4] is None else told._replace(notes=int(match[4]), note_ids=tuple(match[5].split(",")))
    )


def write(ledger: Path, head: Head) -> None:
    """Swap a head in, in one step and without a sync.

    Raises
    ------
    OSError
        if the disk refuses
    """
    path = beside(ledger)
    fresh = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        with fresh.open("wb", buffering=0) as file:
            file.write(head.line.encode("ascii"))
        fresh.replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            fresh.unlink(missing_ok=True)
        raise


def is_held(db: sqlite3.Connection | None, told: Head) -> bool:
    """Whether a ledger has every review and note that a head names, and no fewer than it counts."""
    if db is None:
        return False
    if told.notes and not notes.are_kept(db):
        return False
    kinds = [("review", told.reviews, told.ids)]
    if told.notes:
        kinds.append(("note", told.notes, told.note_ids))
    for table, number, ids in kinds:
        rows = [db.execute(f"SELECT seq FROM {table} WHERE id = ?", (one,)).fetchone() for one in ids]
        if None in rows:
            return False
        # in a ledger that was never merged the last one has the number itself
        if max(rows)[0] < number > db.execute(f"SELECT max(seq) FROM {table}").fetchone()[0]:
            return False
    return True


def _check(said: str) -> str:
    return hashlib.sha256(said.encode("ascii")).hexdigest()[:16]


def _damaged(path: Path, why: str) -> RatingError:
    return RatingError(
        f"{path.name} is damaged: {why}",
        where=path.name,
        fix="delete it once 'boxwright ledger verify' finds nothing else; the next review writes a new one",
    )


def lost(ledger: Path, told: Head, *, is_there: bool) -> RatingError:
    """What to say where a head names reviews that the ledger does not hold."""
    path = beside(ledger)
    ends = f"{path.name} says there were {told.reviews}, ending with {told.ids[-1][:12]}"
    if told.notes:
        ends += f", and {told.notes} notes, ending with {told.note_ids[-1][:12]}"
    what = (
        f"reviews are missing from {ledger.name}: {ends}"
        if is_there
        else f"there is no {ledger.name} any more, or it is blank: {ends}"
    )
    return RatingError(
        what,
        where=ledger.name,
        fix=(
            f"'boxwright ledger restore FILE' puts a backup or a {ledger.stem}.aside file in its place, "
            "'boxwright ledger merge FILE' adds what it lacks; nothing is recorded until then. If they are "
            f"gone for good, delete {path.name}"
        ),
    )
