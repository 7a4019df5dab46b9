"""Opening the season that a command works on."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rating.cli.shared import printing

if TYPE_CHECKING:
    from rating.season.season import Season


def opened(given: Path | None, today: str | None) -> Season:
    """The season that a command works on."""
    from rating.season import folder
    from rating.season.days import day_from
    from rating.season.season import Season

    path = folder.find(given, here=Path.cwd(), environment=folder.default_environment())
    day = day_from(today, where="--today") if today else None
    return Season.open(path, today=day, say=printing.remark)


def need_ledger(season: Season) -> None:
    """Refuse to go on where nothing was recorded yet."""
    season.recorded.ledger.need()


def not_counted(season: Season) -> None:
    """Remark which releases' sales do not count towards who is wanted."""
    for slug, what in season.sales_left_out.items():
        printing.remark(
            f"The sales of {slug} do not count towards who is wanted: {what}. "
            f"'boxwright check {slug}' says more."
        )
