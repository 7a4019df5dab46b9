"""Speed and memory of a box's distribution, as ratios in one run."""

from __future__ import annotations

import tracemalloc

import numpy as np
import pytest
from scipy import fft

from rating.numerics.sums import distribution

RNG = np.random.default_rng(7)
CELLS = 4_000
CATEGORIES = [(count, RNG.integers(0, CELLS, 40), RNG.random(40)) for count in (1, 2, 4, 8)]
LENGTH = int(fft.next_fast_len(15 * CELLS, real=True))
SAMPLE = RNG.random(LENGTH)


def pair(length, sample):
    """One transform there and back."""
    fft.irfft(fft.rfft(sample, length), length)


def test_a_box_on_cents_is_a_few_transforms(ratio):
    """Four categories, 15 draws, 4,000 cells: at most five times one rfft and irfft of that length."""

    def ours():
        for _ in range(20):
            distribution(CATEGORIES, 1)

    def theirs():
        for _ in range(20):
            pair(LENGTH, SAMPLE)

    assert ratio(ours, theirs) <= 5


def test_a_box_is_far_faster_than_a_million_simulated(ratio):
    """At least 15 times; the simulation is timed on 2 % of its boxes and scaled."""

    def simulated():
        rng = np.random.default_rng(1)
        total = np.zeros(20_000)
        for count, values, weights in CATEGORIES:
            total += rng.choice(values, (20_000, count), p=weights / weights.sum()).sum(axis=1)

    assert 50 / ratio(lambda: distribution(CATEGORIES, 1), simulated) >= 15


@pytest.mark.parametrize("boxes", [10])
def test_a_case_on_quarters_is_some_transforms_and_little_memory(ratio, boxes):
    """On a 25-cent grid under 50 times one pair of its length, and under 300 MB."""
    case = [(count * boxes, values / 100, weights) for count, values, weights in CATEGORIES]
    length = int(fft.next_fast_len(15 * boxes * CELLS // 25, real=True))
    sample = RNG.random(length)
    tracemalloc.start()
    distribution(case, 0.25)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 300e6
    assert ratio(lambda: distribution(case, 0.25), lambda: pair(length, sample)) <= 50
