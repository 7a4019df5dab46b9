"""Rows put into a person's CSV file, or changed in it, with everything else kept as it was written.

Kept are the order of the columns, line ends, a byte order mark, quotes around every cell where the header has
them, and every row that is not changed, to the byte.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Mapping, Sequence

from rating import text
from rating.errors import RatingError

Cells = Mapping[str, str]
_LINES = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+\Z")
_MARK = "\ufeff"


def edited(
    content: str, *, file: str, added: Sequence[Cells], change: Callable[[Cells], Cells] = lambda cells: cells
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
