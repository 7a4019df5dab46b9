"""Opening, appending to, reading and verifying the ledger."""

from __future__ import annotations

import dataclasses
import json
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from rating import review as reviews
from rating.errors import Problem, RatingError
from rating.ledger import schema
from rating.review import Review

BUSY_WAIT_MS = 5000
_HEADER = b"SQLite format 3\0"


class Entry(NamedTuple):
    """The copied values of one review, enough to rank it. Grades and points are tenths, dates ISO text."""

    seq: int
    release: str
    title: str
    released_on: str
    price_class: str
    log_price: str
    product_format: str
    stage: str
    published_on: str
    recorded_at: str
    rubric: str
    facts: str
    grade: int | None
    lowest: int | None
    highest: int | None
    unknown_points: int
    applying_points: int
    withdrawn: int
    id: str


# the columns of the table `entry`; the id stands in `review`
_COLUMN_NAMES = {"seq": "review", "price_class": "class"}
_ENTRY_COLUMNS = tuple(_COLUMN_NAMES.get(name, name) for name in Entry._fields if name != "id")


class ScoreEntry(NamedTuple):
    """The copied value of one score; `score` None is unknown. Criteria that do not apply have none."""

    seq: int
    criterion: str
    score: int | None
    basis: str
    spread: int
    points: int


@dataclass(frozen=True, slots=True)
class Ledger:
    """A ledger file. Each call opens it, does one thing and closes it, so that at rest it is one file."""

    path: Path

    @property
    def exists(self) -> bool:
        """Whether there is a ledger yet."""
        return self.path.exists()

    @property
    def _journal(self) -> Path:
        return self.path.with_name(f"{self.path.name}-journal")

    def append(self, review: Review, *, rubric: str, facts: str) -> Review:
        """Add a review; gives it back with the heads and superseded ids that it was stored with.

        `rubric` and `facts` are the canonical texts whose hashes the review names. A review supersedes the
        current one of its release. All or nothing: whatever fails, the ledger is as it was.

        Raises
        ------
        RatingError
            if the ledger is locked, foreign, newer, cut short, read-only or the disk is full
        ValueError
            if a text does not have the hash that the review names
        """
        for text, named in ((rubric, review.rubric), (facts, review.facts)):
            if reviews.hash_of(text) != named:
                raise ValueError(f"the text does not have the hash {named}")
        points = {one["key"]: one["points"] for one in json.loads(rubric)["criteria"]}
        with self._writing() as db:
            stored = dataclasses.replace(
                review, heads=_heads(db), supersedes=_current_ids(db, review.release)
            )
            db.execute("INSERT OR IGNORE INTO rubric VALUES (?, ?)", (review.rubric, rubric))
            db.execute("INSERT OR IGNORE INTO facts VALUES (?, ?)", (review.facts, facts))
            text = reviews.text_of(stored)
            cursor = db.execute("INSERT INTO review (id, body) VALUES (?, ?)", (reviews.hash_of(text), text))
            seq = cursor.lastrowid
            if seq is None:
                raise ValueError("the database gave no number to a new review")
            entry, scores, superseded = _copies(seq, stored, points)
            db.execute(f"INSERT INTO entry VALUES ({_marks(len(entry))})", entry)
            db.executemany("INSERT INTO score VALUES (?, ?, ?, ?, ?, ?)", scores)
            db.executemany("INSERT INTO superseded VALUES (?, ?)", superseded)
        return stored

    def entries(self) -> list[Entry]:
        """The copied values of all reviews, in the order they were added; empty where there is no ledger."""
        if not self.exists:
            return []
        names = ", ".join(f"entry.{name}" for name in _ENTRY_COLUMNS)
        with self._reading() as db:
            rows = db.execute(f"SELECT {names}, id FROM entry JOIN review ON seq = review ORDER BY seq")
            return [Entry._make(row) for row in rows]

    def scores(self, seqs: Sequence[int]) -> dict[int, list[ScoreEntry]]:
        """The copied scores of some reviews by their numbers."""
        by_review: dict[int, list[ScoreEntry]] = {seq: [] for seq in seqs}
        if not by_review:
            return by_review
        with self._reading() as db:
            for seq in seqs:
                rows = db.execute("SELECT * FROM score WHERE review = ? ORDER BY criterion", (seq,))
                by_review[seq] = [ScoreEntry._make(row) for row in rows]
        return by_review

    def review(self, identity: str) -> Review:
        """The review with an id."""
        with self._reading() as db:
            row = db.execute("SELECT body FROM review WHERE id = ?", (identity,)).fetchone()
        if row is None:
            raise RatingError(f"the ledger holds no review {identity[:12]}", where=self.path.name)
        return reviews.from_text(row[0])

    def rubric(self, identity: str) -> str:
        """The canonical text of a rubric that some review was graded by."""
        return self._text("rubric", identity)

    def facts(self, identity: str) -> str:
        """The canonical text of the facts that some review used."""
        return self._text("facts", identity)

    def _text(self, table: str, identity: str) -> str:
        with self._reading() as db:
            row = db.execute(f"SELECT body FROM {table} WHERE hash = ?", (identity,)).fetchone()
        if row is None:
            raise RatingError(f"the ledger holds no {table} {identity[:12]}", where=self.path.name)
        return str(row[0])

    def verify(self) -> list[Problem]:
        """What is wrong with the ledger: damaged pages, altered texts, copies that differ, broken chains."""
        if not self.exists:
            raise RatingError(
                "there is no ledger yet",
                where=self.path.name,
                fix="run 'boxwright grade RELEASE --record' first, or pass --season with another folder",
            )
        with self._reading() as db:
            faults = [
                (0, f"the database is damaged: {row[0]}") for row in db.execute("PRAGMA integrity_check")
            ]
            faults = [fault for fault in faults if not fault[1].endswith(": ok")]
            faults += [
                (0, f"a reference leads nowhere in {row[0]}")
                for row in db.execute("PRAGMA foreign_key_check")
            ]
            faults += _check_triggers(db)
            for table in ("rubric", "facts"):
                rows = db.execute(f"SELECT hash, body FROM {table}")
                faults += [
                    (0, f"the {table} {name[:12]} does not have its hash")
                    for name, body in rows
                    if reviews.hash_of(body) != name
                ]
            faults += _check_reviews(db)
        fix = "restore ledger.db from a copy; what was altered cannot be told from it alone"
        return [
            Problem(code="ledger-altered", file=self.path.name, row=seq or None, what=what, fix=fix)
            for seq, what in faults
        ]

    @contextmanager
    def _reading(self) -> Iterator[sqlite3.Connection]:
        if not self.exists:
            raise RatingError(
                "there is no ledger yet",
                where=self.path.name,
                fix="run 'boxwright grade RELEASE --record' first, or pass --season with another folder",
            )
        with self._open() as db:
            yield db

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        """A connection inside one transaction, on a ledger that is laid out."""
        is_new = not self.exists
        try:
            with self._open(new=True) as db:
                db.execute("BEGIN IMMEDIATE")
                try:
                    if db.execute("PRAGMA user_version").fetchone()[0] == 0:
                        schema.create(db)
                    yield db
                    db.execute("COMMIT")
                except BaseException:
                    if db.in_transaction:
                        db.execute("ROLLBACK")
                    raise
        except BaseException:
            if is_new and self.path.exists() and self.path.stat().st_size == 0:
                self.path.unlink()  # a first review that failed leaves no empty ledger behind
            raise

    @contextmanager
    def _open(self, *, new: bool = False) -> Iterator[sqlite3.Connection]:
        db = None
        try:
            self._look_at_file()
            mode = "rwc" if new else "rw"
            db = sqlite3.connect(
                f"{self.path.absolute().as_uri()}?mode={mode}",
                uri=True,
                timeout=BUSY_WAIT_MS / 1000,
                isolation_level=None,
            )
            db.execute("PRAGMA foreign_keys = ON")
            db.execute("PRAGMA synchronous = FULL")
            if db.execute("PRAGMA journal_mode = DELETE").fetchone()[0] != "delete":
                raise sqlite3.OperationalError("the journal cannot be set")
            self._look_at_marks(db)
            yield db
        except sqlite3.Error as fault:
            raise self._told(fault) from fault
        except OSError as fault:
            raise RatingError(
                f"the ledger cannot be opened: {fault.strerror}",
                where=str(self.path),
                fix="see to its rights",
            ) from fault
        finally:
            if db is not None:
                db.close()

    def _look_at_file(self) -> None:
        """Refuse what is no database before SQLite touches it."""
        if not self.path.exists():
            return
        if not self.path.is_file():
            raise RatingError("the ledger is no file", where=str(self.path), fix="move it out of the way")
        with self.path.open("rb") as file:
            head = file.read(100)
        if head and not head.startswith(_HEADER):
            raise self._foreign()
        # beside a journal the file is as an interrupted write left it: SQLite rolls it back when it opens it
        if len(head) == 100 and not self._journal.exists():
            page = int.from_bytes(head[16:18]) or 0
            page = 65536 if page == 1 else page
            pages = int.from_bytes(head[28:32])
            if page * pages > self.path.stat().st_size:
                raise RatingError(
                    "the ledger was cut short",
                    where=self.path.name,
                    fix="restore it from a copy; if it lies in a synced folder, let the sync end first",
                )

    def _look_at_marks(self, db: sqlite3.Connection) -> None:
        application = db.execute("PRAGMA application_id").fetchone()[0]
        version = db.execute("PRAGMA user_version").fetchone()[0]
        is_blank = not db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
        if is_blank and not application and not version:
            return
        if application != schema.APPLICATION_ID:
            raise self._foreign()
        if version > schema.VERSION:
            raise RatingError(
                f"the ledger has version {version}, this program reads version {schema.VERSION}",
                where=self.path.name,
                fix="install a newer version of boxwright",
            )

    def _foreign(self) -> RatingError:
        return RatingError(
            "this file is no ledger of boxwright",
            where=self.path.name,
            fix="move it out of the season folder, or restore the right one",
        )

    def _told(self, fault: sqlite3.Error) -> RatingError:
        message = str(fault)
        if "locked" in message or "busy" in message:
            what, fix = "the ledger is in use by another program", "close it there and try again"
        elif "full" in message or "disk I/O" in message:
            what, fix = "the disk is full or failing; nothing was recorded", "make room and try again"
        elif "readonly" in message or "unable to open" in message:
            what, fix = "the ledger cannot be written", "see to the rights of the season folder"
        elif "not a database" in message:
            return self._foreign()
        elif "malformed" in message:
            what, fix = "the ledger is damaged", "restore it from a copy"
        else:
            what, fix = f"the ledger cannot be used: {message}", "run 'boxwright ledger verify'"
        return RatingError(what, where=self.path.name, fix=fix)


def _heads(db: sqlite3.Connection) -> tuple[str, ...]:
    """The ids that the ledger ends with: its last review, none in a new ledger."""
    row = db.execute("SELECT id FROM review ORDER BY seq DESC LIMIT 1").fetchone()
    return () if row is None else (row[0],)


def _current_ids(db: sqlite3.Connection, release: str) -> tuple[str, ...]:
    """The reviews of a release that nothing supersedes yet."""
    rows = db.execute(
        """SELECT id FROM entry JOIN review ON review.seq = entry.review
           WHERE release = ? AND NOT EXISTS (SELECT 1 FROM superseded WHERE superseded = id) ORDER BY id""",
        (release,),
    )
    return tuple(row[0] for row in rows)


def _copies(
    seq: int, review: Review, points: dict[str, int]
) -> tuple[tuple[object, ...], list[tuple[object, ...]], list[tuple[object, ...]]]:
    """The rows of entry, score and superseded that say again what a review's text says."""
    unknown = sum(points.get(one.criterion, 0) for one in review.unknown)
    applying = unknown + sum(points.get(one.criterion, 0) for one in review.scores)
    entry = (
        seq,
        review.release,
        review.title,
        review.released_on,
        review.price_class,
        review.log_price,
        review.product_format,
        review.stage,
        review.published_on,
        review.recorded_at,
        review.rubric,
        review.facts,
        review.grade,
        review.lowest,
        review.highest,
        unknown,
        applying,
        int(review.withdrawn),
    )
    scores: list[tuple[object, ...]] = [
        (seq, one.criterion, one.score, one.basis, one.spread, points.get(one.criterion, 0))
        for one in review.scores
    ]
    scores += [(seq, one.criterion, None, "", 0, points.get(one.criterion, 0)) for one in review.unknown]
    return entry, sorted(scores, key=str), [(seq, one) for one in sorted(review.supersedes)]


def _marks(number: int) -> str:
    return ", ".join("?" * number)


def _check_triggers(db: sqlite3.Connection) -> list[tuple[int, str]]:
    there = dict(db.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"))
    wanted = schema.guards()
    faults = [(0, f"the guard {name} was removed") for name in wanted if name not in there]
    faults += [
        (0, f"the guard {name} was altered")
        for name in wanted
        if there.get(name, wanted[name]) != wanted[name]
    ]
    return faults + [(0, f"the trigger {name} does not belong here") for name in there if name not in wanted]


def _check_reviews(db: sqlite3.Connection) -> list[tuple[int, str]]:
    faults: list[tuple[int, str]] = []
    points = {name: _points(body) for name, body in db.execute("SELECT hash, body FROM rubric")}
    seen: set[str] = set()
    before = ""
    last = 0
    for seq, identity, body in db.execute("SELECT seq, id, body FROM review ORDER BY seq").fetchall():
        if seq != last + 1:
            faults.append((seq, f"reviews {last + 1} to {seq - 1} are missing"))
        last = seq
        if reviews.hash_of(body) != identity:
            faults.append((seq, f"the review {identity[:12]} was altered"))
        try:
            review = reviews.from_text(body)
            is_canonical = reviews.text_of(review) == body
            wrong = _check_copies(db, seq, review, points.get(review.rubric, {}))
        except RatingError as fault:
            faults.append((seq, fault.what))
            continue
        except (TypeError, ValueError, AttributeError, sqlite3.InterfaceError) as fault:
            faults.append((seq, f"the review {identity[:12]} holds what no review holds: {fault}"))
            continue
        if not is_canonical:
            faults.append((seq, f"the review {identity[:12]} is not in its canonical form"))
        if any(head not in seen for head in (*review.heads, *review.supersedes)):
            faults.append((seq, f"the review {identity[:12]} follows one that is not there"))
        elif seen and review.heads != (before,):
            faults.append((seq, f"the review {identity[:12]} does not follow the one before it"))
        seen.add(identity)
        before = identity
        faults += [
            (seq, f"the copied {what} of the review {identity[:12]} differ from its text") for what in wrong
        ]
    entries = db.execute("SELECT count(*) FROM entry").fetchone()[0]
    if entries != len(seen):
        faults.append((0, f"there are {len(seen)} reviews but {entries} copies"))
    return faults


def _points(body: str) -> dict[str, int]:
    """The points of each criterion in a rubric's text, none where it is no rubric: hash or copies tell."""
    try:
        return {str(one["key"]): int(one["points"]) for one in json.loads(body)["criteria"]}
    except (KeyError, TypeError, ValueError, RecursionError):
        return {}


def _check_copies(db: sqlite3.Connection, seq: int, review: Review, points: dict[str, int]) -> list[str]:
    entry, scores, superseded = _copies(seq, review, points)
    names = ", ".join(_ENTRY_COLUMNS)
    stored = db.execute(f"SELECT {names} FROM entry WHERE review = ?", (seq,)).fetchall()
    differing = [] if stored == [entry] else ["values"]
    stored = db.execute("SELECT * FROM score WHERE review = ?", (seq,)).fetchall()
    if sorted(stored, key=str) != scores:
        differing.append("scores")
    stored = db.execute("SELECT * FROM superseded WHERE review = ? ORDER BY superseded", (seq,)).fetchall()
    if stored != superseded:
        differing.append("links")
    return differing
