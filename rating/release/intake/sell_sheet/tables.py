"""Small tables of a sell sheet, a column or a row a format, as cells with their format and attribute."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rating.release.intake import phrases
from rating.release.intake.formats_said import Formats, could_be
from rating.release.intake.sell_sheet import attributes
from rating.release.intake.sell_sheet.attributes import Attribute
from rating.release.intake.values import Row

_SENTENCE, _PAIR = 4, 2  # words
_HELD = re.compile(r"\b(?:a|each|every|per|in)\b[^,;]*\b(?:pack|packet|box|case|carton)s?\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Cell:
    """One value of a table, with what its row and column say of it."""

    row: Row
    format: str
    attribute: Attribute
    value: str
    said: str


@dataclass(frozen=True, slots=True)
class Said:
    """Words in a table that are to be read as a sentence, with the format that they are about."""

    row: Row
    format: str
    value: str


@dataclass(frozen=True, slots=True)
class Table:
    """A table as read: its cells, the rows it was read from, and labels nobody knows, each with its row."""

    cells: tuple[Cell, ...]
    rows: tuple[Row, ...]
    unknown: tuple[tuple[Row, str], ...]
    said: tuple[Said, ...] = ()


def read(rows: Sequence[Row], formats: Formats) -> Table | None:
    """The table in some rows, None where neither its first row nor its first column names attributes."""
    head = rows[0]
    across = {at: found for at, cell in enumerate(head.cells) if (found := attributes.of(cell))}
    down = {row.number: found for row in rows if (found := attributes.of(row.cell(0)))}
    if len(across) >= 2 and len(across) >= len(down):
        return _a_row_a_format(rows, across, formats)
    promised = sum(row.number not in down and attributes.is_promise(row.cell(0)) for row in rows)
    if down and (len(down) + (len(down) > 1) * promised) * 2 >= len(rows) - 1:
        return _a_column_a_format(rows, down, formats)
    return None


def _a_row_a_format(rows: Sequence[Row], across: dict[int, Attribute], formats: Formats) -> Table:
    head = rows[0]
    free = [at for at in range(max(len(row.cells) for row in rows)) if at not in across]
    name_at = next((at for at in free if any(could_be(row.cell(at)) for row in rows[1:])), 0)
    cells: list[Cell] = []
    said: list[Said] = []
    for row in rows[1:]:
        key = formats.add(row.cell(name_at)) if row.cell(name_at) else ""
        cells += _cells(row, ((key, across[at], row.cell(at), head.cell(at)) for at in across))
        said += [Said(row, key, row.cell(at)) for at in free if at != name_at and _is_sentence(row.cell(at))]
    told = {at for at in free for row in rows[1:] if _is_sentence(row.cell(at))}
    unknown = tuple(
        (head, head.cell(at))
        for at in free
        if at not in {name_at, *told} and any(row.cell(at) for row in rows[1:])
    )
    return Table(tuple(cells), tuple(rows), unknown, tuple(said))


def _a_column_a_format(rows: Sequence[Row], down: dict[int, Attribute], formats: Formats) -> Table:
    head = next((row for row in rows if row.number not in down), None)
    keys: dict[int, str] = {}
    if head is not None:
        keys = {at: formats.add(cell, is_headed=True) for at, cell in enumerate(head.cells) if at and cell}
    width = max(len(row.cells) for row in rows)
    cells: list[Cell] = []
    for row in rows:
        found = down.get(row.number)
        if found is not None:
            cells += _cells(
                row, ((keys.get(at, ""), found, row.cell(at), row.cell(0)) for at in range(1, width))
            )
    others = [row for row in rows if row.number not in down and row is not head]
    told = [
        Said(row, keys.get(at, ""), sentence)
        for row in others
        for at in range(1, width)
        if (sentence := _with_label(row.cell(0), row.cell(at)))
    ]
    unknown = tuple((row, row.cell(0)) for row in others if all(one.row is not row for one in told))
    return Table(tuple(cells), tuple(rows), unknown, tuple(told))


def _is_sentence(cell: str) -> bool:
    return len(cell.split()) >= _SENTENCE and any(mark.isalpha() for mark in cell)


def _with_label(label: str, cell: str) -> str:
    """A cell as a sentence with what its label says: '8 cards' in a row of 'in a pack'."""
    if len(cell.split()) < _PAIR:
        return ""
    if phrases.names_unit(label):
        return f"{cell} {label}"
    average = attributes.is_average(label)
    held = cell if _HELD.search(cell) or phrases.names_unit(cell) else f"{cell} in each box"
    return f"{held}, on average" if average else held if attributes.is_promise(label) else ""


def _cells(row: Row, found: Iterator[tuple[str, Attribute, str, str]]) -> Iterator[Cell]:
    for key, attribute, value, label in found:
        if value.strip() and value.strip() not in {"-", "–", "—", "n/a", "N/A"}:
            yield Cell(row, key, attribute, value, f"{label}: {value}")
