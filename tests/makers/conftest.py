"""Makers that several tests look at, made once."""

from __future__ import annotations

import pytest

from makers.maker import make


@pytest.fixture(scope="session")
def makers():
    """The makers of the first fifty seeds, before they are bytes."""
    return [make(seed) for seed in range(50)]


@pytest.fixture(scope="session")
def features(makers):
    """The features of the first two hundred seeds; keeping their makers as well would be dear."""
    return [maker.features for maker in makers] + [make(seed).features for seed in range(len(makers), 200)]
