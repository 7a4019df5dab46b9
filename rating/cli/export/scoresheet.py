"""boxwright scoresheet: a workbook in which a co-host scores a release."""

from __future__ import annotations

from typing import Annotated

import typer

from rating.cli.export import handing
from rating.cli.shared import opening, options, printing, refusing


def scoresheet(
    release: options.Release,
    rater: Annotated[str, typer.Option("--rater", metavar="KEY", help="Who fills it in, by season.toml.")],
    is_open: Annotated[
        bool, typer.Option("--open", help="Show the host's scores and reasons, which are left out otherwise.")
    ] = False,
    into: options.Into = None,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """A workbook in which a co-host scores a release and says why, without seeing the host's scores.

    'boxwright take-in' reads it when it comes back.

    Example: boxwright scoresheet halyard --rater wren
    """
    from pathlib import Path

    from rating.answers import scoring as answers
    from rating.errors import RatingError
    from rating.export.score_sheet import write_score_sheet
    from rating.season.folder import shown_paths

    season = opening.opened(season_folder, today)
    refusing.hold_to(season.config.rater_keys, rater, "rater", where="--rater")
    until = season.held_back().get(release)
    if is_open and until is not None:
        raise RatingError(
            f"{release} is under embargo until {until.isoformat()}, and --open would show its grade",
            where="--open",
            fix="leave --open out",
        )
    path = handing.folder(season, into) / f"{release}-{rater}.xlsx"
    write_score_sheet(season, release, rater, path, is_open=is_open)
    shown = shown_paths([path], Path.cwd())
    if as_json:
        printing.data(answers.score_sheet(release, rater, shown[0], is_open=is_open))
        return
    printing.wrote(shown)
    if until is not None:
        printing.remark(
            f"remark: {release} is under embargo until {until.isoformat()}: ask that it be kept close"
        )
