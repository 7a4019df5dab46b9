"""What `standings --landing` and `--between` print: what moved, how sure it is, and why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from rating.cli.shared import printing
from rating.cli.shown import cells
from rating.doubt.landing import Landing, Move, paragraph, told_between
from rating.doubt.levels import percent_text


def landing(landed: Landing, *, season: str) -> None:
    """Print what a release changed when it landed."""
    came = f"came out on {landed.day}" if landed.day else "has no release date yet"
    early = ", before it was out" if landed.day > landed.reviewed_on else ""
    printing.paragraph(
        f"{season}: {landed.title} {came}. It entered the standings with its review of "
        f"{landed.reviewed_on}{early}."
    )
    printing.say()
    _table(landed.rows, landed=True)
    printing.say()
    printing.paragraph(paragraph(landed))


def between(moves: tuple[Move, ...], *, season: str, start: str, end: str) -> None:
    """Print what moved from one day to another."""
    printing.say(f"{season}, from {start} to {end}")
    printing.say()
    _table(moves)
    printing.say()
    printing.paragraph(told_between(moves, start, end))


def _table(moves: Sequence[Move], *, landed: bool = False) -> None:
    shared = Counter(move.after for move in moves)
    headers: tuple[str, ...] = ("place", "was", "moved", "grade", "grade was", "release")
    rows: list[tuple[object, ...]] = [
        (
            _place(move.after, is_shared=shared[move.after] > 1),
            move.before or "",
            "new" if move.before is None and move.after else cells.change(move.moved),
            cells.grade(move.grade),
            "" if move.grade_before == move.grade else cells.grade(move.grade_before),
        )
        for move in moves
    ]
    if landed:
        rows = [(*row, _percent(move.win_share), _firm(move)) for row, move in zip(rows, moves, strict=True)]
        headers = (*headers, "behind it in", "firm")
    cells.of_releases(headers, rows, moves, right="place|was|moved|grade|grade was|behind it in")


def _place(place: int | None, *, is_shared: bool) -> str:
    return "" if place is None else f"={place}" if is_shared else str(place)


def _percent(share: float | None) -> str:
    return "" if share is None else percent_text(share)


def _firm(move: Move) -> str:
    return "" if move.is_firm is None else "yes" if move.is_firm else "no"
