"""boxwright start: a new season."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rating.cli.shared import options, printing


def start(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="The folder to make.")],
    name: Annotated[str, typer.Option("--name", help="The season's name. [default: the folder's]")] = "",
    as_json: options.AsJson = False,
) -> None:
    """Make a season folder with commented templates.

    Example: boxwright start my-season --name "Harbour league 2031"
    """
    from rating.answers import files
    from rating.season import folder as folders

    written = folders.start(folder, name=name or folder.resolve().name)
    shown = folders.shown_paths(written, Path.cwd())
    if as_json:
        printing.data(files.started(str(folder), shown))
        return
    printing.wrote(shown)
