"""Whose prices a season carries over, as of which day, and that a recorded grade stands still."""

from __future__ import annotations

from datetime import date

import pytest

from rating.facts.plain import Unknown
from rating.facts.values.value import Values
from rating.season.season import Season

LAUNCH = date(2031, 3, 12)
THIS, BEFORE = "Wickfield 2031 Halyard Roller Hockey", "Wickfield 2030 Halyard Roller Hockey"


@pytest.fixture
def season(sample_season):
    """The sample season, opened anew; nothing is changed in it."""
    return Season.open(sample_season)


@pytest.mark.parametrize(
    ("slug", "day", "releases"),
    [
        ("halyard", "2031-03-12", (BEFORE,)),
        ("halyard", "2031-05-18", ()),
        # its own earlier edition was never sold, nor anything else of its class in this season by then
        ("undertow", "2030-12-13", (BEFORE,)),
        ("gatehouse", "2031-04-11", (THIS,)),
        ("causeway", "2031-07-15", (THIS,)),
    ],
)
def test_the_edition_before_lends_first_then_the_class_of_the_season_then_that_of_earlier_ones(
    season, slug, day, releases
):
    """By the day: what was not sold by then lends nothing."""
    found = season.facts(slug, as_of=date.fromisoformat(day)).values
    assert isinstance(found, Values)
    assert found.carried_from == releases


@pytest.mark.parametrize("slug", ["foghorn", "oakum"])
def test_another_class_lends_nothing(season, slug):
    """Neither everyday nor premium boxes have a sale in the sample."""
    found = season.facts(slug)
    assert found.values == Unknown("there are no sales on file, and there are no prices to carry over")
    assert isinstance(found.returns, Unknown)


def test_amounts_in_another_currency_are_not_carried_over(own_season):
    """There is no rate to turn them by."""
    path = own_season / "earlier/2030/season.toml"
    path.write_text(path.read_text("utf-8").replace('currency = "USD"', 'currency = "CAD"'), "utf-8")
    found = Season.open(own_season).facts("halyard", as_of=LAUNCH).values
    assert found == Unknown("only 1 sale can be used, and it takes 20, and there are no prices to carry over")


def test_a_release_whose_files_have_errors_is_passed_over(own_season):
    """The earlier season lends instead, and is named."""
    path = own_season / "releases/halyard/sales.csv"
    path.write_text(path.read_text("utf-8") + "yesterday,Base,,001,dear,,,,raw,,,sure\n", "utf-8")
    assert Season.open(own_season).facts("gatehouse").values.carried_from == (BEFORE,)


def test_new_sales_elsewhere_move_no_recorded_grade_in_silence(own_season):
    """A review carried prices over as of its day; --refresh-demand takes those of today."""
    path = own_season / "releases/halyard/sales.csv"
    rows = [f"2031-06-2{i % 9},Base,Pearl,{1 + i:03},90.00,,,,raw,,,sure\n" for i in range(150)]
    path.write_text(path.read_text("utf-8") + "".join(rows), "utf-8")
    season = Season.open(own_season)
    assert not season.grade("gatehouse").differs
    fresh = season.grade("gatehouse", refresh_demand=True)
    assert fresh.differs
    assert fresh.facts.values.carried_on == season.today


def test_another_stage_takes_the_prices_of_its_day(season):
    """Gatehouse was last recorded in hand on 12 June."""
    assert season.grade("gatehouse").facts.values.carried_on == date(2031, 6, 12)
    assert season.grade("gatehouse", stage="settled").facts.values.carried_on == season.today
    assert season.grade("gatehouse", on=date(2031, 5, 1)).facts.values.carried_on == date(2031, 5, 1)


def test_the_launch_review_is_found_with_its_facts(season):
    """None before it, and none of a release that had no launch review."""
    assert season.launch_facts("halyard").values.carried_from == (BEFORE,)
    assert season.launch_facts("halyard", before=date(2031, 3, 11)) is None
    assert season.launch_facts("halyard-late-watch") is None
