"""The reminder that goes with a release of which nothing may be shown yet."""

from __future__ import annotations

from rating.cli.shared import printing
from rating.season.season import Season


def remind(season: Season, release: str) -> None:
    """Print until when a release is under embargo; nothing where it is not."""
    if (end := season.held_back().get(release)) is not None:
        printing.paragraph(
            f"Under embargo until {end.isoformat()}: do not show it or talk about it before then."
        )
