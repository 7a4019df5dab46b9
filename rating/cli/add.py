"""boxwright add: a new release."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rating.cli import common


def add(
    release: common.Release,
    title: Annotated[str, typer.Option("--title", help="Its full title. [default: made from the name]")] = "",
    season_folder: common.SeasonFolder = None,
    as_json: common.AsJson = False,
) -> None:
    """Add a release to the season, with commented templates.

    Example: boxwright add deep-harbour --title "Marlow 2031 Deep Harbour"
    """
    from rating.season import folder as folders

    season = folders.find(season_folder, here=Path.cwd(), environment=folders.default_environment())
    written = folders.add(season, release, title=title or release.replace("-", " ").title())
    shown = folders.shown_paths(written, Path.cwd())
    if as_json:
        common.data({"release": release, "written": shown})
        return
    common.wrote(shown)
    common.say()
    common.say("Next: fill in release.toml, put checklist.csv, parallels.csv and odds.csv beside it, then")
    common.say(f"  boxwright check {release}")
    common.say(f"  boxwright facts {release}")
    common.say(f"  boxwright grade {release} --ask")
