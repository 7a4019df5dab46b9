"""boxwright ledger note: why a review came about, or changed, said afterwards."""

from __future__ import annotations

from typing import Annotated

import typer

from rating.cli.shared import opening, options, printing


def note(
    review: options.Review,
    because: Annotated[str, typer.Option("--because", metavar="TEXT", help="What is to be kept with it.")],
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Keep beside a recorded review what you only say of it now; the review itself stays as it is.

    Example: boxwright ledger note halyard --because "The second box was a replacement."
    """
    from datetime import UTC, datetime

    from rating.answers import ledger as answers
    from rating.season import amending

    season = opening.opened(season_folder, today)
    opening.need_ledger(season)
    entry = amending.named(season.recorded, review)
    says = amending.sentence(because, where="--because")
    kept = amending.note(
        season.recorded, entry, says=says, season_id=season.config.season_id, now=datetime.now(UTC)
    )
    if as_json:
        printing.data(answers.noted(entry.release, kept))
        return
    printing.paragraph(
        f"Kept beside the review {entry.id[:12]} of {entry.title}, published on {entry.published_on}."
    )
