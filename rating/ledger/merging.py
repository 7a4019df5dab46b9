"""One ledger of two copies that went on apart: the union of their reviews, by their ids.

The set of reviews, and with it the standings, do not hang on which copy takes in the other, nor on how often.
Each copy keeps its own order and adds what it lacked at its end, and keeps what the other ended with.
"""

from __future__ import annotations

import heapq
import json
import sqlite3
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from rating import review as reviews
from rating.ledger import notes
from rating.ledger.copies import copies, points_of
from rating.ledger.head import Head


class Stored(NamedTuple):
    """A review as a ledger keeps it: its id and its canonical text."""

    id: str
    body: str


@dataclass(frozen=True, slots=True)
class Content:
    """All that a ledger keeps but its merges: texts by their hashes, reviews and notes in their order."""

    rubrics: dict[str, str]
    facts: dict[str, str]
    reviews: tuple[Stored, ...]
    notes: tuple[Stored, ...] = ()


@dataclass(frozen=True, slots=True)
class Fork:
    """Reviews of one release that nothing supersedes: two copies each recorded one."""

    release: str
    ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Merged:
    """What a merge added, what the ledger ends with, and where the two copies say different things.

    `added` are the ids of reviews, `notes` those of notes.
    """

    added: tuple[str, ...]
    head: Head
    forks: tuple[Fork, ...]
    notes: tuple[str, ...] = ()


def content_of(db: sqlite3.Connection) -> Content:
    """All of a ledger's texts."""
    return Content(
        rubrics=dict(db.execute("SELECT hash, body FROM rubric ORDER BY hash")),
        facts=dict(db.execute("SELECT hash, body FROM facts ORDER BY hash")),
        reviews=tuple(Stored(*row) for row in db.execute("SELECT id, body FROM review ORDER BY seq")),
        notes=tuple(Stored(*one) for one in notes.texts(db)),
    )


def take_in(db: sqlite3.Connection, other: Content) -> Merged:
    """Add the reviews and notes that a ledger lacks, inside the caller's transaction."""
    known = {row[0] for row in db.execute("SELECT id FROM review")}
    lacking = [one for one in other.reviews if one.id not in known]
    for one in lacking:
        _add(db, one, other)
    noted = notes.add_lacking(db, other.notes)
    seq = db.execute("SELECT max(seq) FROM review").fetchone()[0] or 0
    heads = heads_of(json.loads(row[0]) for row in db.execute("SELECT body FROM review"))
    if lacking and (known or not _is_chain(other)):
        others = heads_of(json.loads(one.body) for one in other.reviews)
        db.execute("INSERT INTO merged VALUES (?, ?, ?)", (seq, json.dumps(heads), json.dumps(others)))
    ends = Head(seq, heads, *notes.ends(db))
    return Merged(tuple(one.id for one in lacking), ends, forks(db), noted)


def _is_chain(content: Content) -> bool:
    """Whether each review follows the one before it, as in a ledger that was never merged."""
    befores = ["", *(one.id for one in content.reviews)]
    return all(
        json.loads(one.body)["heads"] == ([before] if before else [])
        for one, before in zip(content.reviews, befores, strict=False)
    )


def _add(db: sqlite3.Connection, one: Stored, other: Content) -> None:
    plain = json.loads(one.body)
    rubric = other.rubrics[plain["rubric"]]
    insert_texts(db, (plain["rubric"], rubric), (plain["facts"], other.facts[plain["facts"]]))
    seq = db.execute("INSERT INTO review (id, body) VALUES (?, ?)", one).lastrowid
    insert_copies(db, int(seq or 0), plain, rubric)


def insert_texts(db: sqlite3.Connection, rubric: tuple[str, str], facts: tuple[str, str]) -> None:
    """Add the texts that a review names, each by its hash, where they are not there yet."""
    # asked first: nearly every review is of a rubric that is there
    if db.execute("SELECT hash, body FROM rubric WHERE hash = ?", rubric[:1]).fetchone() != rubric:
        db.execute("INSERT OR IGNORE INTO rubric VALUES (?, ?)", rubric)
    db.execute("INSERT OR IGNORE INTO facts VALUES (?, ?)", facts)


def insert_copies(db: sqlite3.Connection, seq: int, plain: dict[str, object], rubric: str) -> None:
    """Add the copied values of a review that was added under a number."""
    entry, scores, superseded = copies(seq, plain, points_of(rubric))
    db.execute(f"INSERT INTO entry VALUES ({', '.join('?' * len(entry))})", entry)
    db.executemany("INSERT INTO score VALUES (?, ?, ?, ?, ?, ?)", scores)
    db.executemany("INSERT INTO superseded VALUES (?, ?)", superseded)


def heads_of(plain: Iterable[dict[str, object]]) -> tuple[str, ...]:
    """The ids that no review of some follows, sorted; each review in plain form."""
    ids: set[str] = set()
    followed: set[str] = set()
    for one in plain:
        ids.add(reviews.hash_of(reviews.canonical(one)))
        followed.update(one["heads"])  # type: ignore[arg-type]  # a list of ids, as `misfit` holds it to
    return tuple(sorted(ids - followed))


def last_heads(db: sqlite3.Connection) -> tuple[int, tuple[str, ...]]:
    """How many reviews a ledger holds, and what the next one follows."""
    row = db.execute("SELECT seq, id FROM review ORDER BY seq DESC LIMIT 1").fetchone()
    if row is None:
        return 0, ()
    joined = None
    if db.execute("PRAGMA user_version").fetchone()[0] > 1:
        joined = db.execute("SELECT heads FROM merged WHERE review = ?", (row[0],)).fetchone()
    return row[0], (row[1],) if joined is None else tuple(json.loads(joined[0]))


def is_merged(db: sqlite3.Connection) -> bool:
    """Whether reviews of another copy were ever added."""
    if db.execute("PRAGMA user_version").fetchone()[0] < 2:
        return False
    return db.execute("SELECT 1 FROM merged LIMIT 1").fetchone() is not None


def forks(db: sqlite3.Connection) -> tuple[Fork, ...]:
    """The releases of which more than one review is superseded by none."""
    rows = db.execute(
        """SELECT release, id FROM entry JOIN review ON review.seq = entry.review
           WHERE NOT EXISTS (SELECT 1 FROM superseded WHERE superseded = id) ORDER BY release, id"""
    )
    open_ones: dict[str, list[str]] = {}
    for release, identity in rows:
        open_ones.setdefault(release, []).append(identity)
    return tuple(Fork(release, tuple(ids)) for release, ids in open_ones.items() if len(ids) > 1)


def in_order(times: Mapping[str, str], follows: Mapping[str, Sequence[str]]) -> list[str]:
    """Ids in an order that hangs on the set alone: each after all that it follows, else by time and id.

    Where each follows the one before, as in a ledger that was never merged, they stay as they were added.

    Parameters
    ----------
    times : when each review was recorded, by its id
    follows : the heads that each names
    """
    after: dict[str, list[str]] = {}
    for identity, heads in follows.items():
        for head in heads:
            after.setdefault(head, []).append(identity)
    waits = {identity: len(follows[identity]) for identity in times}
    ready = [(time, identity) for identity, time in times.items() if not waits[identity]]
    heapq.heapify(ready)
    found = []
    while ready:
        _, identity = heapq.heappop(ready)
        found.append(identity)
        for later in after.get(identity, ()):
            waits[later] -= 1
            if not waits[later]:
                heapq.heappush(ready, (times[later], later))
    return found
