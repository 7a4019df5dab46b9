"""boxwright why: the difference of two grades, criterion by criterion, and what would turn it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing, refusing

if TYPE_CHECKING:
    from rating.season.season import Season


def why(
    release: options.Release,
    other: Annotated[str, typer.Argument(metavar="RELEASE", help="The one to compare it with.")],
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Why one grade is above another: what each criterion brings, the reasons, and what would turn it.

    Example: boxwright why halyard vellum-night
    """
    from rating.answers import why as answers
    from rating.cli.shown import why as shown
    from rating.doubt import why as comparing
    from rating.errors import RatingError

    season = opening.opened(season_folder, today)
    opening.need_ledger(season)
    table = season.table()
    for name in (release, other):
        refusing.hold_to(list(table.places()), name, "ranked release", where="RELEASE")
    if release == other:
        raise RatingError(f"{release} is named twice", where="RELEASE", fix="name two releases")
    found = comparing.why(table, release, other)
    reasons = {name: _reasons(season, name) for name in (release, other)}
    if as_json:
        printing.data(answers.why(found, season=season.config.name, reasons=reasons))
        return
    shown.show(found, table, reasons)
    if table.restated:
        printing.say()
        printing.paragraph(table.restated)


def _reasons(season: Season, release: str) -> dict[str, str]:
    """Why each score of a release's current review is what it is, and why one is missing."""
    review = season.recorded.ledger.review(season.recorded.current[release].id)
    why_not = {one.criterion: one.why for one in (*review.unknown, *review.not_applicable)}
    return why_not | {score.criterion: score.reason for score in review.scores}
