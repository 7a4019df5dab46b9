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
def rewrite():
    """Puts a text in the place of another one in a file, which must hold that."""

    def rewritten(path, old, new):
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new), encoding="utf-8")

    return rewritten


@pytest.fixture
def record():
    """Grades a release of a season's folder and records the review; options as `Season.grade`."""

    def recorded(path, slug, **more):
        season = Season.open(path)
        return season.record(season.grade(slug, **more), now=NOW)

    return recorded
