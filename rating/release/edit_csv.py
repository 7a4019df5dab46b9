"""Rows put into a person's CSV file, or changed in it, with everything else kept as it was written.

Kept are the order of the columns, line ends, a byte order mark, quotes around every cell where the header has
them, and every row that is not changed, to the byte.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from rating import text
from rating.errors import RatingError, refuse_if_any
from rating.release import lock
from rating.release.csv_file import read_text
from rating.release.swap import write_whole
from rating.release.tables import Table

Cells = Mapping[str, str]
_LINES = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+\Z")
_MARK = "\ufeff"


def _unchanged(cells: Cells) -> Cells:
    return cells


class Edit(NamedTuple):
    """Rows to add, and what is made of each row that is there."""

    added: Sequence[Cells]
    change: Callable[[Cells], Cells] = _unchanged


def in_table(folder: Path, table: Table[Any], *, shown: str, edit: Callable[[Sequence[Any]], Edit]) -> Any:
    """Edit a table of a folder in one step, under the folder's lock; gives its rows as they are then.

    Parameters
    ----------
    shown : how a message names the file
    edit : says what to do, given the rows as they are

    Raises
    ------
    RatingError
        what `edit` raises, and if the file has errors, before or after, or cannot be written; then nothing is
    """
    path = folder / table.file
    with lock.held(folder, what="command that writes files"):
        content = read_text(path, file=shown) if path.exists() else table.to_text(())
        mark = _MARK if path.exists() and path.read_bytes().startswith(_MARK.encode()) else ""
        rows, problems = table.parse(content, file=shown)
        refuse_if_any(problems)
        added, change = edit(rows)
        written = edited(mark + content, file=shown, added=added, change=change)
        again, problems = table.parse(written.removeprefix(mark), file=shown)
        refuse_if_any(problems)
        write_whole(path, written.encode())
    return again


def edited(
    content: str, *, file: str, added: Sequence[Cells], change: Callable[[Cells], Cells] = _unchanged
) -> str:
    """The text of a CSV file with rows changed and added.

    Parameters
    ----------
    content : the text as it is, with its byte order mark where it has one
    file : how a message names it
    added : new rows by the names of their columns; what is blank needs no column
    change : gives a row as it should be, or as it was

    Raises
    ------
    RatingError
        if a value has no column in the file
    """
    mark, body = (_MARK, content[1:]) if content.startswith(_MARK) else ("", content)
    header, *rows = _records(body)
    names = [text.key(name) for name in header[1]]
    end = "\r\n" if header[0].endswith("\r\n") else "\r" if header[0].endswith("\r") else "\n"
    has_quotes = header[0].lstrip().startswith('"')

    def line(cells: Cells) -> str:
        _hold_columns(cells, names, file)
        out = io.StringIO(newline="")
        row = [text.tidy(cells.get(name, "")) for name in names]
        writer = csv.writer(
            out, lineterminator=end, quoting=csv.QUOTE_ALL if has_quotes else csv.QUOTE_MINIMAL
        )
        writer.writerow(row)
        return out.getvalue()

    written = [_ended(header[0], end)]
    for raw, found in rows:
        cells = dict(zip(names, found, strict=False))
        new = change(cells) if len(found) == len(names) else cells
        written.append(_ended(raw, end) if new == cells else line(new))
    written += map(line, added)
    return mark + "".join(written)


def _records(body: str) -> list[tuple[str, list[str]]]:
    """Each record of a CSV text, blank ones too: as it is written, and its cells."""
    lines = _LINES.findall(body)
    found, begun = [], 0
    reader = csv.reader(iter(lines))
    for cells in reader:
        found.append(("".join(lines[begun : reader.line_num]), cells))
        begun = reader.line_num
    return found


def _ended(raw: str, end: str) -> str:
    return raw if raw.endswith(("\r", "\n")) else raw + end


def _hold_columns(cells: Cells, names: Sequence[str], file: str) -> None:
    missing = [name for name, cell in cells.items() if cell and name not in names]
    if missing:
        raise RatingError(
            f"the file has no column {text.listed(missing)}",
            where=f"{file}, line 1",
            fix=f"add {text.listed(missing)} to its header, with a blank cell in each row",
        )
