"""Appending to, reading and verifying the ledger."""

from __future__ import annotations

import dataclasses
import json
import sqlite3
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from rating import review as reviews
from rating.errors import Problem, RatingError, errors_in
from rating.ledger import backups, faults, head, merging, merkle, notes, opening, verifying
from rating.ledger.copies import ENTRY_COLUMNS, Entry, ScoreEntry
from rating.ledger.head import Head
from rating.ledger.notes import Note
from rating.review import Review

__all__ = ["Entry", "Head", "Hold", "Ledger", "Note", "ScoreEntry", "silent"]

_T = TypeVar("_T")
# called inside the transaction with the day of the release's last review, '' for none, and its current ones
Hold = Callable[[str, tuple[Review, ...]], None]


def silent(_: str) -> None:
    """Say nothing."""


@dataclass(frozen=True, slots=True)
class Ledger:
    """A ledger file. Each call opens it, does one thing and closes it, so that at rest it is one file.

    `season_id` is that of the season it belongs to; a ledger of another one is refused. `say` is told what a
    person should know while it goes on: that it waits, that an interrupted write is undone, what is missing.
    """

    path: Path
    season_id: str = ""
    say: Callable[[str], None] = dataclasses.field(default=silent, compare=False, repr=False)

    @property
    def exists(self) -> bool:
        """Whether anything was recorded yet: a blank file is no ledger."""
        try:
            with self._reading():
                return True
        except faults.NoLedger:
            return False

    def append(self, review: Review, *, rubric: str, facts: str, hold: Hold | None = None) -> Review:
        """Add a review; gives it back with the heads and superseded ids that it was stored with.

        `rubric` and `facts` are the canonical texts whose hashes the review names. A review supersedes the
        current one of its release. All or nothing: whatever fails, the ledger is as it was. `hold` is asked
        inside the transaction, where nobody else can add one, and raises to stop it.

        Raises
        ------
        RatingError
            if the ledger is locked, foreign, newer, cut short, read-only, of another season or shorter than
            ledger.head says, or the disk is full
        ValueError
            if a text does not have the hash that the review names
        """
        for text, named in ((rubric, review.rubric), (facts, review.facts)):
            if reviews.hash_of(text) != named:
                raise ValueError(f"the text does not have the hash {named}")

        def add(db: sqlite3.Connection) -> tuple[Review, Head]:
            if hold is not None:
                hold(*_known_of(db, review.release))
            return _append(db, review, rubric=rubric, facts=facts)

        return self._added(add, "review")

    def note(self, note: Note) -> Note:
        """Add what is said of a review afterwards; gives it with the heads that it was stored with.

        Raises
        ------
        RatingError
            as `append`, and where the ledger does not hold the review; whatever fails, it is as it was
        """

        def add(db: sqlite3.Connection) -> tuple[Note, Head]:
            _body_of(db, "review", note.review, self.path.name, key="id")
            number, heads = merging.last_heads(db)
            count, follows = notes.ends(db)
            stored = dataclasses.replace(note, heads=heads, follows=follows)
            text = notes.text_of(stored)
            notes.add(db, reviews.hash_of(text), text)
            return stored, Head(number, heads, count + 1, (stored.id,))

        return self._added(add, "note")

    def ends_with(self) -> Head:
        """How many reviews and notes it holds, and which of them nothing follows; none without a ledger."""
        try:
            with self._reading() as db:
                return Head(*merging.last_heads(db), *notes.ends(db))
        except faults.NoLedger:
            return Head(0, ())

    def notes(self) -> Mapping[str, tuple[Note, ...]]:
        """What was said of each review afterwards, by its id, the earliest first."""
        try:
            with self._reading() as db:
                return notes.by_review(db)
        except faults.NoLedger:
            return {}

    def entries(self) -> list[Entry]:
        """The copied values of all reviews, in the order they were added; empty where there is no ledger.

        Once copies were merged, the order is one that hangs on the reviews alone, the same in every copy.
        """
        names = ", ".join(f"entry.{name}" for name in ENTRY_COLUMNS)
        try:
            with self._reading() as db:
                lost = self._lost(db)
                rows = db.execute(f"SELECT {names}, id FROM entry JOIN review ON seq = review ORDER BY seq")
                found = [Entry._make(row) for row in rows]
                if merging.is_merged(db):
                    found = _ordered(db, found)
        except faults.NoLedger:
            lost, found = self._lost(None), []
        if lost is not None:
            self.say(str(lost))
        return found

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
        return reviews.from_text(self.text(identity))

    def text(self, identity: str) -> str:
        """The canonical text of the review with an id."""
        return self._text("review", identity, key="id")

    def current_ids(self, release: str) -> tuple[str, ...]:
        """The reviews of a release that nothing supersedes: one, or several where two copies went apart."""
        with self._reading() as db:
            return _current_ids(db, release)

    def ids(self) -> list[str]:
        """The ids of all reviews in the order they were added to this copy; none where there is no ledger."""
        try:
            with self._reading() as db:
                rows = db.execute("SELECT seq, id FROM review").fetchall()
        except faults.NoLedger:
            return []
        return [identity for _, identity in sorted(rows)]

    def tree_head(self) -> str:
        """The head over all reviews, as exports print it; see `rating.ledger.merkle`."""
        return merkle.head(self.season_id, self.ids())

    def rubric(self, identity: str) -> str:
        """The canonical text of a rubric that some review was graded by."""
        return self._text("rubric", identity)

    def facts(self, identity: str) -> str:
        """The canonical text of the facts that some review used."""
        return self._text("facts", identity)

    def _text(self, table: str, identity: str, *, key: str = "hash") -> str:
        with self._reading() as db:
            return _body_of(db, table, identity, self.path.name, key=key)

    def need(self) -> None:
        """Refuse to go on where nothing was recorded yet, or what was is not there.

        Raises
        ------
        RatingError
            if so
        """
        try:
            with self._reading():
                return
        except faults.NoLedger as fault:
            raise self._lost(None) or fault from fault

    def content(self) -> merging.Content:
        """Every text that the ledger keeps."""
        with self._reading() as db:
            return merging.content_of(db)

    def forks(self) -> tuple[merging.Fork, ...]:
        """The releases of which two copies each recorded a review that nothing supersedes."""
        try:
            with self._reading() as db:
                return merging.forks(db)
        except faults.NoLedger:
            return ()

    def merge(self, other: merging.Content) -> merging.Merged:
        """Add the reviews and notes that another copy of this ledger has beside.

        Raises
        ------
        RatingError
            as `append`; whatever fails, the ledger is as it was
        """
        with self._writing() as db:
            merged = merging.take_in(db, other)
            lost = self._lost(db)
        if lost is not None:
            self.say(str(lost))
        elif merged.added or merged.notes:
            self._write_head(merged.head)
        return merged

    def back_up(self, target: Path) -> Path:
        """Write a copy of the whole ledger to a new file, durable, in one step."""
        with self._reading() as db:
            return backups.write(db, target)

    def restore(self, copy: Path) -> Path | None:
        """Put a sound copy in the place of the ledger; gives where the ledger before went, None for none.

        Raises
        ------
        RatingError
            if the copy is not sound, another program holds the ledger, or the disk refuses
        """
        source = dataclasses.replace(self, path=copy)
        if wrong := errors_in(verifying.verify(copy, season_id=self.season_id, with_head=False)):
            raise backups.no_copy(copy, wrong[0].what)
        part = source.back_up(self.path.with_name(f".{self.path.name}.restored"))
        with opening.reading(part, season_id=self.season_id, say=self.say) as db:
            ends_with = Head(*merging.last_heads(db), *notes.ends(db))
        aside = backups.put_in_place(self.path, part)
        self._write_head(ends_with)
        return aside

    def verify(self) -> list[Problem]:
        """What is wrong with the ledger and with ledger.head, whatever is met; see `rating.ledger.verifying`.

        Raises
        ------
        RatingError
            if there is no ledger yet
        """
        return verifying.verify(self.path, season_id=self.season_id)

    def _reading(self) -> AbstractContextManager[sqlite3.Connection]:
        return opening.reading(self.path, season_id=self.season_id, say=self.say)

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        with opening.writing(self.path, season_id=self.season_id, say=self.say) as db:
            yield db

    def _lost(self, db: sqlite3.Connection | None) -> RatingError | None:
        """What ledger.head tells of that the ledger does not hold; None where nothing is missing."""
        try:
            told = head.read(self.path)
        except RatingError as fault:
            return fault
        return (
            None
            if told is None or head.is_held(db, told)
            else head.lost(self.path, told, is_there=db is not None)
        )

    def _hold_to_head(self, db: sqlite3.Connection) -> None:
        """Refuse to go on from a ledger that is shorter, or another, than ledger.head says."""
        try:
            told = head.read(self.path)
        except RatingError as fault:
            self.say(f"{fault.what}; a new one is written")
            return
        if told is not None and not head.is_held(db, told):
            raise head.lost(self.path, told, is_there=merging.last_heads(db)[0] > 0)

    def _added(self, add: Callable[[sqlite3.Connection], tuple[_T, Head]], what: str) -> _T:
        """Add something in one transaction, and keep what the ledger ends with; `what` names it."""
        added: tuple[_T, Head] | None = None
        try:
            with self._writing() as db:
                self._hold_to_head(db)
                added = add(db)
        except RatingError as fault:
            if added is None or isinstance(fault, faults.InUse):
                raise
            self._look_again(added[1], fault, what)
        stored, ends_with = added
        self._write_head(ends_with, what)
        return stored

    def _write_head(self, ends_with: Head, what: str = "review") -> None:
        try:
            head.write(self.path, ends_with)
        except OSError as fault:
            self.say(
                f"{head.beside(self.path).name} could not be written ({fault.strerror}); "
                f"the {what} is recorded all the same"
            )

    def _look_again(self, ends_with: Head, fault: RatingError, what: str) -> None:
        """Look whether something whose commit failed is there all the same; if not, raise the fault."""
        try:
            with self._reading() as db:
                is_there = head.is_held(db, ends_with)
        except RatingError as other:
            raise RatingError(
                f"{fault.what.partition(';')[0]}; whether the {what} was recorded cannot be seen now",
                where=fault.where,
                fix="see to the disk, then run 'boxwright ledger verify' before you record anything",
            ) from other
        if not is_there:
            raise fault
        self.say(f"The {what} is recorded, but {fault.what.partition(';')[0]}. Copy the season to be safe.")


def _append(db: sqlite3.Connection, review: Review, *, rubric: str, facts: str) -> tuple[Review, Head]:
    number, noted = notes.ends(db)
    stored = dataclasses.replace(
        review,
        heads=merging.last_heads(db)[1],
        supersedes=_current_ids(db, review.release),
        notes=noted or None,
    )
    merging.insert_texts(db, (review.rubric, rubric), (review.facts, facts))
    plain = reviews.as_plain(stored)
    text = reviews.canonical(plain)
    identity = reviews.hash_of(text)
    seq = db.execute("INSERT INTO review (id, body) VALUES (?, ?)", (identity, text)).lastrowid
    if seq is None:
        raise ValueError("the database gave no number to a new review")
    merging.insert_copies(db, seq, plain, rubric)
    return stored, Head(seq, (identity,), number, noted)


def _body_of(db: sqlite3.Connection, table: str, identity: str, file: str, *, key: str) -> str:
    """The text that a table keeps under an id or a hash."""
    row = db.execute(f"SELECT body FROM {table} WHERE {key} = ?", (identity,)).fetchone()
    if row is None:
        raise RatingError(f"the ledger holds no {table} {identity[:12]}", where=file)
    return str(row[0])


def _ordered(db: sqlite3.Connection, entries: list[Entry]) -> list[Entry]:
    """Entries in the order that all copies of a merged ledger agree on."""
    follows = db.execute("SELECT id, json_extract(body, '$.heads') FROM review")
    heads = {identity: json.loads(told) for identity, told in follows}
    by_id = {entry.id: entry for entry in entries}
    order = merging.in_order({entry.id: entry.recorded_at for entry in entries}, heads)
    return [by_id[identity] for identity in order]


def _known_of(db: sqlite3.Connection, release: str) -> tuple[str, tuple[Review, ...]]:
    """The day of the last review of a release, '' for none, and its reviews that nothing supersedes."""
    last = db.execute("SELECT max(published_on) FROM entry WHERE release = ?", (release,)).fetchone()[0]
    bodies = [
        db.execute("SELECT body FROM review WHERE id = ?", (one,)).fetchone()[0]
        for one in _current_ids(db, release)
    ]
    return last or "", tuple(reviews.from_text(body) for body in bodies)


def _current_ids(db: sqlite3.Connection, release: str) -> tuple[str, ...]:
    """The reviews of a release that nothing supersedes yet."""
    rows = db.execute(
        """SELECT id FROM entry JOIN review ON review.seq = entry.review
           WHERE release = ? AND NOT EXISTS (SELECT 1 FROM superseded WHERE superseded = id) ORDER BY id""",
        (release,),
    )
    return tuple(row[0] for row in rows)
