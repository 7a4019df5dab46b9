"""boxwright ledger export: every review as a line of JSON."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rating.cli.shared import opening, options, printing


def export(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The file to write, such as ledger.jsonl.")],
    to: options.To = "",
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Write the ledger as lines of JSON, a review a line, from which it can be made again byte for byte.

    Example: boxwright ledger export ledger.jsonl
    """
    from datetime import UTC, datetime

    from rating import text
    from rating.answers import ledger as answers
    from rating.cli.export import handing
    from rating.season import handed, keeping
    from rating.season.folder import shown_paths

    season = opening.opened(season_folder, today)
    receiver, now = handed.receiver(to), datetime.now(UTC)
    handed.hold_ready(season.path)
    done = keeping.export(season.files, file)
    handing.log_ledger(season, file, to=receiver, now=now, head=done.head, reviews=done.reviews)
    handing.remark_embargo(season)
    shown = shown_paths([file], Path.cwd())
    if as_json:
        printing.data(answers.exported(shown[0], done.reviews, done.head))
        return
    printing.wrote(shown)
    printing.say(f"It holds {text.count(done.reviews, 'review')}.")
    handing.say_head(done.head, done.reviews)
