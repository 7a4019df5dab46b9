"""boxwright ledger backup: a copy of the ledger, looked over and dated."""

from __future__ import annotations

from rating.cli.shared import opening, options, printing


def backup(
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Copy the ledger into backups/, look the copy over, and keep the last ten.

    How many are kept stands in season.toml, as keep under [ledger].

    Example: boxwright ledger backup
    """
    from datetime import UTC, datetime
    from pathlib import Path

    from rating import text
    from rating.answers import ledger as answers
    from rating.season import keeping
    from rating.season.folder import shown_paths

    season = opening.opened(season_folder, today)
    made = keeping.back_up(season.files, now=datetime.now(UTC))
    (shown, *gone) = shown_paths([made.path, *made.gone], Path.cwd())
    if as_json:
        printing.data(answers.backed_up(shown, made.reviews, gone))
        return
    printing.wrote([shown])
    printing.say(f"It holds {text.count(made.reviews, 'review')}, each unaltered.")
    if gone:
        printing.say(f"{text.count(len(gone), 'older backup')} went, the last {season.config.keep} are kept.")
