"""Speed of the slots of a case, beside one exact distribution of what that case returns."""

from __future__ import annotations

import rating
from rating.facts.breaks.compute import broken_down
from rating.facts.returns.compute import CASE_GRID, categories, on_grid
from rating.facts.values.valuation import VALUATION
from rating.numerics.sums import distribution


def test_sixteen_slots_of_a_case_take_no_longer_than_two_distributions_of_it(ratio, sample_season):
    """Cards, chances, values and deviations of all slots; where a case takes 20 ms, 1 s is fifty of it."""
    facts = rating.open_season(sample_season).facts("halyard")
    values = [line.worth for line in facts.of(VALUATION).lines]

    def case():
        drawn, _ = on_grid(categories(facts.collations["hobby"], facts.lines, values, boxes=10), CASE_GRID)
        distribution(drawn, CASE_GRID)

    assert ratio(lambda: broken_down(facts), case) <= 2
