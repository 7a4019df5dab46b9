"""boxwright check: every problem at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rating.errors import Problem

# of more problems alike so many are shown
_EXAMPLES = 3


def check(
    release: Annotated[
        str, typer.Argument(metavar="[RELEASE]", help="One release; without it the whole season.")
    ] = "",
    repair: Annotated[
        bool, typer.Option("--repair", help="Put back leading zeros that a spreadsheet program dropped.")
    ] = False,
    every: Annotated[bool, typer.Option("--all", help="Each problem, also where many are alike.")] = False,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Look for everything that is wrong, with its place and how to fix it.

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
        if every:
            printing.problems(found)
        else:
            _grouped(found)
        if found:
            printing.say()
        remarks = len(found) - len(errors)
        printing.say(
            f"{text.count(len(errors), 'error')}, {text.count(remarks, 'remark')}: "
            + ("fix the errors before you grade." if errors else "nothing stands in the way of a grade.")
        )
    if errors:
        raise typer.Exit(1)


def _grouped(found: Sequence[Problem]) -> None:
    """Errors, then remarks; many of one kind in one file are told together, by a few of them."""
    groups: dict[tuple[str, str, str], list[Problem]] = {}
    for one in sorted(found, key=lambda one: one.severity == "remark"):
        groups.setdefault((one.severity, one.code, one.file), []).append(one)
    for (severity, code, file), alike in groups.items():
        if len(alike) <= _EXAMPLES:
            printing.problems(alike)
            continue
        printing.say(f"{severity}: {len(alike):,} alike in {file or 'the season'} [{code}]")
        for one in alike[:_EXAMPLES]:
            printing.say(f"  {one.place}: {one.what}" if one.place else f"  {one.what}")
        printing.say(f"  and {len(alike) - _EXAMPLES:,} more, with --all")
        fixes = dict.fromkeys(one.fix for one in alike if one.fix)
        if fixes:
            printing.say(f"  fix: {next(iter(fixes))}{'; and so on' if len(fixes) > 1 else ''}")
