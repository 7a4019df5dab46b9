"""Rows as grids of their own, with what is known of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rating.release.intake.values import Grid, Row


def part(
    grid: Grid, rows: Sequence[Row], *, kind: str, roles: Sequence[str] = (), why: str = ""
) -> list[Grid]:
    """Some rows of a sheet as a grid of one kind, nothing where there are none."""
    if not rows:
        return []
    return [
        replace(
            grid,
            rows=tuple(rows),
            last=len({row.number for row in rows}),
            spans=(),
            problems=(),
            roles=tuple(enumerate(roles)),
            kind=kind,
            why=why,
        )
    ]
