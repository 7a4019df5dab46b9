"""boxwright tonight: what is left to do before the next recording."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rating.season.tonight import Due, Need, Tonight


def tonight(
    days: Annotated[
        int, typer.Option("--days", metavar="N", help="Releases that come out within so many days.")
    ] = 14,
    whole: Annotated[
        bool,
        typer.Option("--whole", help="Grade each reviewed release again, to find whatever else has changed."),
    ] = False,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """What is left to do: what each release that is due still lacks, and where files outran a review.

    Each line ends with the command that settles it.

    Example: boxwright tonight

    Example: boxwright tonight --days 30
    """
    from rating.answers import tonight as answers
    from rating.season import tonight as looking

    season = opening.opened(season_folder, today)
    found = looking.tonight(season, days=days, whole=whole)
    if as_json:
        printing.data(answers.tonight(found, season=season.config.name))
        return
    _show(found, season.config.name)


def _show(found: Tonight, name: str) -> None:
    from rating import text

    printing.say(f"{name}, {found.day.isoformat()}")
    if not (found.season or found.due or found.outrun):
        printing.paragraph(
            "Nothing is left to do: every release that is due is reviewed, and no file has changed."
        )
    if found.season:
        printing.heading("For all releases")
        _needs(found.season)
    for one in found.due:
        _due(one)
    if found.outrun:
        printing.heading("Their files have changed since the review")
    for one in found.outrun:
        printing.say(f"{one.title}, {one.why}")
        _needs(one.needs)
    if found.later:
        printing.say()
        coming = [f"{slug} on {day.isoformat()}" for slug, day in found.later]
        printing.paragraph(f"Later: {text.listed(coming)}.")


def _due(one: Due) -> None:
    printing.heading(one.title)
    printing.paragraph(f"{one.why.capitalize()}.")
    _needs(one.needs)


def _needs(needs: Sequence[Need]) -> None:
    for one in needs:
        printing.wrapped(f"- {one.what}: {one.settle}")
