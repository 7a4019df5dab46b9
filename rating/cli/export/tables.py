"""boxwright export tables: standings, scores and reasons for other programs and for pages."""

from __future__ import annotations

from typing import Annotated

import typer

from rating.cli.export import handing
from rating.cli.shared import opening, options, refusing


def tables(
    form: Annotated[str, typer.Option("--format", metavar="FORMAT", help="csv, json or md.")] = "csv",
    into: options.Into = None,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Standings, scores and reasons as plain tables.

    Example: boxwright export tables --format md
    """
    from rating.export.tables import write_tables

    forms = ("csv", "json", "md")
    refusing.hold_to(forms, form, "format", where="--format")
    season = opening.opened(season_folder, today)
    paths = write_tables(season, handing.folder(season, into), form)
    handing.told(season, list(paths), as_json=as_json)
