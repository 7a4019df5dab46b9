"""What criterion modules share: what they can import, and the spread of a measure known within limits."""

from __future__ import annotations

import dataclasses
import typing
from decimal import Decimal
from fractions import Fraction

import pytest

from rating import criterion
from rating.criterion import scale, spread_over
from rating.facts import sections
from rating.facts.context import SeasonContext
from rating.facts.falling.collation import Collation
from rating.facts.falling.lines import CardLine
from rating.release.checklist import Card, Odds, Parallel

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


def parts_of(kind, found):
    """A value's class with those of all that it is made of, however deep."""
    for part in typing.get_args(kind):
        parts_of(part, found)
    if isinstance(kind, type) and kind.__module__.startswith("rating.") and kind not in found:
        found.add(kind)
        if dataclasses.is_dataclass(kind) or hasattr(kind, "_fields"):
            for part in typing.get_type_hints(kind).values():
                parts_of(part, found)
    return found


SEEN = (*(one.value for one in sections.SECTIONS), SeasonContext, Collation, CardLine, Card, Odds, Parallel)


@pytest.mark.parametrize("kind", SEEN)
def test_whatever_a_module_sees_it_can_import(kind):
    """A section's value, the season and the tables, with all that they hold, by their own names."""
    for part in parts_of(kind, set()):
        assert getattr(criterion, part.__name__, None) is part
        assert part.__name__ in criterion.__all__
