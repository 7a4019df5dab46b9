"""Whether a ledger is what was recorded: its header, pages, tables, texts, copies and order, and its head.

Whatever is met is a named line of damage; nothing that a file can hold ends in an error of the program.
"""

from __future__ import annotations

import json
import sqlite3
import sys
import unicodedata
from bisect import bisect_right
from collections.abc import Iterator
from operator import itemgetter
from pathlib import Path
from typing import Any, NamedTuple

from rating import review as reviews
from rating import text
from rating.errors import Problem, RatingError
from rating.ledger import faults, head, journal, notes, opening, schema
from rating.ledger.copies import ENTRY_COLUMNS, Row, copies, points_of

_ROWS_AHEAD = 1000
_first_of = itemgetter(0)
_FIX = "restore ledger.db from a copy; what was altered cannot be told from it alone"


class _Line(NamedTuple):
    """One thing that is wrong; `row` is the number of the review, None where it is about the whole."""

    what: str
    row: int | None = None
    code: str = "ledger-altered"
    fix: str = _FIX
    file: str = ""


def verify(path: Path, *, season_id: str = "", with_head: bool = True) -> list[Problem]:
    """What is wrong with a ledger. A journal that a crash left is normal, and told as a remark.

    A copy elsewhere is looked at without the head that may lie beside it (`with_head`).

    Raises
    ------
    RatingError
        if there is no ledger yet, nor a head of one
    """
    remarks: list[str] = []
    lines = [*_head_lines(path)] if with_head else []
    if not lines and not path.exists():
        raise faults.no_ledger(path)
    try:
        before = _looked_at(path)
        with opening.reading(path, season_id=season_id, say=remarks.append) as db:
            lines += before or _header_lines(path)
            for look in (_pages, _tables, _texts, _reviews, _graph, _notes):
                lines += _seen(look, db)
            lines += _guarded(_head_in, db, path) if with_head else []
    except faults.NoLedger:
        if not lines:
            raise
    except faults.InUse as fault:
        lines.append(_Line(fault.what, code="ledger-in-use", fix=fault.fix))
    except RatingError as fault:
        lines.append(_Line(fault.what, fix=fault.fix, file=fault.where))
    problems = [
        Problem(code=one.code, file=one.file or path.name, row=one.row, what=one.what, fix=one.fix)
        for one in lines
    ]
    return problems + [
        Problem(code="interrupted-write", file=path.name, what=one, severity="remark") for one in remarks
    ]


def _seen(look: Any, db: sqlite3.Connection) -> list[_Line]:
    """The lines of one look at a database; where a text cannot be read, a second look passes over that."""
    db.text_factory = str
    try:
        return list(look(db))
    except (sqlite3.Error, UnicodeDecodeError):
        db.text_factory = _lenient  # a call for each text takes five times as long
        return _guarded(look, db)


def _guarded(look: Any, *given: Any) -> list[_Line]:
    """The lines of one look; what the database cannot read at all is a line too."""
    found: list[_Line] = []
    try:
        found.extend(look(*given))
    except (sqlite3.Error, UnicodeDecodeError) as fault:
        found.append(_Line(f"the database is damaged: {text.printable(str(fault))}"))
    return found


def _lenient(content: bytes) -> str:
    return content.decode("utf-8", "replace")


# the file ------------------------------------------------------------------------------------------------

# https://www.sqlite.org/fileformat.html, section 1.3: where, how many bytes, the one value a ledger has there
_FIELDS = (
    ("its version of writing", 18, 1, 1),
    ("its version of reading", 19, 1, 1),
    ("the bytes kept free on each page", 20, 1, 0),
    ("its largest payload", 21, 1, 64),
    ("its smallest payload", 22, 1, 32),
    ("its leaf payload", 23, 1, 32),
    ("its form of schema", 44, 4, 4),
    ("the size of its cache", 48, 4, 0),
    ("its vacuum", 52, 4, 0),
    ("its encoding", 56, 4, 1),
    ("its way of vacuum", 64, 4, 0),
    ("its application id", 68, 4, schema.APPLICATION_ID),
)


def _looked_at(path: Path) -> list[_Line]:
    """What is wrong with the header before SQLite opens the file, which may set some of it right."""
    return [] if journal.is_hot(path) else _header_lines(path)


def _header_lines(path: Path) -> list[_Line]:
    if not path.is_file():
        return []  # opening it says so
    try:
        with path.open("rb") as file:
            start = file.read(100)
        size = path.stat().st_size
    except OSError:
        return []  # opening it says why
    if len(start) < 100 or not start.startswith(b"SQLite format 3\0"):
        return []
    lines = []
    for name, place, length, wanted in _FIELDS:
        found = int.from_bytes(start[place : place + length])
        if found != wanted:
            lines.append(_Line(f"the header was altered: {name} is {found}, not {wanted}"))
    if any(start[72:92]):
        lines.append(_Line("the header was altered: its reserved bytes are not zero"))
    if start[24:28] != start[92:96]:
        lines.append(_Line("the header was altered: it counts its changes twice, and differently"))
    page = int.from_bytes(start[16:18])
    page = 65536 if page == 1 else page
    counted = page * int.from_bytes(start[28:32])
    if size > counted:
        lines.append(_Line(f"{size - counted:,} bytes are appended to the file"))
    if freed := int.from_bytes(start[36:40]):
        lines.append(_Line(f"{freed:,} pages are free, and nothing is ever taken out of a ledger"))
    return lines


def _head_lines(path: Path) -> Iterator[_Line]:
    """What ledger.head says where it is damaged, or where there is no ledger beside it."""
    try:
        told = head.read(path)
        if told is not None and not opening.holds_something(path):
            fault = head.lost(path, told, is_there=False)
            yield _Line(fault.what, fix=fault.fix)
    except RatingError as fault:
        yield _Line(fault.what, fix=fault.fix, file=fault.where)
    except OSError:
        return  # opening it says why


def _head_in(db: sqlite3.Connection, path: Path) -> Iterator[_Line]:
    try:
        told = head.read(path)
    except RatingError:
        return  # told by `_head_lines`
    if told is not None and not head.is_held(db, told):
        fault = head.lost(path, told, is_there=True)
        yield _Line(fault.what, fix=fault.fix)


# the database --------------------------------------------------------------------------------------------


def _pages(db: sqlite3.Connection) -> Iterator[_Line]:
    for (told,) in db.execute("PRAGMA integrity_check"):
        if told != "ok":
            yield _Line(f"the database is damaged: {told}")
    # those of `entry` are told by `_reviews`, which compares it with the texts and looks each name up
    for table in schema.tables(db.execute("PRAGMA user_version").fetchone()[0]):
        if table != "entry":
            for row in db.execute(f"PRAGMA foreign_key_check({table})"):
                yield _Line(f"a reference leads nowhere in {row[0]}")


def _tables(db: sqlite3.Connection) -> Iterator[_Line]:
    """Tables, indexes and guards that are not those of a new ledger."""
    there = schema.layout(db)
    wanted = schema.wanted(db.execute("PRAGMA user_version").fetchone()[0])
    for name, (kind, sql) in wanted.items():
        shown = "guard" if kind == "trigger" else kind
        if name not in there:
            yield _Line(f"the {shown} {name} was removed")
        elif there[name] != (kind, sql):
            yield _Line(f"the {shown} {name} was altered")
    for name, (kind, _) in there.items():
        if name not in wanted:
            yield _Line(f"the {kind} {name} does not belong here")


def _texts(db: sqlite3.Connection) -> Iterator[_Line]:
    for table in ("rubric", "facts"):
        for name, body in db.execute(f"SELECT hash, body FROM {table}"):
            if not isinstance(body, str) or _hash(body) != name:
                yield _Line(f"the {table} {str(name)[:12]} does not have its hash")


def _hash(body: str) -> str:
    return reviews.hash_of(body)


def _reviews(db: sqlite3.Connection) -> Iterator[_Line]:
    points = {name: points_of(body) for name, body in db.execute("SELECT hash, body FROM rubric")}
    facts = {row[0] for row in db.execute("SELECT hash FROM facts")}
    kept = _Kept(db)
    seen: set[str] = set()
    joined = _joined(db)
    noted = {identity for identity, _ in notes.texts(db)}
    last, before = 0, [""]
    for seq, identity, body in db.execute("SELECT seq, id, body FROM review ORDER BY seq"):
        if seq != last + 1:
            yield _Line(f"reviews {last + 1} to {seq - 1} are missing", seq)
        last = seq
        stored = kept.of(seq)
        named = f"the review {str(identity)[:12]}"
        if not isinstance(body, str) or _hash(body) != identity:
            yield _Line(f"{named} was altered", seq)
        plain, wrong = _parsed(body, named)
        if wrong:
            yield _Line(wrong, seq)
        if plain is not None:
            heads = plain["heads"]
            if not (seen.issuperset(heads) and seen.issuperset(plain["supersedes"])):
                yield _Line(f"{named} follows one that is not there", seq)
            elif seen and heads != before and not _is_anothers(seq, joined):
                yield _Line(f"{named} does not follow the one before it", seq)
            if str(plain["rubric"]) not in points or str(plain["facts"]) not in facts:
                yield _Line(f"the rubric or the facts of {named} are not there", seq)
            if not noted.issuperset(plain.get("notes", ())):
                yield _Line(f"{named} follows a note that is not there", seq)
            for what in _differing(seq, plain, points, stored):
                yield _Line(f"the copied {what} of {named} differ from its text", seq)
            seen.add(identity)
        before = joined.get(seq, [identity])
    entries = db.execute("SELECT count(*) FROM entry").fetchone()[0]
    if entries != last:
        yield _Line(f"there are {last} reviews but {entries} copies")
    yield from kept.left()


def _joined(db: sqlite3.Connection) -> dict[int, list[str]]:
    """What the ledger ended with after each merge, by the number of the last review that it added."""
    if db.execute("PRAGMA user_version").fetchone()[0] < 2:
        return {}
    return {seq: _ids(heads) for seq, heads in db.execute("SELECT review, heads FROM merged")}


def _ids(told: object) -> list[str]:
    try:
        found = json.loads(str(told))
    except ValueError:
        return []
    return [str(one) for one in found] if isinstance(found, list) else []


def _is_anothers(seq: int, joined: dict[int, list[str]]) -> bool:
    """Whether a review may have come from another copy, whose order it follows, by a later merge."""
    return any(seq <= last for last in joined)


def _graph(db: sqlite3.Connection) -> Iterator[_Line]:
    """Where merges say that they ended with something else than the reviews do."""
    joined = _joined(db)
    if not joined:
        return
    followed: set[str] = set()
    ids: list[str] = []
    for seq, identity, body in db.execute("SELECT seq, id, body FROM review ORDER BY seq"):
        ids.append(str(identity))
        plain, _ = _parsed(body, "")
        followed.update(plain["heads"] if plain else ())
        if seq in joined and sorted(set(ids) - followed) != joined[seq]:
            yield _Line("what the ledger ended with after a merge was altered", seq)


def _notes(db: sqlite3.Connection) -> Iterator[_Line]:
    """Notes that were altered, taken out, or that name what is not there."""
    if not notes.are_kept(db):
        return
    known = {row[0] for row in db.execute("SELECT id FROM review")}
    seen: set[str] = set()
    last = 0
    for seq, identity, about, body in db.execute("SELECT seq, id, review, body FROM note ORDER BY seq"):
        named = f"the note {str(identity)[:12]}"
        if seq != last + 1:
            yield _Line(f"a note before {named} is missing")
        last = seq
        if not isinstance(body, str) or _hash(body) != identity:
            yield _Line(f"{named} was altered")
        try:
            plain = json.loads(body)
            wrong = notes.misfit(plain) or ("" if reviews.canonical(plain) == body else "not canonical")
        except (ValueError, TypeError, RecursionError) as fault:
            wrong = str(fault)
        if wrong:
            yield _Line(f"{named} is not a note: {wrong}")
            continue
        if plain["review"] != about or not {about, *plain["heads"]} <= known:
            yield _Line(f"{named} is about a review that is not there")
        if not set(plain["follows"]) <= seen:
            yield _Line(f"{named} follows one that is not there")
        seen.add(identity)


def _parsed(body: Any, named: str) -> tuple[dict[str, Any] | None, str]:
    """A review's text in plain form, and what is wrong with it; None where it cannot be told what it says."""
    try:
        plain = _DECODER.decode(body)
        if wrong := reviews.misfit(plain):
            return None, wrong if wrong.startswith(
                "a review has format"
            ) else f"{named} is not a review: {wrong}"
        is_canonical = _ENCODER.encode(plain) == body and unicodedata.is_normalized("NFC", body)
    except _NoNumberError as fault:
        return None, f"{named} holds what no review holds: {fault}"
    except (ValueError, TypeError, RecursionError) as fault:
        return None, f"{named} is not a review: {fault}"
    return plain, "" if is_canonical else f"{named} is not in its canonical form"


class _NoNumberError(Exception):
    """A number that no review holds."""


def _no_number(text: str) -> None:
    raise _NoNumberError(f"the number {text[:20]}")


# made once: a ledger has thousands of texts
_DECODER = json.JSONDecoder(parse_float=_no_number, parse_constant=_no_number)
_ENCODER = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":"), check_circular=False)


class _Kept:
    """The stored copies of a review at a time, read beside the reviews in the same order."""

    def __init__(self, db: sqlite3.Connection) -> None:
        names = ", ".join(ENTRY_COLUMNS)
        orders = (
            f"SELECT {names} FROM entry ORDER BY review",
            "SELECT * FROM score ORDER BY review, criterion",
            "SELECT * FROM superseded ORDER BY review, superseded",
        )
        self._tables = [_Ahead(db.execute(order)) for order in orders]
        self._strange: list[int] = []

    def of(self, seq: int) -> list[list[Row]]:
        """The rows of entry, score and superseded that a review has."""
        found = [table.up_to(seq) for table in self._tables]
        for place, rows in enumerate(found):
            if rows and rows[0][0] != seq:
                self._strange += sorted({row[0] for row in rows} - {seq})
                found[place] = [row for row in rows if row[0] == seq]
        return found

    def left(self) -> list[_Line]:
        """Copies of reviews that are not there."""
        ahead = [row[0] for table in self._tables for row in table.up_to(sys.maxsize)[:1]]
        return [
            _Line(f"there are copies of a review {one} that is not there") for one in self._strange + ahead
        ]


class _Ahead:
    """The rows of a table in the order of their first value, a number; taken off one number at a time.

    Rows that damage has left without a number are passed over: their review then lacks them.
    """

    def __init__(self, rows: sqlite3.Cursor) -> None:
        self._rows = rows
        self._held: list[Row] = []

    def up_to(self, number: int) -> list[Row]:
        """Take off all rows up to a number."""
        held = self._held
        while not held or held[-1][0] <= number:
            more = self._rows.fetchmany(_ROWS_AHEAD)
            if not more:
                break
            held += [row for row in more if type(row[0]) is int]
        end = bisect_right(held, number, key=_first_of)
        found = held[:end]
        del held[:end]
        return found


def _differing(
    seq: int, plain: dict[str, Any], points: dict[str, dict[str, int]], stored: list[list[Row]]
) -> Iterator[str]:
    """Which copies of a review differ from its text."""
    try:
        entry, scores, superseded = copies(seq, plain, points.get(plain["rubric"], {}))
    except (KeyError, TypeError, ValueError, AttributeError):
        yield "values"
        return
    for what, wanted, found in zip(
        ("values", "scores", "links"), ([entry], scores, superseded), stored, strict=True
    ):
        if wanted != found:
            yield what
