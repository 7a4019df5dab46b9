"""A table of scores made by hand."""

from __future__ import annotations

import pytest

from rating.doubt.score_table import ScoreRow, ScoreTable


@pytest.fixture
def row():
    """Make a release with these scores; None does not apply, '?' is unknown."""

    def make(release, *scores, spread=5):
        return ScoreRow(
            release=release,
            title=f"Marlow {release.title()}",
            released_on="",
            price_class="",
            stage="launch",
            published=None,
            restated=False,
            scores=tuple(None if score == "?" else score for score in scores),
            applies=tuple(score is not None for score in scores),
            spreads=(spread,) * len(scores),
        )

    return make


@pytest.fixture
def table():
    """Make a table of two criteria, roster and design, at even points."""

    def make(*rows, points=(500, 500)):
        return ScoreTable(
            criteria=("roster", "design"), groups=("people", "object"), points=points, rows=rows
        )

    return make
