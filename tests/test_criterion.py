"""What criterion modules share: the spread of a measure that is known within limits."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from rating.criterion import scale, spread_over

LINE = scale("linear", "share", (0, 0), (1, 100))
HILL = scale("peak", "boxes", (1, 0), (2, 90), (3, 0))


@pytest.mark.parametrize(
    ("measures", "least", "spread"),
    [
        ((Decimal("0.4"), Fraction(6, 10)), 3, 13),  # scores 40 and 60, half of 20
        ((0.4, 0.45), 4, 7),  # half of 5, rounded up
        ((Fraction(1, 2),), 3, 3),
        ((0, 1), 3, 50),  # no spread is above 50
    ],
)
def test_half_of_what_the_scores_range_over_is_the_spread(measures, least, spread):
    """Beside what is in doubt anyhow."""
    assert spread_over(LINE, *measures, least=least) == spread


def test_the_top_of_a_peak_counts():
    """Limits on both sides of it score alike, and the middle does not."""
    assert spread_over(HILL, 1, 3) == 3
    assert spread_over(HILL, 1, 2, 3) == 48
