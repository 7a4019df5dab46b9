"""Who is wanted: where sales put a subject among all, and the host's own word beside it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from rating.facts.context import Demand
from rating.facts.worth.demand import demand
from rating.facts.worth.value import SubjectEffect


def release(**effects):
    """The effects of the subjects of a release, with their errors."""
    return tuple(
        SubjectEffect(subject=name, value=Decimal(value), error=Decimal(error), sales=4)
        for name, (value, error) in effects.items()
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
    """Both releases have the same level: their effects of Ada, Bo and Cy average alike.

    With errors of 0.1 against 0.2 a value counts four times: Ada (0 x 4 + 0.5) / 5 = 0.1, Bo
    (0.25 x 4 - 0.5) / 5 = 0.1, Cy (1 x 4 + 1.25) / 5 = 1.05. Their mean is 0.41667, their deviation
    0.54848; 0.1 lies 0.57735 below, where the normal law has 28.2 %, and 1.05 lies 1.15470 above, 87.6 %.
    """
    found = demand(
        [
            release(Ada=("0", "0.1"), Bo=("0.25", "0.1"), Cy=("1", "0.1")),
            release(Ada=("0.5", "0.2"), Bo=("-0.5", "0.2"), Cy=("1.25", "0.2")),
            (),
        ]
    )
    assert [one.demand for one in found.values()] == [Decimal("28.2"), Decimal("28.2"), Decimal("87.6")]
    # e to 1.05 - 0.41667
    assert found["cy"].why == "8 sales in 2 releases at 1.9 times what is usual"


def test_where_only_stars_are_a_star_is_not_typical():
    """Ada to Dee stand at -2, -1, 1 and 2 among all; the second release has the last two only, at -0.5, 0.5.

    Its level is 1.5 higher, so that it says the same of them, but for the little that levels are held back.
    """
    everybody = release(Ada=("-2", "0.2"), Bo=("-1", "0.2"), Cy=("1", "0.2"), Dee=("2", "0.2"))
    stars = release(Cy=("-0.5", "0.2"), Dee=("0.5", "0.2"))
    alone, together = demand([everybody]), demand([everybody, stars])
    for name in ("ada", "bo", "cy", "dee"):
        assert float(together[name].demand) == pytest.approx(float(alone[name].demand), abs=0.5)


def test_releases_without_a_subject_in_common_stay_at_one_level():
    """Nothing says that one of them is above the other."""
    apart = demand([release(Ada=("-1", "0.2"), Bo=("0", "0.2")), release(Cy=("0", "0.2"), Dee=("1", "0.2"))])
    assert apart["bo"].demand == apart["cy"].demand == 50


def test_where_both_speak_it_lies_halfway():
    """50 by sales and 90 by the host make 70; who was never sold stands as the host says."""
    found = demand(
        [release(Ada=("-1", "0.2"), Bo=("0", "0.2"), Cy=("1", "0.2"))],
        {"bo": word("Bo", 90, "captain"), "dee": word("Dee", 75)},
    )
    assert (found["bo"].demand, found["bo"].basis) == (70, "both")
    assert found["bo"].why == "4 sales at 1.0 times what is usual; captain"
    assert found["dee"] == word("Dee", 75)


@pytest.mark.parametrize("found", [[], [()], [release(Ada=("1", "0.2"), Bo=("0", "0.2"))]])
def test_too_little_to_go_on_is_nothing(found):
    """No sales, or of two subjects only."""
    assert demand(found) is None


def test_equal_subjects_are_not_told_apart():
    """All effects the same."""
    assert demand([release(Ada=("1", "0.2"), Bo=("1", "0.2"), Cy=("1", "0.2"))]) is None
