"""boxwright ledger due: reviews that files have outrun, stages reached, provisional scores, no review."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import drawing, opening, options, printing

if TYPE_CHECKING:
    from rating.season.due import LedgerDue

_HEADINGS = (
    ("outrun", "The files say something other than the review"),
    ("stages", "A later stage has been reached"),
    ("provisional", "Scores that are provisional"),
    ("not_reviewed", "Out, and not reviewed"),
)


def due(
    quick: Annotated[
        bool,
        typer.Option("--quick", help="Grade nothing again: find only what has a day, a stage or a score."),
    ] = False,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """What the ledger waits for: reviews that their files have outrun, later stages, provisional scores.

    Each reviewed release is graded anew, so a checklist that was revised or a rate that was added shows too.

    Example: boxwright ledger due
    """
    from rating.answers import tonight as answers
    from rating.season import due as looking

    season = opening.opened(season_folder, today)
    with drawing.bar("grading again", len(season.recorded.current)) as progress:
        found = looking.ledger_due(season, whole=not quick, progress=progress)
    if as_json:
        printing.data(answers.ledger_due(found, season=season.config.name))
    else:
        _show(found, season.config.name, len(season.recorded.current))


def _show(found: LedgerDue, name: str, reviewed: int) -> None:
    from rating import text

    printing.say(f"{name}, {found.day.isoformat()}")
    if found.is_nothing:
        agree = text.count(reviewed, "current review agrees with its", "current reviews agree with their")
        printing.paragraph(f"Nothing is due: {agree} files, and every release that is out has a review.")
    for kind, words in _HEADINGS:
        listed = getattr(found, kind)
        if listed:
            printing.heading(words)
        for one in listed:
            printing.wrapped(f"{one.title}, {one.why}")
            for need in one.needs:
                printing.wrapped(f"- {need.what}: {need.settle}")
