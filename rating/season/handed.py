"""exports/log.csv: which file went to whom, when, and which reviews were in it.

Rows are only ever added, in one write at the end of the file, so two exports at once keep both. A person may
open the file in a spreadsheet program, which would save it over rows added meanwhile: while one holds it,
nothing is exported. What such a program made of it is read as far as it still says a file and its reviews.
"""

from __future__ import annotations

import csv
import errno
import hashlib
import io
import os
import re
from collections.abc import Iterable, Sequence
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from rating import text
from rating.errors import RatingError
from rating.ledger import backups
from rating.release.csv_file import to_text
from rating.review import stamp

FOLDER, NAME = "exports", "log.csv"
COLUMNS = ("at", "file", "sha256", "receiver", "head", "reviews")
RECEIVER_LIMIT = 200
_ALL = re.compile(r"all (\d{1,9})", re.ASCII)
# the files that spreadsheet programs lay beside one that is open: LibreOffice, Excel
_HOLDS = (".~lock.{}#", "~${}")


class Handed(NamedTuple):
    """A file that was handed out: when (UTC), where it lies, its hash, to whom ('' not said), what is in it.

    `head` is that of the ledger on that day, as the file prints it, `reviews` the ids of those that it shows;
    of the whole ledger what `all_of` gives.
    """

    at: str
    file: str
    sha256: str
    receiver: str
    head: str
    reviews: tuple[str, ...]


def path_of(season: Path) -> Path:
    """Where the log of a season stands."""
    return season / FOLDER / NAME


def receiver(name: str) -> str:
    """The name of somebody who gets a file, as it is kept.

    Raises
    ------
    RatingError
        if it is too long, or holds what cannot be seen
    """
    clean = text.tidy(name)
    if len(clean) > RECEIVER_LIMIT:
        raise RatingError(
            f"the name has {len(clean)} characters, at most {RECEIVER_LIMIT} are kept",
            where="--to",
            fix="say it shorter",
        )
    if mark := text.bad_marks(clean):
        raise RatingError(f"the name holds the invisible mark {mark}", where="--to", fix="type it again")
    return clean


def hold_ready(season: Path) -> None:
    """Refuse to export where the log could not be added to.

    Raises
    ------
    RatingError
        if a spreadsheet program holds it open, or it cannot be written
    """
    path = path_of(season)
    for form in _HOLDS:
        holder = path.with_name(form.format(NAME))
        if holder.exists():
            raise RatingError(
                "a spreadsheet program has it open, and would save over what is added now",
                where=f"{FOLDER}/{NAME}",
                fix=f"close it there and export again; if nobody has it open, delete {FOLDER}/{holder.name}",
            )
    if path.exists() and not (path.is_file() and os.access(path, os.W_OK)):
        raise _unwritable(PermissionError(errno.EACCES, "it is not a file, or it is write-protected"))


def log(
    season: Path, files: Iterable[Path], *, to: str, head: str, reviews: Sequence[str], now: datetime
) -> None:
    """Add a row for each file that was handed out.

    Raises
    ------
    RatingError
        if the log cannot be written; it then stays as it was
    """
    rows = [
        tuple(
            text.as_data(cell)
            for cell in (
                stamp(now),
                _shown(season, file),
                hashlib.sha256(file.read_bytes()).hexdigest(),
                to,
                head,
                " ".join(reviews),
            )
        )
        for file in files
    ]
    added = to_text(COLUMNS, rows)
    path = path_of(season)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _append(path, added.encode(), header=len(to_text(COLUMNS, []).encode()))
    except OSError as fault:
        raise _unwritable(fault) from fault


def _append(path: Path, content: bytes, *, header: int) -> None:
    """Add rows at the end in one write: with their header where the file is new, after a line end always."""
    handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND | getattr(os, "O_BINARY", 0), 0o644)
    with os.fdopen(handle, "rb+", buffering=0) as file:
        size = file.seek(0, os.SEEK_END)
        if size:
            content = content[header:]
            file.seek(size - 1)
            if file.read(1) != b"\n":  # a write that was cut off, or a program that ends no line
                content = b"\n" + content
        written = 0
        try:
            written = file.write(content)
            os.fsync(file.fileno())
        except BaseException:
            file.truncate(size)
            raise
        if written != len(content):
            file.truncate(size)
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def read(season: Path) -> tuple[list[Handed], int]:
    """What was handed out, the earliest first, and how many rows say no file with its reviews.

    Raises
    ------
    RatingError
        if the log cannot be read
    """
    path = path_of(season)
    try:
        told = path.read_bytes().decode("utf-8-sig", "replace")
    except FileNotFoundError:
        return [], 0
    except OSError as fault:
        raise RatingError(
            f"it cannot be read: {fault.strerror}", where=f"{FOLDER}/{NAME}", fix="check that you may read it"
        ) from fault
    first = told.partition("\n")[0]
    mark = max(",;\t", key=first.count)
    csv.field_size_limit(2**31 - 1)
    found, lost = [], 0
    for row in csv.DictReader(io.StringIO(told, newline=""), delimiter=mark, restval=""):
        cells = [_bare(str(row.get(name) or "")) for name in COLUMNS]
        at, file, sha256, to, head, reviews = cells
        if file and reviews:
            found.append(Handed(at, file, sha256, to, head, tuple(reviews.split())))
        else:
            lost += 1
    return found, lost


def all_of(number: int) -> tuple[str, ...]:
    """What the log has in the place of ids where all of so many reviews went out, the first of the ledger.

    A program that opens the log would cut off a cell of thousands of ids.
    """
    return ("all", f"{number}")


def of_review(handed: Iterable[Handed], review: str, *, place: int) -> list[Handed]:
    """The files that were handed out with a review in them, which has a place from 1 in the ledger.

    A backup that went to nobody was not.
    """
    return [
        one
        for one in handed
        if review in one.reviews or (_is_all(one, place) and not (_is_backup(one) and not one.receiver))
    ]


def _is_all(one: Handed, place: int) -> bool:
    match = _ALL.fullmatch(" ".join(one.reviews))
    return match is not None and place <= int(match[1])


def _is_backup(one: Handed) -> bool:
    return one.file.startswith(f"{backups.FOLDER}/")


def _bare(cell: str) -> str:
    """A cell without the apostrophe that keeps it from being a formula."""
    return cell[1:] if cell[:1] == "'" and text.as_data(cell[1:]) == cell else cell


def _shown(season: Path, file: Path) -> str:
    """A path as the log has it: inside of the season from there, else whole."""
    whole, root = file.resolve(), season.resolve()
    return (whole.relative_to(root) if whole.is_relative_to(root) else whole).as_posix()


def _unwritable(fault: OSError) -> RatingError:
    return RatingError(
        f"it cannot be added to: {fault.strerror}",
        where=f"{FOLDER}/{NAME}",
        fix="close it in other programs, make room, or check that you may write to it; then export again",
    )
