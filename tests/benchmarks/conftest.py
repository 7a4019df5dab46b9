"""Ratios are measured when asked for: `pytest tests/benchmarks --benchmark-enable`."""

from __future__ import annotations

from pathlib import Path

import pytest

HERE = Path(__file__).parent


def pytest_collection_modifyitems(config, items):
    if not config.getoption("--benchmark-enable"):
        mine = [one for one in items if HERE in Path(one.path).parents]
        if mine:
            config.hook.pytest_deselected(items=mine)
            items[:] = [one for one in items if one not in mine]


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
