"""Tables for the terminal, cut to the width of the page."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import typer

from rating import text
from rating.cli.shared.printing import WIDTH

# words cut further say nothing
_LEAST_WORDS = 8


def table(headers: Sequence[str], rows: Iterable[Sequence[Any]], *, right: str = "") -> None:
    """Print a table. `right` names the columns that hold numbers, by their headers parted by |."""
    import tabulate

    tabulate.MIN_PADDING = 0  # a page is 100 columns wide; two more blanks for each column are too many
    numbers = set(right.split("|"))
    shown = _fitted([[_cell(cell) for cell in row] for row in rows], headers, numbers)
    align = ["right" if name in numbers else "left" for name in headers]
    lines = tabulate.tabulate(
        shown, headers=headers, tablefmt="simple", disable_numparse=True, colalign=align
    )
    typer.echo("\n".join(line.rstrip() for line in lines.split("\n")) if shown else "(none)")


def fits(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> bool:
    """Whether the page holds a table of which nothing is cut."""
    return not _is_too_wide(_widths(headers, rows))


def shorten(words: str, width: int) -> str:
    """Words cut to a width, with an ellipsis where something was left out."""
    return words if len(words) <= width else words[: width - 1].rstrip() + "…"


def _fitted(rows: list[list[str]], headers: Sequence[str], numbers: set[str]) -> list[list[str]]:
    """The rows cut so that the page holds them: the widest words first, numbers never."""
    widths = _widths(headers, rows)
    words = [i for i, name in enumerate(headers) if name not in numbers]
    while _is_too_wide(widths):
        widest = max(words, key=lambda i: widths[i] - len(headers[i]), default=None)
        if widest is None or widths[widest] <= max(len(headers[widest]), _LEAST_WORDS):
            break
        widths[widest] -= 1
    return [[shorten(cell, widths[i]) if i in words else cell for i, cell in enumerate(row)] for row in rows]


def _widths(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> list[int]:
    return [max(len(name), *(len(row[i]) for row in rows), 0) for i, name in enumerate(headers)]


def _is_too_wide(widths: Sequence[int]) -> bool:
    return sum(widths) + 2 * (len(widths) - 1) > WIDTH


def _cell(cell: Any) -> str:
    return "" if cell is None else text.printable(str(cell))
