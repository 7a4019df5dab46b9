"""How often a line falls: by odds that are rounded, by its copies and the packs, by a promise."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating.numerics.packs import PackRange, packs_by_format, rates_of_line
from rating.numerics.rates import rate_by_odds


def packs(count, low=None, high=None):
    """A format with about so many packs."""
    return PackRange(low=low or count, high=high or count, estimate=count, error=0.0)


def test_odds_leave_a_rate_open_by_their_rounding():
    """1:2 is 1:1.5 to 1:2.5; 1:1 is no certainty: 2 a pack to 2 in 3."""
    found = rate_by_odds(2)
    assert (found.low, found.estimate, found.high) == pytest.approx((0.4, 0.5, 1 / 1.5))
    found = rate_by_odds(1)
    assert (found.low, found.estimate, found.high) == pytest.approx((1 / 1.5, 1, 2))
    assert math.isinf(rate_by_odds(0.5).high)


def test_copies_over_packs_say_it_better():
    """7,500 copies in 10,183 packs, printed 1:1: 0.7365 a pack, by hand."""
    found = rates_of_line(7500, {"hobby": 1}, {"hobby": packs(10_183)})["hobby"]
    assert (found.low, found.estimate, found.high) == pytest.approx((0.736522,) * 3, rel=1e-6)


def test_a_range_of_packs_leaves_a_range_of_rates():
    """600 copies at 1:2 in 1,000 to 1,600 packs: by copies 0.375 to 0.6, by odds not below 0.4."""
    found = rates_of_line(600, {"hobby": 2}, {"hobby": packs(1200, 1000, 1600)})["hobby"]
    assert (found.low, found.estimate, found.high) == pytest.approx((0.4, 0.5, 0.6))


def test_over_two_formats_rates_move_by_the_same_share_of_their_way():
    """At 1:2 and 1:4 in 100 packs each 75 copies would fall, and there are 80.

    The ends are 1/1.5 and 1/3.5: 16.67 and 3.571 copies more, of which 5 are 0.24706.
    """
    found = rates_of_line(80, {"a": 2, "b": 4}, {"a": packs(100), "b": packs(100)})
    share = 5 / (100 * (1 / 1.5 - 0.5) + 100 * (1 / 3.5 - 0.25))
    assert found["a"].estimate == pytest.approx(0.5 + share * (1 / 1.5 - 0.5))
    assert found["b"].estimate == pytest.approx(0.25 + share * (1 / 3.5 - 0.25))
    assert 100 * (found["a"].estimate + found["b"].estimate) == pytest.approx(80)


def test_no_rate_leaves_its_rounding():
    """500 copies do not fit 1:4 in 1,000 packs: as many as 1:3.5 allows."""
    assert rates_of_line(500, {"a": 4}, {"a": packs(1000)})["a"].estimate == pytest.approx(1 / 3.5)


def test_without_packs_of_all_formats_odds_are_gone_by():
    """One of two is not known."""
    found = rates_of_line(80, {"a": 2, "b": 4}, {"a": packs(100)})
    assert found == {"a": rate_by_odds(2), "b": rate_by_odds(4)}


@given(
    st.lists(
        st.tuples(st.floats(1.2, 60), st.floats(1.2, 60)),
        min_size=2,
        max_size=6,
    ),
    st.integers(2_000, 40_000),
    st.integers(2_000, 40_000),
)
def test_true_rates_lie_between_the_ends_that_odds_of_real_packs_leave(lines, first, second):
    """Copies and whole odds are made from true packs; each true rate is between the ends found."""
    made = []
    for one, other in lines:
        copies = round(first / one + second / other)
        # a line's second rate is what its whole number of copies leaves
        true = {"a": 1 / one, "b": (copies - first / one) / second}
        made.append((copies, true, {name: max(1, round(1 / rate)) for name, rate in true.items()}))
    found = packs_by_format([(copies, odds) for copies, _, odds in made], ["a", "b"])
    for copies, true, odds in made:
        for name, rate in rates_of_line(copies, odds, found.packs).items():
            assert rate.low * (1 - 1e-6) <= true[name] <= rate.high * (1 + 1e-6)
            assert rate.low <= rate.estimate <= rate.high
            by_odds = rate_by_odds(float(Decimal(odds[name])))
            assert by_odds.low * (1 - 1e-9) <= rate.estimate <= by_odds.high * (1 + 1e-9)
