"""Tables for the terminal, fitted to the room there is without cutting anything."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import typer

from rating import text
from rating.cli.shared import printing, screen

# a column of words is wrapped to no less than its heading and its longest word, of which this much counts
_LONGEST_WORD = 18
_BETWEEN = 2


def table(
    headers: Sequence[str], rows: Iterable[Sequence[Any]], *, right: str = "", spare: Sequence[str] = ()
) -> None:
    """Print a table no wider than the screen.

    What is too wide leaves out spare columns, and says so under itself; then words are wrapped. Where that is
    not enough, each row becomes lines of its own, its headings before its cells.

    Parameters
    ----------
    right : the columns that hold numbers, by their headers parted by |
    spare : the columns that may be left out, the first to go first
    """
    shown = [[_cell(cell) for cell in row] for row in rows]
    if not shown:
        printing.say("(none)")
        return
    names, numbers, room = list(headers), set(right.split("|")), screen.columns()
    left_out = []
    for name in spare:
        if room is None or _total(_widths(names, shown)) <= room:
            break
        place = names.index(name)
        left_out.append(names.pop(place))
        for row in shown:
            row.pop(place)
    words = [i for i, name in enumerate(names) if name not in numbers]
    if room is not None and not _wrap(names, shown, words, room):
        _as_lines(names, shown)
    else:
        typer.echo(_drawn(names, shown, words))
    if left_out:
        printing.say(f"A wider window also shows: {', '.join(name for name in headers if name in left_out)}.")


def width(headers: Sequence[str], rows: Sequence[Sequence[Any]]) -> int:
    """The columns that a table takes where nothing of it is wrapped."""
    return _total(_widths(headers, [[_cell(cell) for cell in row] for row in rows]))


def _wrap(names: Sequence[str], rows: Sequence[list[str]], words: Sequence[int], room: int) -> bool:
    """Wrap words in place, the widest column first, until a table fits; False where it cannot."""
    widths = _widths(names, rows)
    least = {i: max(len(names[i]), *(_longest(row[i]) for row in rows)) for i in words}
    while _total(widths) > room:
        can = [i for i in words if widths[i] > least[i]]
        if not can:
            return False
        widths[max(can, key=lambda i: widths[i])] -= 1
    for row in rows:
        for i in words:
            row[i] = "\n".join(_broken(row[i], widths[i]))
    return True


def _broken(cell: str, width: int) -> list[str]:
    import textwrap

    return textwrap.wrap(cell, width, break_on_hyphens=False)


def _longest(cell: str) -> int:
    return min(_LONGEST_WORD, max(map(len, cell.split()), default=0))


def _drawn(names: Sequence[str], rows: Sequence[Sequence[str]], words: Sequence[int]) -> str:
    import tabulate

    tabulate.MIN_PADDING = 0  # two more blanks for each column are too many
    align = ["left" if i in words else "right" for i in range(len(names))]
    lines = tabulate.tabulate(rows, headers=names, tablefmt="simple", disable_numparse=True, colalign=align)
    return "\n".join(line.rstrip() for line in lines.split("\n"))


def _as_lines(names: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Each row by its first cell, under it what else it holds."""
    for first, *rest in rows:
        printing.say(first)
        told = (f"{name} {cell}" for name, cell in zip(names[1:], rest, strict=True) if cell)
        printing.paragraph(", ".join(told), indent="  ")


def _widths(names: Sequence[str], rows: Sequence[Sequence[str]]) -> list[int]:
    return [max([len(name), *(len(row[i]) for row in rows)]) for i, name in enumerate(names)]


def _total(widths: Sequence[int]) -> int:
    return sum(widths) + _BETWEEN * (len(widths) - 1)


def _cell(cell: Any) -> str:
    return "" if cell is None else text.printable(str(cell))
