"""How well the program reads the forty makers that stay the same, without an answer from anybody."""

from __future__ import annotations

from collections import Counter

import pytest

from makers import FIXED
from makers.maker import make
from makers.score import score


@pytest.mark.trial(seed=FIXED[0], few=3, full=40)
def test_nearly_all_facts_are_right_and_hardly_any_is_wrong(trial, tmp_path):
    """Of all facts that the documents state at least 99 in 100 are right, and at most 1 in 1,000 is wrong."""
    counts: Counter[str] = Counter()
    for seed in FIXED[: trial.count]:
        folder = tmp_path / str(seed)
        folder.mkdir()
        counts += score(make(seed).case(), folder).count()
    whole = counts.total()
    assert whole > 900 * trial.count
    assert counts["right"] >= 0.99 * whole
    assert counts["wrong"] <= 0.001 * whole


# a column of a ladder that was taken for print runs; a maker's place for the team, because rows were shifted;
# days read across two cells; dashes of plain versions taken for bullets; short prints in a column of theirs;
# cards with commas above lines without; a titled sheet of parallels taken for cards;
# commas behind names that hid their capitals
@pytest.mark.parametrize("seed", [86_122, 86_413, 87_135, 88_006, 90_028, 90_055, 90_013, 90_014])
def test_makers_that_were_misread_are_read(seed, tmp_path):
    """At most one fact in a hundred is wrong."""
    counts = score(make(seed).case(), tmp_path).count()
    assert counts["right"] > 0.95 * counts.total()
    assert counts["wrong"] <= 0.01 * counts.total()
