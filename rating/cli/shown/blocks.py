"""Printing what a person is shown of the facts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rating.cli.shared import printing, tables

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rating.facts.blocks import Block


def show_blocks(blocks: Iterable[Block]) -> None:
    """Print tables and sentences, one after the other."""
    for one in blocks:
        if isinstance(one, str):
            printing.paragraph(one)
        else:
            tables.table(one.headers, one.rows, right=one.right, spare=one.spare)
