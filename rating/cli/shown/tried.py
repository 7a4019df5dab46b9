"""The table that `what-if` and `weights` print of places before and after other points, scores or rules."""

from __future__ import annotations

from collections.abc import Sequence

from rating.cli.shown import cells
from rating.doubt.what_if import Outcome, grade_text


def table(outcomes: Sequence[Outcome], *, value: str, was: str) -> None:
    """Print each release's place and grade after a change and before it.

    Parameters
    ----------
    value, was : what the columns of the grades after and before are called
    """
    cells.of_releases(
        ("place", "was", "moved", value, was, "release"),
        [
            (
                outcome.place,
                outcome.before or "",
                cells.change(outcome.moved),
                grade_text(outcome),
                cells.grade(outcome.before_grade),
            )
            for outcome in outcomes
        ],
        outcomes,
        right=f"place|was|moved|{value}|{was}",
    )
