"""What the readers of tables and of text hand over: a label, a format and odds as they are written."""

from __future__ import annotations

from dataclasses import dataclass

from rating.release.intake.odds.labels import Label
from rating.release.intake.odds.stated import Per, Stated
from rating.release.intake.values import Row


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """Odds of one line in one format, as written; `stated` is None where the cell cannot be read."""

    row: Row
    label: Label
    format: str
    cell: str
    stated: Stated | None
    note: str = ""
    run: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Unread:
    """A row that should hold odds and does not, with what is wrong with it."""

    row: Row
    code: str
    what: str
    fix: str


@dataclass(slots=True, kw_only=True)
class Context:
    """What the lines above a row said: the subset, the format and the unit that hold from there on."""

    unit: Per = "pack"
    format: str = ""
    subset: str = ""
    columns: tuple[str, ...] = ()  # the formats of odds that stand side by side, in their order
    tail: str = ""  # the end of the title, which may name a format that nobody knows yet
