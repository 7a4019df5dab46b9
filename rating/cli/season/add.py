"""boxwright add: a new release."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rating.cli.shared import options, printing


def add(
    release: options.Release,
    title: Annotated[str, typer.Option("--title", help="Its full title. [default: made from the name]")] = "",
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
) -> None:
    """Add a release to the season, with commented templates.

    Example: boxwright add deep-harbour --title "Marlow 2031 Deep Harbour"
    """
    from rating.answers import files
    from rating.season import folder as folders

    season = folders.find(season_folder, here=Path.cwd(), environment=folders.default_environment())
    written = folders.add(season, release, title=title or release.replace("-", " ").title())
    shown = folders.shown_paths(written, Path.cwd())
    if as_json:
        printing.data(files.added(release, shown))
        return
    printing.wrote(shown)
    printing.say()
    printing.paragraph("Fill in release.toml, and put checklist.csv, parallels.csv and odds.csv beside it.")
