"""The sentence on values: what they rest on, how sure they are, and the card worth most."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest

from rating.facts.facts import KeptFacts
from rating.facts.values import tell as telling_values
from rating.facts.values.value import Dearest, Effect, Values

VALUES = Values(
    sales=200,
    presales=0,
    set_aside={},
    wild=0,
    sold_share=Decimal("0.3"),
    modelled_share=Decimal("0.6"),
    carried_over=Decimal(0),
    bulk_share=Decimal("0.1"),
    least=None,
    coverage=Decimal("0.91"),
    effects=(Effect(name="week", value=Decimal("-0.0618754"), error=Decimal("0.01")),),
    dearest=Dearest(name="Signed Pearl S-2, Bo Fell and Cy Holm", value=Decimal("80.50"), basis="modelled"),
)


def told(**changes):
    """The sentence with some values changed."""
    return telling_values.told(replace(VALUES, **changes), KeptFacts(season=SimpleNamespace(currency="USD")))


def test_it_says_what_it_rests_on_how_sure_it_is_and_what_is_worth_most():
    """e^-0.0618754 is 0.94, so a week takes 6 %."""
    assert told() == (
        "Prices rest on 200 sales. Of the total value of all cards, 30 % is known from sales, 60 % is "
        "estimated from similar cards and 10 % is bulk. As a test, some sales were held back and their "
        "prices forecast: 91 % fell inside the likely range, which should catch 90 %. Prices have been "
        "falling by 6 % a week. The top card is Signed Pearl S-2, Bo Fell and Cy Holm: it brings a seller "
        "about $80.50 (estimated; no sale of it is on file)."
    )


@pytest.mark.parametrize(
    ("error", "words"),
    [
        ("0.01", "as of 2031-05-18; at this rate, take off 22 % for every four weeks since."),
        ("0.1", "Values are as of 2031-05-18. "),
    ],
)
def test_the_day_of_the_values_and_what_it_means_later(error, words):
    """Four weeks at 0.94 leave 0.78; a fall within two errors of none is not followed."""
    effects = (Effect(name="week", value=Decimal("-0.0618754"), error=Decimal(error)),)
    assert words in told(as_of=date(2031, 5, 18), effects=effects)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"presales": 2}, "200 sales; 2 from before the release count half."),
        ({"wild": 1}, "1 sale is an outlier and is given little weight."),
        ({"wild": 3}, "3 sales are outliers and are given little weight."),
        (
            {"sales": 0, "carried_over": Decimal(1)},
            "There are no usable sales yet. Prices are borrowed from other releases, and may be far off.",
        ),
        (
            {"sold_share": 0, "modelled_share": 0, "bulk_share": 0},
            "How many copies of each card exist is not known.",
        ),
    ],
)
def test_what_weakens_it_is_said(changes, words):
    """Presales, wild sales, carried-over prices, unknown copies."""
    assert words in told(**changes)


@pytest.mark.parametrize(
    ("releases", "words"),
    [
        (
            ("Halyard 2030",),
            "There are only 3 usable sales so far. Prices are borrowed from Halyard 2030, and may",
        ),
        (("A", "B"), "borrowed from A and B, and may be"),
        (("A", "B", "C", "D", "E"), "borrowed from A, B, C and 2 other releases, and may be"),
    ],
)
def test_the_releases_that_prices_come_from_are_named(releases, words):
    """Three of them, and how many more; also where no copies are known, and so no share."""
    assert words in told(sales=3, carried_from=releases, carried_over=Decimal(0))


def test_a_weekly_effect_within_chance_is_not_told():
    """Less than two standard errors from none."""
    assert "week" not in told(effects=(Effect(name="week", value=Decimal("-0.01"), error=Decimal("0.01")),))


def test_sales_set_aside_are_counted_by_reason():
    """And nothing is said where none was."""
    assert telling_values.aside(VALUES) == ""
    aside = replace(VALUES, set_aside={"slabbed": 4, "in another currency": 1})
    assert telling_values.aside(aside) == "5 sales were set aside: 4 slabbed and 1 in another currency."
