"""boxwright check: every problem at once."""

from __future__ import annotations

from typing import Annotated

import typer

from rating.cli import common


def check(
    release: Annotated[
        str, typer.Argument(metavar="[RELEASE]", help="One release; without it the whole season.")
    ] = "",
    repair: Annotated[
        bool, typer.Option("--repair", help="Put back leading zeros that a spreadsheet program dropped.")
    ] = False,
    season_folder: common.SeasonFolder = None,
    as_json: common.AsJson = False,
    today: common.Today = None,
) -> None:
    """Look for everything that is wrong, with its place and how to mend it.

    Ends with 1 where there is an error; remarks are worth a look and may be right.

    Example: boxwright check halyard
    """
    from rating import text
    from rating.errors import RatingError, errors_in
    from rating.season import check as checking

    season = common.opened(season_folder, today)
    if repair:
        if not release:
            raise RatingError("--repair needs a release", fix="run 'boxwright check RELEASE --repair'")
        for line in checking.repair(season, release) or ["nothing to repair"]:
            common.remark(line)
        season = common.opened(season_folder, today)
    found = checking.check(season, release)
    errors = errors_in(found)
    if as_json:
        names = ("code", "severity", "file", "sheet", "row", "what", "fix")
        common.data({"problems": [{name: getattr(one, name) for name in names} for one in found]})
    else:
        common.problems(found)
        if found:
            common.say()
        remarks = len(found) - len(errors)
        common.say(
            f"{text.count(len(errors), 'error')}, {text.count(remarks, 'remark')}: "
            + ("mend the errors before you grade." if errors else "nothing stands in the way of a grade.")
        )
    if errors:
        raise typer.Exit(1)
