"""Printing what a person is shown of the facts, fitted to the page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rating.cli.shared import printing, tables

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from rating.facts.blocks import Block, Listing


def show_blocks(blocks: Iterable[Block]) -> None:
    """Print tables and sentences, one after the other."""
    for one in blocks:
        if isinstance(one, str):
            printing.paragraph(one)
        else:
            _listing(one)


def _listing(one: Listing) -> None:
    rows = [line for row in one.rows for line in _lines(row, one)]
    spare = () if tables.fits(one.headers, rows) else one.spare
    kept = [name for name in one.headers if name not in spare]
    places = [one.headers.index(name) for name in kept]
    tables.table(kept, [[row[place] for place in places] for row in rows], right=one.right)


def _lines(row: Sequence[object], shown: Listing) -> list[tuple[str, ...]]:
    """A row with its cells cut and wrapped to their widths, as one row a line."""
    import textwrap

    wrapped = []
    for name, cell in zip(shown.headers, row, strict=True):
        words = "" if cell is None else str(cell)
        if name in shown.cut:
            words = tables.shorten(words, shown.cut[name])
        width = shown.wrap.get(name)
        wrapped.append(
            [words] if width is None else textwrap.wrap(words, width, break_on_hyphens=False) or [""]
        )
    height = max(map(len, wrapped))
    return list(zip(*(lines + [""] * (height - len(lines)) for lines in wrapped), strict=True))
