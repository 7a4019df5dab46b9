"""boxwright doctor: whether all is well with the program, the season and what lies around it."""

from __future__ import annotations

import os
from pathlib import Path

import typer

from rating.cli.shared import options, printing


def doctor(
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Look at versions, the season found, today and why, the ledger, and copies that lie about.

    Ends with 1 where something is wrong.

    Example: boxwright doctor
    """
    from rating.answers import health as answers
    from rating.season import health

    found = list(health.findings(season_folder, today or "", here=Path.cwd(), environment=os.environ))
    is_wrong = any(one.state == "wrong" for one in found)
    if as_json:
        printing.data(answers.health(found))
    else:
        for one in found:
            state = {"fine": "ok", "look": "look", "wrong": "WRONG"}[one.state]
            printing.wrapped(f"{state:<6}{one.about}: {one.what}")
            if one.fix:
                printing.wrapped(f"      fix: {one.fix}")
    if is_wrong:
        raise typer.Exit(1)
