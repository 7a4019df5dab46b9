"""A part of a text: its rows, and what it is where that is plain from how the text is written."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(slots=True, kw_only=True)
class Part:
    """Rows as (number of the line, cells). `kind` is what a sheet can be, `why` a reason to set it aside."""

    rows: list[tuple[int, list[str]]] = field(default_factory=list)
    kind: str = ""
    why: str = ""
    roles: tuple[tuple[int, str], ...] = ()
