"""boxwright ledger import: a ledger from exported lines."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rating.cli.ledger import joining
from rating.cli.shared import opening, options


def take_over(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="What 'boxwright ledger export' wrote.")],
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Begin the ledger of this season from exported lines, where there is none yet.

    Example: boxwright ledger import ledger.jsonl
    """
    from rating.season import keeping

    season = opening.opened(season_folder, today)
    joining.told(keeping.take_over(season.files, file), file, as_json=as_json)
