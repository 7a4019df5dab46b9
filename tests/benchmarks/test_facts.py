"""Speed of all facts of a release, with start-up, beside the libraries that it loads anyhow."""

from __future__ import annotations

import resource
import subprocess
import sys


def in_child(code):
    """CPU seconds of a fresh interpreter."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-c", code], check=True, stdout=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def test_all_facts_of_a_release_take_at_most_three_times_the_import_of_pandas_and_scipy(sample_season):
    """`boxwright facts halyard`; where that import takes half a second, 3 s are six times it."""
    ours = f"from rating.cli import main; main(['facts', 'halyard', '--season', {str(sample_season)!r}])"
    theirs = "import pandas, scipy.optimize, scipy.special"
    pairs = [(in_child(ours), in_child(theirs)) for _ in range(5)]
    facts, imports = (sorted(side)[2] for side in zip(*pairs, strict=True))
    print(f"\nfacts {facts:.3f} s, imports {imports:.3f} s: ratio {facts / imports:.2f}")
    assert facts <= 3 * imports
