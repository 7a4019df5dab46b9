"""Ratios are measured when asked for: `pytest tests/benchmarks --benchmark-enable`."""

from __future__ import annotations

import pytest


def pytest_ignore_collect(config):
    """Not even read where they are not asked for: what they are held against takes seconds to load."""
    return None if config.getoption("--benchmark-enable") else True


@pytest.fixture
def ratio(benchmark):
    """CPU time of one side over that of the other: run in turn, five times, medians."""
    import statistics
    import time

    def measure(ours, theirs, *, rounds=5, clock=time.process_time):
        ours(), theirs()
        pairs = []
        for _ in range(rounds):
            taken = []
            for side in (ours, theirs):
                start = clock()
                side()
                taken.append(clock() - start)
            pairs.append(taken)
        first, second = (statistics.median(side) for side in zip(*pairs, strict=True))
        benchmark.extra_info["ours_s"], benchmark.extra_info["theirs_s"] = first, second
        benchmark.extra_info["ratio"] = first / second
        benchmark.pedantic(ours, rounds=1)
        print(f"\n{first * 1000:.1f} ms against {second * 1000:.1f} ms: ratio {first / second:.2f}")
        return first / second

    return measure
