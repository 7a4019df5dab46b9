"""boxwright ledger merge: the reviews of another copy of this ledger."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rating.cli.ledger import joining
from rating.cli.shared import opening, options


def merge(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="Another copy: a database, or what 'export' wrote.")
    ],
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Add the reviews that only another copy of this ledger has: a co-host's, or one a sync program left.

    Example: boxwright ledger merge "ledger (conflicted copy).db"
    """
    from rating.season import keeping

    season = opening.opened(season_folder, today)
    joining.told(keeping.merge(season.files, file), file, as_json=as_json)
