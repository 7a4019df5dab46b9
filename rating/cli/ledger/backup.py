"""boxwright ledger backup: a copy of the ledger, looked over and dated."""

from __future__ import annotations

from rating.cli.shared import opening, options, printing


def backup(
    to: options.To = "",
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Copy the ledger into backups/, look the copy over, and keep the last ten.

    How many are kept stands in season.toml, as keep under [ledger].

    Example: boxwright ledger backup

    Example: boxwright ledger backup --to "Bo, for safe keeping"
    """
    from datetime import UTC, datetime
    from pathlib import Path

    from rating import text
    from rating.answers import ledger as answers
    from rating.cli.export import handing
    from rating.errors import RatingError
    from rating.season import handed, keeping
    from rating.season.folder import shown_paths

    season = opening.opened(season_folder, today)
    receiver, now = handed.receiver(to), datetime.now(UTC)
    if receiver:
        handed.hold_ready(season.path)
    made = keeping.back_up(season.files, now=now)
    try:
        handing.log_ledger(season, made.path, to=receiver, now=now, head=made.head, reviews=made.reviews)
    except RatingError as fault:
        if receiver:
            raise
        printing.remark(f"remark: {fault.where}: {fault.what}; the backup is made all the same")
    if receiver:
        handing.remark_embargo(season)
    (shown, *gone) = shown_paths([made.path, *made.gone], Path.cwd())
    if as_json:
        printing.data(answers.backed_up(shown, made.reviews, made.head, gone))
        return
    printing.wrote([shown])
    printing.say(f"It holds {text.count(made.reviews, 'review')}, each unaltered.")
    handing.say_head(made.head, made.reviews)
    if gone:
        printing.say(f"{text.count(len(gone), 'older backup')} went, the last {season.config.keep} are kept.")
