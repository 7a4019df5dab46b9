"""boxwright ledger withdraw: a release out of the standings, its reviews kept."""

from __future__ import annotations

from typing import Annotated

import typer

from rating.cli.shared import opening, options, printing


def withdraw(
    release: options.Release,
    reason: Annotated[str, typer.Option("--reason", help="Why, in a sentence that is kept.")],
    on: Annotated[str, typer.Option("--on", metavar="DATE", help="The day. [default: today]")] = "",
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Take a release out of the standings; its reviews stay in the ledger.

    Example: boxwright ledger withdraw halyard --reason "The boxes were searched; a new review follows."
    """
    from datetime import UTC, datetime

    from rating.answers import ledger as answers
    from rating.season.days import day_from

    season = opening.opened(season_folder, today)
    day = day_from(on, where="--on") if on else season.today
    stored = season.withdraw(release, reason=reason, on=day, now=datetime.now(UTC))
    if as_json:
        printing.data(answers.withdrawn(release, published_on=stored.published_on))
    else:
        printing.say(f"{stored.title} is withdrawn as of {stored.published_on}; it has left the standings.")
