"""boxwright check: every problem at once."""

from __future__ import annotations

from typing import Annotated

import typer

from rating.cli.shared import opening, options, printing


def check(
    release: Annotated[
        str, typer.Argument(metavar="[RELEASE]", help="One release; without it the whole season.")
    ] = "",
    repair: Annotated[
        bool, typer.Option("--repair", help="Put back leading zeros that a spreadsheet program dropped.")
    ] = False,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Look for everything that is wrong, with its place and how to mend it.

    Ends with 1 where there is an error; remarks are worth a look and may be right.

    Example: boxwright check halyard
    """
    from rating import text
    from rating.answers import files
    from rating.errors import RatingError, errors_in
    from rating.season import check as checking

    season = opening.opened(season_folder, today)
    if repair:
        if not release:
            raise RatingError("--repair needs a release", fix="run 'boxwright check RELEASE --repair'")
        for line in checking.repair(season, release) or ["nothing to repair"]:
            printing.remark(line)
        season = opening.opened(season_folder, today)
    found = checking.check(season, release)
    errors = errors_in(found)
    if as_json:
        printing.data(files.checked(found))
    else:
        printing.problems(found)
        if found:
            printing.say()
        remarks = len(found) - len(errors)
        printing.say(
            f"{text.count(len(errors), 'error')}, {text.count(remarks, 'remark')}: "
            + ("mend the errors before you grade." if errors else "nothing stands in the way of a grade.")
        )
    if errors:
        raise typer.Exit(1)
