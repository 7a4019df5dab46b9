"""Who is wanted: where sales put a subject among all, and the host's own word beside it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from rating.facts.demand import demand
from rating.facts.values import Demand, SubjectEffect, Unknown, Values


def release(**effects):
    """The values of a release of which only the effects of subjects matter."""
    return Values(
        sales=30,
        presales=0,
        set_aside={},
        wild=0,
        sold_share=Decimal(0),
        modelled_share=Decimal(1),
        carried_over=Decimal(0),
        bulk_share=Decimal(0),
        least=None,
        coverage=None,
        effects=(),
        subjects=tuple(
            SubjectEffect(subject=name, value=Decimal(value), error=Decimal(error), sales=4)
            for name, (value, error) in effects.items()
        ),
        lines=(),
    )


def word(subject, amount, why=""):
    """The host's own word."""
    return Demand(subject=subject, demand=Decimal(amount), basis="nudge", why=why)


def test_one_deviation_above_is_84():
    """Effects of -1, 0 and 1 have a deviation of 1; the normal law puts them at 15.9, 50 and 84.1."""
    found = demand([release(Ada=("-1", "0.2"), Bo=("0", "0.2"), Cy=("1", "0.2"))])
    assert {one.subject: one.demand for one in found.values()} == {
        "Ada": Decimal("15.9"),
        "Bo": Decimal("50.0"),
        "Cy": Decimal("84.1"),
    }
    assert found["cy"].basis == "sales"
    assert found["cy"].why == "4 sales at 2.7 times what is usual"


def test_releases_weigh_by_how_sure_they_are():
    """0 with an error of 0.1 and 5 with one of 0.2 make (0 x 100 + 5 x 25) / 125 = 1, between 0 and 2."""
    found = demand(
        [
            release(Ada=("0", "0.2"), Bo=("0", "0.1"), Cy=("2", "0.2")),
            release(Bo=("5", "0.2")),
            Unknown("no sales"),
        ]
    )
    assert found["bo"].demand == 50
    assert found["bo"].why == "8 sales in 2 releases at 1.0 times what is usual"


def test_where_both_speak_it_lies_halfway():
    """50 by sales and 90 by the host make 70; who was never sold stands as the host says."""
    found = demand(
        [release(Ada=("-1", "0.2"), Bo=("0", "0.2"), Cy=("1", "0.2"))],
        {"bo": word("Bo", 90, "captain"), "dee": word("Dee", 75)},
    )
    assert (found["bo"].demand, found["bo"].basis) == (70, "both")
    assert found["bo"].why == "4 sales at 1.0 times what is usual; captain"
    assert found["dee"] == word("Dee", 75)


@pytest.mark.parametrize("found", [[], [Unknown("no sales")], [release(Ada=("1", "0.2"), Bo=("0", "0.2"))]])
def test_too_little_to_go_on_is_nothing(found):
    """No sales, or of two subjects only."""
    assert demand(found) is None


def test_equal_subjects_are_not_told_apart():
    """All effects the same."""
    assert demand([release(Ada=("1", "0.2"), Bo=("1", "0.2"), Cy=("1", "0.2"))]) is None
