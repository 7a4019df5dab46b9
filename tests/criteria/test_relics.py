"""`relics`: relics per 100 spent, each counted by where its material comes from."""

from __future__ import annotations

from fractions import Fraction

import pytest

from criteria.relics import CRITERION
from rating.criterion import NotApplicable, Unknown


def test_the_measure_weighs_provenance(facts, scored):
    """2 x 100 / 160 = 1.25 for 100; (4 x 1 + 6 x 0.3) / 10 = 0.58; 1.25 x 0.58 = 0.725.

    50 + 50 ln(0.725 / 0.5) / ln(8) = 58.9.
    """
    found = CRITERION.ask_of(facts())
    assert found.measure == Fraction(725, 1000)
    assert scored(CRITERION, found).score == 59
    assert found.reason == (
        "$100, before tax and shipping, gets you 1.3 relics on average; most relics in the release are "
        "not tied to any player or game."
    )


@pytest.mark.parametrize(
    ("provenance", "worth"),
    [
        ({"game-worn": 3}, "1"),
        ({"player-worn": 3}, "0.7"),
        ({"event-worn": 3}, "0.5"),
        ({"unattributed": 3}, "0.3"),
        ({"not said": 3}, "0.3"),
        ({"game-worn": 1, "player-worn": 1, "event-worn": 1, "unattributed": 1}, "0.625"),
    ],
)
def test_what_a_relic_is_worth(facts, provenance, worth):
    """1.25 relics for 100, times the mean worth."""
    found = CRITERION.ask_of(facts(content={"relics_by": provenance}))
    assert found.measure == Fraction(5, 4) * Fraction(worth)


@pytest.mark.parametrize(
    ("provenance", "words"),
    [
        ({"game-worn": 5, "unattributed": 4}, "; most relics in the release are game-worn."),
        (
            {"game-worn": 4, "event-worn": 3, "unattributed": 3},
            "; the largest part of the relics in the release is game-worn.",
        ),
        ({"not said": 5, "game-worn": 1}, "; the maker does not say where their material comes from."),
    ],
)
def test_the_reason_says_most_only_where_it_is_most(facts, provenance, words):
    """Four of ten are not most of them."""
    assert CRITERION.ask_of(facts(content={"relics_by": provenance})).reason.endswith(words)


def test_a_release_without_relics_is_not_asked(facts):
    """Absent by design is no zero and not unknown, even before there is a price."""
    absent = NotApplicable("the release has no relics, by design")
    without = {"has_relics": False, "relics_by": {}}
    assert CRITERION.ask_of(facts(content=without)) == absent
    assert CRITERION.ask_of(facts(content=without, economics=Unknown("not yet"))) == absent


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (
            {"main": {"relics_per_box": None}},
            "neither guarantees nor odds say how many relics a Hobby box holds",
        ),
        ({"main": {"box_price": None}}, "there is no price for a Hobby box yet"),
        ({"content": Unknown("there is no checklist yet")}, "there is no checklist yet"),
        ({"economics": Unknown("not yet")}, "not yet"),
    ],
)
def test_what_is_missing_is_said(facts, change, why):
    """Unknown, with the reason; never a zero."""
    assert CRITERION.ask_of(facts(**change)) == Unknown(why)
