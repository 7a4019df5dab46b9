"""boxwright ledger verify: proving that nothing was altered."""

from __future__ import annotations

import typer

from rating.cli.shared import opening, options, printing


def verify(
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Compare every stored review with its hash, and every copied value with its review.

    A hash shows that a review is unaltered, not who wrote it or when.

    Example: boxwright ledger verify
    """
    from datetime import UTC, datetime

    from rating import text
    from rating.answers import ledger as answers
    from rating.errors import errors_in
    from rating.season import keeping

    season = opening.opened(season_folder, today)
    found = season.recorded.ledger.verify()
    wrong = errors_in(found)
    if as_json:
        printing.data(answers.verified(found))
    else:
        printing.problems(found)
        if not wrong:
            ends = season.recorded.ledger.ends_with()
            held = text.count(ends.reviews, "review")
            if ends.notes:
                held += f", {text.count(ends.notes, 'note')}"
            printing.say(f"{held} and every copy of their values are unaltered.")
    for path in keeping.conflicted(season.recorded.ledger.path):
        printing.remark(
            f"{path.name} looks like a copy that a sync program left: "
            f"'boxwright ledger merge \"{path.name}\"' adds what only that copy has."
        )
    if told := keeping.nudge(season.files, now=datetime.now(UTC)):
        printing.remark(told)
    if wrong:
        raise typer.Exit(1)
