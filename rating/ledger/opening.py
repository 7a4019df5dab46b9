"""Opening a ledger's file: what lies in its place, whom to wait for, and one transaction on it."""

from __future__ import annotations

import contextlib
import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from rating.errors import RatingError
from rating.ledger import backups, faults, journal, schema

BUSY_WAIT_MS = 30_000
SAID_AFTER_MS = 2_000
_MAGIC = b"SQLite format 3\0"
_HEADER = 100
_CHUNK = 1 << 20
# of a new ledger: a text too long for a page has pages of its own, and half of the last is lost on average
_PAGE = 1024
# closing any handle of a file lets go of all locks that this process holds on it, so one thread at a time
_ONE_AT_A_TIME = threading.RLock()

Say = Callable[[str], None]


@contextmanager
def reading(path: Path, *, season_id: str, say: Say) -> Iterator[sqlite3.Connection]:
    """A connection inside one reading transaction: every answer is of the same moment.

    Raises
    ------
    RatingError
        NoLedger where nothing was recorded yet, InUse where another program holds it, else what is wrong
    """
    with _connected(path, mode="rw", say=say) as db:
        db.execute("BEGIN")
        if is_blank(db, path, say):
            raise faults.no_ledger(path)
        look_at_marks(db, path, season_id)
        yield db


@contextmanager
def writing(path: Path, *, season_id: str, say: Say) -> Iterator[sqlite3.Connection]:
    """A connection inside one writing transaction on a ledger that is laid out; committed at the end.

    Raises
    ------
    RatingError
        as `reading`; whatever fails, the ledger is as it was
    """
    _clear_blank(path)
    is_new = not path.exists()
    try:
        with _connected(path, mode="rwc", say=say) as db:
            patiently(db, "BEGIN IMMEDIATE", path, say)
            if is_blank(db, path, say):
                schema.create(db)
            version = look_at_marks(db, path, season_id)
            if version < schema.VERSION:
                kept = backups.before_upgrade(path, version)
                schema.upgrade(db, version)
                say(f"{path.name} is brought up to version {schema.VERSION}; as it was, it is {kept.name}")
            yield db
            patiently(db, "COMMIT", path, say)
    except BaseException:
        if is_new:
            _clear_away(path)
        raise
    if is_new:
        journal.sync_folder(path.parent)


@contextmanager
def _connected(path: Path, *, mode: str, say: Say) -> Iterator[sqlite3.Connection]:
    """A connection that ends with whatever was not committed undone."""
    db = None
    with _ONE_AT_A_TIME:
        try:
            if mode == "rw" and not holds_something(path):
                raise faults.no_ledger(path)
            look_at_file(path)
            _keep_aside(path, say)
            db = sqlite3.connect(
                f"{path.absolute().as_uri()}?mode={mode}",
                uri=True,
                timeout=min(SAID_AFTER_MS, BUSY_WAIT_MS) / 1000,
                isolation_level=None,
            )
            db.execute(f"PRAGMA page_size = {_PAGE}")  # only a ledger that is not laid out yet heeds it
            db.execute("PRAGMA trusted_schema = OFF")
            db.execute("PRAGMA foreign_keys = ON")
            db.execute("PRAGMA synchronous = EXTRA")
            if patiently(db, "PRAGMA journal_mode = DELETE", path, say).fetchone()[0] != "delete":
                raise faults.in_use(path)
            yield db
        except sqlite3.Error as fault:
            raise faults.of_database(fault, path) from fault
        except OSError as fault:
            raise faults.of_disk(fault, path) from fault
        except UnicodeDecodeError as fault:  # SQLite quotes a damaged schema in its message
            raise faults.damaged(path, "its tables cannot be read") from fault
        finally:
            if db is not None:
                _close(db)


def _close(db: sqlite3.Connection) -> None:
    with contextlib.suppress(sqlite3.Error):  # the disk may fail again; the journal then stays, as it should
        if db.in_transaction:
            db.execute("ROLLBACK")
    db.close()


def patiently(db: sqlite3.Connection, statement: str, path: Path, say: Say) -> sqlite3.Cursor:
    """Run a statement that may have to wait for another program, and say so when it takes a while."""
    try:
        return db.execute(statement)
    except sqlite3.OperationalError as fault:
        if not faults.is_busy(fault) or BUSY_WAIT_MS <= SAID_AFTER_MS:
            raise
    left = BUSY_WAIT_MS - SAID_AFTER_MS
    say(f"{path.name} is in use by another program; waiting up to {left // 1000} seconds more for it")
    db.execute(f"PRAGMA busy_timeout = {left}")
    return db.execute(statement)


def is_blank(db: sqlite3.Connection, path: Path, say: Say) -> bool:
    """Whether a database holds nothing at all, as a first write that was interrupted leaves it."""
    return not patiently(db, "SELECT count(*) FROM sqlite_master", path, say).fetchone()[0]


def holds_something(path: Path) -> bool:
    """Whether there is a file with more in it than nothing, or than nothing but zeros."""
    if not path.is_file():
        return path.exists()
    if path.stat().st_size == 0:
        return journal.is_hot(path)
    with path.open("rb") as file:  # nearly always the first bytes tell
        return any(file.read(_HEADER)) or any(any(chunk) for chunk in iter(lambda: file.read(_CHUNK), b""))


def _clear_blank(path: Path) -> None:
    """Make a file of zeros, which a power cut can leave in the place of a first write, an empty one."""
    try:
        with _ONE_AT_A_TIME:
            if path.is_file() and path.stat().st_size and not holds_something(path):
                with journal.kept_out(path) as is_alone:
                    if is_alone and not holds_something(path):
                        path.write_bytes(b"")
    except OSError as fault:
        raise faults.of_disk(fault, path) from fault


def _clear_away(path: Path) -> None:
    """Leave no empty ledger behind where a first review failed."""
    with contextlib.suppress(OSError):
        if path.stat().st_size == 0 and not journal.beside(path).exists():
            path.unlink()


def _keep_aside(path: Path, say: Say) -> None:
    kept = journal.keep_aside(path)
    if kept is not None:
        whole, aside = kept
        say(
            f"An interrupted write lay beside {path.name}. Before it is undone, both were copied to "
            f"{whole.name} and {aside.name}; 'boxwright ledger verify' says whether a review is missing."
        )


def look_at_file(path: Path) -> None:
    """Refuse what is no database, or was cut short, before SQLite touches it.

    Raises
    ------
    RatingError
        if it is something else
    """
    if not path.exists():
        return
    if not path.is_file():
        raise RatingError("the ledger is not a file", where=str(path), fix="move it out of the way")
    with path.open("rb") as file:
        head = file.read(_HEADER)
    if not head or (not any(head) and not holds_something(path)):
        return
    wrong = None
    if not head.startswith(_MAGIC):
        wrong = faults.foreign(path)
    elif len(head) == _HEADER:
        page = int.from_bytes(head[16:18])
        page = 65536 if page == 1 else page
        if page * int.from_bytes(head[28:32]) > path.stat().st_size:
            wrong = RatingError(
                "the ledger was cut short",
                where=path.name,
                fix="restore it from a copy; if it lies in a synced folder, let the sync end first",
            )
    # beside a journal the file is as an interrupted write left it: SQLite rolls it back when it opens it
    if wrong is not None and not journal.is_hot(path):
        raise wrong


def look_at_marks(db: sqlite3.Connection, path: Path, season_id: str) -> int:
    """Refuse a database of another program, of a newer version, or of another season; gives its version.

    Raises
    ------
    RatingError
        if it is one
    """
    application = db.execute("PRAGMA application_id").fetchone()[0]
    version = db.execute("PRAGMA user_version").fetchone()[0]
    if application != schema.APPLICATION_ID:
        raise faults.foreign(path)
    if version > schema.VERSION:
        raise RatingError(
            f"the ledger has version {version}, this program reads version {schema.VERSION}",
            where=path.name,
            fix="install a newer version of boxwright",
        )
    if version < 1:
        raise faults.damaged(path, f"it says it has version {version}, and there is none")
    row = db.execute(
        """SELECT CASE WHEN json_valid(body) THEN json_extract(body, '$.season_id') END
           FROM review ORDER BY seq DESC LIMIT 1"""
    ).fetchone()
    if row is not None and row[0] is not None and row[0] != season_id:
        raise other_season(path, str(row[0]), season_id)
    return int(version)


def other_season(path: Path, found: str, season_id: str) -> RatingError:
    """The ledger belongs to another season."""
    if season_id:
        return RatingError(
            "this ledger belongs to another season",
            where=path.name,
            fix="put this season's own ledger.db back, or name the right folder with --season",
        )
    return RatingError(
        "season.toml has no season_id, and its ledger does",
        where="season.toml",
        fix=f'add the line season_id = "{found}" if this is the ledger\'s own season',
    )
