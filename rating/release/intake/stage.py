"""A table's new rows merged with the edits that were made by hand since the last intake."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rating import text
from rating.release.intake.record import Written, sha256
from rating.release.intake.values import Change
from rating.release.tables import Table

_SHORT = 12

Cells = tuple[str, ...]


@dataclass(slots=True)
class Merged:
    """A table as it will stand: its rows, what a hand edit kept, and the changes against the file before."""

    table: Table[Any]
    rows: list[Cells]
    written: Written
    kept: list[str]
    changes: list[Change]
    content: bytes


def current(folder: Path, table: Table[Any]) -> list[Cells] | None:
    """The rows of a table as it stands, None where there is none.

    Raises
    ------
    RatingError
        if the table cannot be read
    """
    path = folder / table.file
    return table.read_cells(path) if path.exists() else None


def hash_of(table: Table[Any], cells: Cells) -> str:
    """A short hash of a row; a number that only lost its noughts is the same row."""
    return sha256("\x1f".join(table.compared(cells)).encode())[:_SHORT]


def keyed(table: Table[Any], rows: Iterable[Cells]) -> dict[str, Cells]:
    """The rows by a short hash of what names them; equal names are told apart by their order."""
    seen: Counter[Cells] = Counter()
    found: dict[str, Cells] = {}
    for row in rows:
        key = table.key_of(row)
        seen[key] += 1
        mark = "\x1f".join((*key, str(seen[key])))
        found[sha256(mark.encode())[:_SHORT]] = row
    return found


def merge(
    table: Table[Any],
    new: Sequence[Cells],
    *,
    before: Sequence[Cells] | None,
    written: Written | None,
    is_current: bool,
    replace: bool,
    is_foreign: Callable[[Cells], bool] | None = None,
    in_old_order: bool = False,
) -> Merged:
    """A table's new rows with the hand edits of the old ones kept.

    Parameters
    ----------
    before : the rows as the table stands, None where there is none
    written : what the last intake wrote, None where none did
    is_current : whether the file is, byte for byte, what the last intake wrote
    is_foreign : which old rows come from other sources and stay as they are
    in_old_order : whether rows that were there before stand where they stood
    """
    foreign = [row for row in before or () if is_foreign is not None and is_foreign(row)]
    fresh = keyed(table, [*foreign, *new])
    old = keyed(table, before or ())
    known = written.rows if written else {}
    taken = {key: hash_of(table, row) for key, row in fresh.items()}
    for key in keyed(table, foreign):
        if key in known:
            taken[key] = known[key]
        elif written is not None and not replace:
            taken.pop(key, None)  # a person's own row of another source
    kept: list[str] = []
    rows = dict(fresh)
    edits = 0
    if before is not None and not replace and not (is_current and written and not written.edits):
        rows, kept, edits = _with_edits(table, fresh, old, known)
    if in_old_order:
        rows = {key: rows[key] for key in (*filter(rows.__contains__, old), *rows)}
    ordered = list(rows.values())
    return Merged(
        table=table,
        rows=ordered,
        written=Written(rows=taken, edits=edits),
        kept=kept,
        changes=_changes(table, old, rows),
        content=table.text_of(ordered).encode(),
    )


def _with_edits(
    table: Table[Any], fresh: Mapping[str, Cells], old: Mapping[str, Cells], known: Mapping[str, str]
) -> tuple[dict[str, Cells], list[str], int]:
    rows: dict[str, Cells] = {}
    kept: list[str] = []
    edits = 0
    own: list[tuple[str, str]] = []  # a person's own rows, each with the one it stands after
    last = ""
    for key, row in old.items():
        if key not in fresh and (key not in known or known[key] != hash_of(table, row)):
            own.append((key, last))
        last = key
    for key, row in fresh.items():
        there = old.get(key)
        if there is None:
            if key in known:
                edits += 1
                kept.append(f"{table.file}: {_named(table, row)} was deleted by hand and stays out")
                continue
            rows[key] = row
        elif key in known and known[key] == hash_of(table, there):
            rows[key] = row
        else:
            rows[key] = there
            if hash_of(table, there) != hash_of(table, row):
                edits += 1
                kept.append(f"{table.file}: {_named(table, row)} keeps {_difference(table, there, row)}")
    if not own:
        return rows, kept, edits
    after: dict[str, list[str]] = {}
    for key, place in own:
        edits += 1
        after.setdefault(place if place in rows or any(place == k for k, _ in own) else "", []).append(key)
        how = "was changed by hand and is gone from the file" if key in known else "was added by hand"
        kept.append(f"{table.file}: {_named(table, old[key])} {how}; it stays")
    return _threaded(rows, old, after), kept, edits


def _threaded(
    rows: Mapping[str, Cells], old: Mapping[str, Cells], after: Mapping[str, list[str]]
) -> dict[str, Cells]:
    found: dict[str, Cells] = {}

    def put(key: str) -> None:
        pending = [key]
        while pending:
            one = pending.pop(0)
            found[one] = rows[one] if one in rows else old[one]
            pending = [*after.get(one, ()), *pending]

    for key in rows:
        put(key)
    for key in after.get("", ()):
        if key not in found:
            put(key)
    return found


def _named(table: Table[Any], row: Cells) -> str:
    return " ".join(filter(None, table.pick(row, *table.key)))


def _difference(table: Table[Any], kept: Cells, offered: Cells) -> str:
    pairs = [
        f"{name} {mine or 'blank'!s} (the file says {theirs or 'blank'!s})"
        for name, mine, theirs in zip(table.names, kept, offered, strict=True)
        if mine != theirs
    ]
    return "your " + text.listed(pairs)


def _changes(table: Table[Any], old: Mapping[str, Cells], new: Mapping[str, Cells]) -> list[Change]:
    found = []
    for key, row in new.items():
        named = table.pick(row, *table.key)
        if key not in old:
            found.append(Change(table=table.file, how="added", key=named, after=row))
        elif old[key] != row:
            found.append(Change(table=table.file, how="altered", key=named, before=old[key], after=row))
    for key, row in old.items():
        if key not in new:
            named = table.pick(row, *table.key)
            found.append(Change(table=table.file, how="removed", key=named, before=row))
    return found
