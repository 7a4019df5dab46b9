"""How long it takes to say why one grade is above another, and what would make a release lead: CPU seconds.

On the sample season, 17 ranked releases by 14 criteria, medians of three after one that loads the solver.
"""

from __future__ import annotations

import itertools
import statistics
import time

import pytest

from rating.doubt import swaps, why
from rating.season.season import Season

# what a person does not notice
MOST = 0.5


def taken(what):
    """The median seconds of CPU of three runs."""
    what()
    found = []
    for _ in range(3):
        start = time.process_time()
        what()
        found.append(time.process_time() - start)
    return statistics.median(found)


@pytest.fixture(scope="module")
def table(demo_season):
    return Season.open(demo_season).table()


def test_why_takes_half_a_second_at_most(table, benchmark):
    """The first neighbours, and the first against the last."""
    names = list(table.places())
    pairs = [*itertools.pairwise(names[:4]), (names[0], names[-1])]
    longest = max(taken(lambda pair=pair: why.why(table, *pair)) for pair in pairs)
    benchmark.pedantic(lambda: None, rounds=1)
    print(f"\nwhy: {longest:.2f} s at most")
    assert longest <= MOST


def test_whether_each_can_lead_takes_half_a_second_at_most(table, benchmark):
    """Each of the season is answered with its proof."""
    found = {name: taken(lambda name=name: swaps.lift(table, name, 1)) for name in table.places()}
    benchmark.pedantic(lambda: None, rounds=1)
    print("\n" + ", ".join(f"{name} {size:.2f} s" for name, size in found.items()))
    assert max(found.values()) <= MOST
    assert all(swaps.lift(table, name, 1).proved for name in found)
