"""What the tests of a season share."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from rating.season.season import Season

NOW = datetime(2031, 5, 1, 20, 0, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _no_variable(monkeypatch):
    monkeypatch.delenv("BOXWRIGHT_TODAY", raising=False)


@pytest.fixture
def record():
    """Grades a release of a season's folder and records the review; options as `Season.grade`."""

    def recorded(path, slug, **more):
        season = Season.open(path)
        return season.record(season.grade(slug, **more), now=NOW)

    return recorded
