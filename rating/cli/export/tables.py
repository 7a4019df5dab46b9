"""boxwright export tables: standings, scores and reasons for other programs and for pages."""

from __future__ import annotations

from typing import Annotated

import typer

from rating.cli.export import handing
from rating.cli.shared import opening, options, refusing


def tables(
    form: Annotated[str, typer.Option("--format", metavar="FORMAT", help="csv, json or md.")] = "csv",
    into: options.Into = None,
    to: options.To = "",
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Standings, scores and reasons as plain tables.

    Example: boxwright export tables --format md

    Example: boxwright export tables --to "Ada, for the show notes"
    """
    from rating.export.tables import write_tables

    forms = ("csv", "json", "md")
    refusing.hold_to(forms, form, "format", where="--format")
    season = opening.opened(season_folder, today)
    handing.hand_out(season, into, lambda folder: write_tables(season, folder, form), to=to, as_json=as_json)
