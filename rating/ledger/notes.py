"""Notes: what is said of a review after it was recorded, each a text of its own that alters no review.

A note is canonical JSON, its id the SHA-256 of that, as with a review. It names the review it is about, the
reviews that the ledger ended with, and the notes that it follows; a later review names the notes that the
ledger ended with. So a note that goes missing is told by what follows it, and the last one by ledger.head.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, fields
from typing import Any

from rating import review as reviews

FORMAT = 1
# from this version on a ledger keeps notes
SINCE = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """What was said of a review afterwards. `noted_at` is UTC; `heads` and `follows` are ids.

    `season_id` is that of the season, None where it has none.
    """

    review: str
    says: str
    noted_at: str
    heads: tuple[str, ...] = ()
    follows: tuple[str, ...] = ()
    season_id: str | None = None

    @property
    def id(self) -> str:
        """The SHA-256 of its canonical text."""
        return reviews.hash_of(text_of(self))


_NAMES = frozenset(field.name for field in fields(Note)) | {"format"}


def text_of(note: Note) -> str:
    """The canonical text of a note."""
    return reviews.canonical(
        asdict(note) | {"format": FORMAT, "heads": sorted(note.heads), "follows": sorted(note.follows)}
    )


def from_plain(plain: Mapping[str, Any]) -> Note:
    """The note that a parsed text holds, which `misfit` finds nothing wrong with."""
    told = {name: plain[name] for name in _NAMES - {"format", "heads", "follows"}}
    return Note(**told, heads=tuple(plain["heads"]), follows=tuple(plain["follows"]))


def misfit(plain: Any) -> str:
    """Why a parsed text cannot be a note, '' where it has all the parts of one and no others."""
    if not isinstance(plain, dict) or plain.keys() != _NAMES:
        return "it has other parts than a note"
    if plain["format"] != FORMAT or isinstance(plain["format"], bool):
        return f"a note has format {plain['format']}, this program reads format {FORMAT}"
    texts = [plain["review"], plain["says"], plain["noted_at"]]
    if plain["season_id"] is not None:
        texts.append(plain["season_id"])
    for name in ("heads", "follows"):
        if not isinstance(plain[name], list):
            return f"its {name} are not a list"
        texts += plain[name]
    return "" if all(isinstance(one, str) for one in texts) else "a part of it is not text"


def are_kept(db: sqlite3.Connection) -> bool:
    """Whether the ledger is of a version that keeps notes."""
    return bool(db.execute("PRAGMA user_version").fetchone()[0] >= SINCE)


def texts(db: sqlite3.Connection) -> list[tuple[str, str]]:
    """The id and the canonical text of every note, in the order they were added."""
    if not are_kept(db):
        return []
    return [(str(one), str(body)) for one, body in db.execute("SELECT id, body FROM note ORDER BY seq")]


def ends(db: sqlite3.Connection) -> tuple[int, tuple[str, ...]]:
    """How many notes a ledger holds, and the ids that no other note follows, sorted."""
    if not are_kept(db):
        return 0, ()
    number = db.execute("SELECT count(*) FROM note").fetchone()[0]
    if not number:
        return 0, ()
    rows = db.execute(
        """SELECT id FROM note WHERE id NOT IN
           (SELECT value FROM note, json_each(note.body, '$.follows')) ORDER BY id"""
    )
    return number, tuple(row[0] for row in rows)


def add(db: sqlite3.Connection, identity: str, body: str) -> None:
    """Add a note inside the caller's transaction; the review it is about must be there."""
    about = json.loads(body)["review"]
    db.execute("INSERT INTO note (id, review, body) VALUES (?, ?, ?)", (identity, about, body))


def add_lacking(db: sqlite3.Connection, given: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """Add those notes that a ledger lacks; gives their ids."""
    known = {identity for identity, _ in texts(db)}
    lacking = [one for one in given if one[0] not in known]
    for identity, body in lacking:
        add(db, identity, body)
    return tuple(identity for identity, _ in lacking)


def by_review(db: sqlite3.Connection) -> dict[str, tuple[Note, ...]]:
    """The notes about each review, by its id, the earliest first."""
    found: dict[str, list[Note]] = {}
    for _, body in texts(db):
        note = from_plain(json.loads(body))
        found.setdefault(note.review, []).append(note)
    return {
        review: tuple(sorted(told, key=lambda one: (one.noted_at, one.id))) for review, told in found.items()
    }
