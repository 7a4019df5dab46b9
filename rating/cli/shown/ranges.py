"""What `standings --ranges` prints: how sure each place is."""

from __future__ import annotations

from datetime import date

from rating.cli.shared import printing, tables
from rating.cli.shown import cells
from rating.doubt.ranges import Range, Ranges, basis, least_sure, percent_text


def show(drawn: Ranges, *, season: str, day: date) -> None:
    """Print the range of each place on a day, and which is least sure."""
    names = cells.names(drawn.rows)
    printing.say(f"{season}, as of {day.isoformat()}: how sure the places are")
    printing.say()
    tables.table(
        ("place", "range", "expected", "release", "first in", "before the next in"),
        [
            (
                row.place,
                _range(row),
                f"{row.expected:.1f}",
                tables.shorten(names[row.release], 40),
                percent_text(row.shares[0]),
                percent_text(float(drawn.wins[i, i + 1])) if i + 1 < len(drawn.rows) else "",
            )
            for i, row in enumerate(drawn.rows)
        ],
        right="place|range|expected|first in|before the next in",
    )
    printing.say()
    printing.paragraph(f"{least_sure(drawn)} {basis(drawn)}")


def _range(row: Range) -> str:
    return f"{row.low}" if row.low == row.high else f"{row.low} to {row.high}"
