"""What a sheet was taken for: its columns by what was written from them, and three of its rows."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import islice
from typing import Any

from rating import text
from rating.release.checklist import CHECKLIST, ODDS, PARALLELS
from rating.release.intake import days
from rating.release.intake.values import ColumnReading, Grid, Row
from rating.release.market import SALES, SLOTS
from rating.release.tables import Table

_EXAMPLES = 3
_LOOKED_AT = 100
# a column that holds this share of what was written surely is where it comes from, or likely
_SURELY, _LIKELY = 0.95, 0.6
_SURE, _LESS = 9.0, 1.5
_NUMBER = re.compile(r"\d+(?:[.,]\d+)*")
# what is looked for in the cells, by table, with the column that tells several of one kind apart
_FIELDS: Mapping[str, tuple[tuple[str, ...], str]] = {
    PARALLELS.file: (PARALLELS.names, ""),
    ODDS.file: (("packs_per_copy", "subset", "parallel", "format"), "format"),
    SALES.file: (("title", "date", "price", "postage", "currency"), ""),
    SLOTS.file: (("slot", "price", "date", "format", "cases"), ""),
}


@dataclass(frozen=True, slots=True)
class Written:
    """A row of a table, by its cells, with the file and the row of it that it was read from."""

    table: Table[Any]
    file: str
    row: int
    cells: tuple[str, ...]

    def get(self, name: str) -> str:
        """The cell in a column."""
        return self.cells[self.table.place(name)]


def written(table: Table[Any], rows: Sequence[Any], files: Sequence[str]) -> Iterator[Written]:
    """Rows as they go into a table, each with where it comes from."""
    for one, file in zip(rows, files, strict=True):
        if one.row:
            yield Written(table, file, one.row, table.cells_of(one))


def columns(grid: Grid, rows: Sequence[Written], today: date) -> tuple[ColumnReading, ...]:
    """The columns of a sheet with what was written from them; none where nothing can be told."""
    own = list(islice(_of_grid(grid, rows), _LOOKED_AT))
    if not own or own[0][0].table.file not in _FIELDS:
        return ()
    fields, apart = _FIELDS[own[0][0].table.file]
    width = max(len(row.cells) for _, row in own)
    found: dict[int, tuple[str, float]] = {}
    for name in fields:
        groups: dict[str, list[tuple[Written, Row]]] = {}
        for one, row in own:
            if one.get(name):
                groups.setdefault(one.get(apart) if apart and name == fields[0] else "", []).append(
                    (one, row)
                )
        for key, group in groups.items():
            shares = {
                place: sum(_holds(row.cell(place), one.get(name), today) for one, row in group) / len(group)
                for place in range(width)
                if place not in found
            }
            best = max(shares, key=lambda place: shares[place], default=None)
            if best is not None and shares[best] >= _LIKELY:
                found[best] = (f"{name} of {key}" if key else name, shares[best])
    if not found:
        return ()
    headings = _headings(grid, {row.number for _, row in own}, width)
    return tuple(
        ColumnReading(
            heading=headings.cell(place) if headings else "",
            role=found[place][0] if place in found else "",
            margin=(_SURE if found[place][1] >= _SURELY else _LESS) if place in found else 0.0,
        )
        for place in range(width)
    )


def examples(grid: Grid, rows: Sequence[Written]) -> tuple[str, ...]:
    """Three rows of a sheet as they were understood."""
    return tuple(f"row {row.number}: {_shown(one)}" for one, row in islice(_of_grid(grid, rows), _EXAMPLES))


def _of_grid(grid: Grid, rows: Sequence[Written]) -> Iterator[tuple[Written, Row]]:
    """What was written from a sheet: the row is there, and holds something of it."""
    there = {row.number: row for row in grid.rows}
    for one in rows:
        row = there.get(one.row)
        if one.file == grid.file and row is not None:
            line = text.key(row.text)
            if any(text.key(cell) in line for cell in one.cells if cell and cell != grid.file):
                yield one, row


def _headings(grid: Grid, taken: set[int], width: int) -> Row | None:
    """The last row of several cells above what was taken."""
    first = min(taken)
    above = [row for row in grid.rows if row.number < first and len(row.filled) > 1]
    return above[-1] if above and len(above[-1].cells) <= width else None


def _holds(cell: str, value: str, today: date) -> bool:
    """Whether a cell is where a written value may come from."""
    if not cell:
        return False
    if re.fullmatch(r"\d{4}-\d\d-\d\d", value):
        told = days.read_day(cell, today) if len(cell) < 40 else None
        return told is not None and (told.day is None or told.day.isoformat() == value)
    if re.fullmatch(r"\d+(?:\.\d+)?", value):
        bare = value.rstrip("0").rstrip(".") if "." in value else value
        return any(bare == _plain(one) for one in _NUMBER.findall(cell))
    there, own = text.key(cell).replace("-", " "), text.key(value).replace("-", " ")
    return own in there or there in own


def _plain(number: str) -> str:
    """A number without marks of thousands and without noughts behind its point."""
    head, mark, tail = number.rpartition("." if number.rfind(".") > number.rfind(",") else ",")
    if not mark or len(tail) == 3:
        return re.sub(r"[.,]", "", number)
    return f"{re.sub(r'[.,]', '', head)}.{tail}".rstrip("0").rstrip(".")


def _shown(one: Written) -> str:
    if one.table is CHECKLIST:
        return _card(one)
    name = " ".join(
        filter(None, (one.get(part) for part in ("subset", "parallel") if part in one.table.names))
    )
    if one.table is PARALLELS:
        run = one.get("print_run")
        return name + (f", numbered to {run}" if run else "")
    if one.table is ODDS:
        return f"{name}: one in {one.get('packs_per_copy')} packs of {one.get('format')}"
    money = f"{one.get('price')} {one.get('currency')}".strip()
    if one.table is SALES:
        card = f"{name} {one.get('number')}".strip() or "no card yet"
        return f"{one.get('date')}, {money}: {card}, from {one.get('title')[:50]!r}"
    return f"{one.get('date')}, {money}: {one.get('slot') or 'a random slot'} {one.get('format')}".strip()


def _card(one: Written) -> str:
    parts = [f"{one.get('number')} {one.get('subjects')}", one.get("teams"), one.get("kind")]
    parts += [f"numbered to {run}" for run in (one.get("print_run"),) if run]
    parts += [name for name in ("rookie", "variation", "redemption") if one.get(name)]
    return f"{one.get('subset')}: {', '.join(filter(None, parts))}"
