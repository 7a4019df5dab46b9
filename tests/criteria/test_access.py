"""`access`: the going price over the maker's."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from criteria.access import CRITERION
from rating.criterion import Unknown


def test_the_measure_is_street_over_list(facts, scored):
    """160 over 128 is 1.25; 50 - 50 ln(1.25 / 1.1) / ln(2 / 1.1) = 39.3."""
    found = CRITERION.ask_of(facts())
    assert found.measure == Fraction(5, 4)
    assert scored(CRITERION, found).score == 39
    assert found.reason == "A Hobby box sells for $160.00, 25 % above the maker's $128.00."


@pytest.mark.parametrize(
    ("listed", "street", "score", "capped"),
    [
        ("100.00", "70.00", 100, ""),
        ("100.00", "100.00", 60, ""),
        ("100.00", "110.00", 50, ""),
        # the geometric middle of 1.1 and 2 is their square root's product: half of 50
        ("1000.00", "1483.24", 25, ""),
        ("100.00", "200.00", 0, ""),
        ("100.00", "250.00", 0, "high"),
        ("100.00", "50.00", 100, "low"),
    ],
)
def test_the_scale_falls_from_cheap_to_dear(facts, scored, listed, street, score, capped):
    """Its goalposts, the geometric middle between two of them, and both ends."""
    found = CRITERION.ask_of(facts(main={"list_price": Decimal(listed), "street_price": Decimal(street)}))
    placed = scored(CRITERION, found)
    assert (placed.score, placed.capped) == (score, capped)


@pytest.mark.parametrize(
    ("street", "words"),
    [
        ("101.49", "right at the maker's price"),
        ("101.50", "2 % above the maker's $100.00"),
        ("98.00", "2 % below the maker's $100.00"),
        ("75.00", "25 % below the maker's $100.00"),
    ],
)
def test_the_reason_says_how_far_apart(facts, street, words):
    """In whole per cent, halves up; under two it is the maker's price."""
    found = CRITERION.ask_of(facts(main={"list_price": Decimal("100.00"), "street_price": Decimal(street)}))
    assert found.reason == f"A Hobby box sells for ${street}, {words}."


@pytest.mark.parametrize(
    ("restocks", "words"),
    [(1, "restocked once."), (2, "restocked twice."), (3, "restocked 3 times.")],
)
def test_restocks_are_told(facts, restocks, words):
    """As a host would say them."""
    assert CRITERION.ask_of(facts(main={"restocks": restocks})).reason.endswith(words)


def test_two_sources_are_surer_than_one(facts):
    """The doubt is smaller where two shops say the same."""
    one, two = (CRITERION.ask_of(facts(main={"sources": number})).spread for number in (1, 2))
    assert two < one


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"main": {"list_price": None}}, "the maker's price of a Hobby box is not known"),
        ({"main": {"street_price": None}}, "no street price of a Hobby box has been seen yet"),
        (
            {"economics": Unknown("no box formats are on file yet")},
            "no box formats are on file yet",
        ),
    ],
)
def test_what_is_missing_is_said(facts, change, why):
    """Unknown, with the reason; never a zero."""
    assert CRITERION.ask_of(facts(**change)) == Unknown(why)
