"""`record`: how earlier editions held their price; a new line stands in the middle."""

from __future__ import annotations

from fractions import Fraction

import pytest

from criteria.record import CRITERION
from rating.criterion import Unknown


def test_the_measure_is_the_mean_of_what_editions_held(facts, edition, scored):
    """132 / 120 = 1.1 and 90 / 100 = 0.9: mean 1; 50 + 50 ln(1 / 0.9) / ln(2 / 0.9) = 56.6."""
    editions = (edition("2030", "120.00", "132.00"), edition("2029", "100.00", "90.00"))
    found = CRITERION.ask_of(facts(history={"since": 2026, "editions": editions}))
    assert found.measure == 1
    assert scored(CRITERION, found).score == 57
    assert (
        found.reason
        == "The line has run since 2026. A box of the previous edition, Deep Harbour 2030, sold for $120.00 "
        "at launch and has gained 10 % since."
    )
    assert found.evidence == (
        "Deep Harbour 2030: $120.00 at launch, $132.00 most recently",
        "Deep Harbour 2029: $100.00 at launch, $90.00 most recently",
    )


@pytest.mark.parametrize(
    ("launched", "street", "score", "words"),
    [
        ("100.00", "40.00", 0, "has lost 60 % since"),
        ("100.00", "90.00", 50, "has lost 10 % since"),
        ("100.00", "60.00", 25, "has lost 40 % since"),  # the geometric middle of 0.4 and 0.9 is 0.6
        ("100.00", "200.00", 100, "has gained 100 % since"),
        ("100.00", "101.00", 57, "held its price"),  # ln(1.01 / 0.9) / ln(2 / 0.9) = 0.1444
    ],
)
def test_the_scale_rises_with_what_was_held(facts, edition, scored, launched, street, score, words):
    """Its goalposts, and the geometric middle of the lower two."""
    found = CRITERION.ask_of(facts(history={"editions": (edition("2030", launched, street),)}))
    assert scored(CRITERION, found).score == score
    assert found.reason == (
        f"A box of the previous edition, Deep Harbour 2030, sold for ${launched} at launch and {words}."
    )


def test_more_editions_leave_less_doubt(facts, edition):
    """Down to four points."""
    spreads = [
        CRITERION.ask_of(
            facts(
                history={"editions": tuple(edition(str(2030 - n), "100.00", "90.00") for n in range(count))}
            )
        ).spread
        for count in (1, 2, 3, 4)
    ]
    assert spreads == [9, 6, 4, 4]


@pytest.mark.parametrize("since", [None, 2031])
def test_a_new_line_is_declared_neutral(facts, since):
    """Whether or not the maker says that it begins this year; with a wide doubt, and it says so."""
    found = CRITERION.ask_of(facts(history={"since": since}))
    assert (found.measure, found.declared, found.spread) == (None, 50, 15)
    said = "is a new line" if since else "nothing says when it began"
    assert said in found.reason
    assert found.reason.endswith("so it scores a neutral 50.")


def test_a_line_whose_past_is_not_on_file_is_unknown(facts, edition):
    """It has run for years, or an edition lacks its prices: that is not the same as new."""
    unknown = Unknown("no earlier edition has both a launch price and a later price on file")
    assert CRITERION.ask_of(facts(history={"since": 2026})) == unknown
    for bare in (edition("2030", None, "90.00"), edition("2030", "100.00", None)):
        assert CRITERION.ask_of(facts(history={"editions": (bare,)})) == unknown


def test_an_edition_without_prices_does_not_count_in_the_mean(facts, edition):
    """The others do."""
    editions = (edition("2030", None, None), edition("2029", "100.00", "80.00"))
    found = CRITERION.ask_of(facts(history={"editions": editions}))
    assert found.measure == Fraction(8, 10)
    assert found.reason.startswith(
        "A box of the previous edition, Deep Harbour 2029, sold for $100.00 at launch"
    )
