"""What all tests share."""

from __future__ import annotations

import shutil

import pytest
from hypothesis import settings

# a busy machine must not fail a property; the number of examples bounds the time
settings.register_profile("boxwright", deadline=None, max_examples=60)
settings.load_profile("boxwright")


@pytest.fixture(scope="session")
def sample_season(tmp_path_factory):
    """The sample season, built once; tests that change it copy it first."""
    from rating.season import sample

    path = tmp_path_factory.mktemp("sample") / "season"
    sample.build(path)
    return path


@pytest.fixture
def own_season(sample_season, tmp_path):
    """A copy of the sample season that a test may change."""
    path = tmp_path / "season"
    shutil.copytree(sample_season, path)
    return path
