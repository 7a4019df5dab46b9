"""boxwright ledger export: every review as a line of JSON."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rating.cli.shared import opening, options, printing


def export(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The file to write, such as ledger.jsonl.")],
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Write the ledger as lines of JSON, a review a line, from which it can be made again byte for byte.

    Example: boxwright ledger export ledger.jsonl
    """
    from rating import text
    from rating.answers import ledger as answers
    from rating.season import keeping
    from rating.season.folder import shown_paths

    season = opening.opened(season_folder, today)
    number = keeping.export(season.files, file)
    shown = shown_paths([file], Path.cwd())
    if as_json:
        printing.data(answers.exported(shown[0], number))
        return
    printing.wrote(shown)
    printing.say(f"It holds {text.count(number, 'review')}.")
