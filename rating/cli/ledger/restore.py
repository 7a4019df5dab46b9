"""boxwright ledger restore: a backup in the place of the ledger."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rating.cli.shared import opening, options, printing


def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A backup, or another copy of the ledger.")],
    even_if_lost: Annotated[
        bool,
        typer.Option("--even-if-lost", help="Put it in place though it lacks reviews that the ledger has."),
    ] = False,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Put a sound copy in the place of the ledger; the earlier ledger is copied aside.

    Example: boxwright ledger restore backups/ledger-20310715T200000Z.db
    """
    from rating import text
    from rating.answers import ledger as answers
    from rating.season import keeping

    season = opening.opened(season_folder, today)
    done = keeping.restore(season.files, file, even_if_lost=even_if_lost)
    aside = done.aside.name if done.aside else None
    if as_json:
        printing.data(answers.restored(done.reviews, done.lost, aside, lost_notes=done.lost_notes))
        return
    printing.say(f"The ledger holds {text.count(done.reviews, 'review')}, as {file.name} does.")
    if done.lost:
        lacks = text.count(
            len(done.lost), "review of the earlier ledger is", "reviews of the earlier ledger are"
        )
        printing.say(f"{lacks} missing from it.")
    if done.lost_notes:
        lacks = text.count(
            len(done.lost_notes), "note of the earlier ledger is", "notes of the earlier ledger are"
        )
        printing.say(f"{lacks} missing from it.")
    if aside:
        printing.say(f"The earlier ledger is now {aside}.")
