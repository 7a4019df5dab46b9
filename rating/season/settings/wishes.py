"""The buyers that rubric.toml asks picks for, held to the aims that there are."""

from __future__ import annotations

from rating import text
from rating.errors import Problem
from rating.facts.breaks.aims import AIMS
from rating.rubric.rubric import Rubric


def problems(rubric: Rubric, *, file: str) -> list[Problem]:
    """A problem for each aim that nobody can pick for."""
    return [
        Problem(
            code="unknown-aim",
            file=file,
            row=pick.row,
            what=f"picks ask for {text.printable(pick.aim)!r}, which is not an aim",
            fix=f"write one of {', '.join(AIMS)}",
        )
        for pick in rubric.picks
        if pick.aim not in AIMS
    ]
