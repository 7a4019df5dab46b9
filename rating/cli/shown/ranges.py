"""What `standings --ranges` prints: how sure each place is."""

from __future__ import annotations

from datetime import date

from rating import text
from rating.cli.shared import printing
from rating.cli.shown import cells
from rating.doubt.levels import percent_text
from rating.doubt.ranges import Ranges, basis, least_sure, together


def show(drawn: Ranges, *, season: str, day: date) -> None:
    """Print the range of each place on a day, by itself and at once with all others, and which is firm."""
    printing.say(f"{season}, as of {day.isoformat()}: how sure the places are")
    printing.say()
    cells.of_releases(
        ("place", "each", "at once", "kept", "firm", "expected", "first in", "release"),
        [
            (
                row.place,
                _range(row.low, row.high),
                _range(row.low_at_once, row.high_at_once),
                percent_text(row.kept),
                "yes" if row.is_firm else "no",
                f"{row.expected:.1f}",
                percent_text(row.shares[0]) if row.shares[0] else "",
            )
            for row in drawn.rows
        ],
        drawn.rows,
        right="place|each|at once|kept|expected|first in",
    )
    printing.say()
    firm = sum(row.is_firm for row in drawn.rows)
    printing.paragraph(
        f"{firm} of {text.count(len(drawn.rows), 'place')} {'is' if firm == 1 else 'are'} firm: kept in at "
        f"least nine of ten simulations. {together(drawn)}"
    )
    printing.paragraph(f"{least_sure(drawn)} {basis(drawn)}")


def _range(low: int, high: int) -> str:
    return f"{low}" if low == high else f"{low} to {high}"
