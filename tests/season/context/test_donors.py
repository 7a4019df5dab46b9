"""Whose prices a season carries over, as of which day, and that a recorded grade stands still."""

from __future__ import annotations

from datetime import date

import pytest

from rating.facts.plain import Unknown
from rating.facts.values.value import Values
from rating.season.season import Season

LAUNCH = date(2031, 3, 12)
BEFORE = "Wickfield 2030 Halyard Roller Hockey"
UNDERTOW, FOGHORN = "Marrowby 2031 Undertow Roller Hockey", "Tallow Lane 2031 Foghorn Roller Hockey"
COPPERPLATE, GATEHOUSE = "Tallow Lane 2031 Copperplate Roller Hockey", "Corvane 2031 Gatehouse Roller Hockey"


@pytest.fixture
def season(sample_season):
    """The sample season, opened anew; nothing is changed in it."""
    return Season.open(sample_season)


OAKUM, ALMANAC = "Wickfield 2031 Oakum Roller Hockey", "Osterby & Finch 2031 Rinkside Almanac"
WALTZ = "Tallow Lane 2031 Market Waltz Roller Hockey"
SLIPWAY = "Wickfield 2031 Slipway Roller Hockey"


@pytest.mark.parametrize(
    ("slug", "day", "releases"),
    [
        # its edition before was sold often enough
        ("halyard", "2031-03-12", (BEFORE,)),
        ("halyard", "2031-05-18", ()),
        # nothing of its own line: whoever was sold by then, the newest first, of every class
        ("undertow", "2030-12-13", (WALTZ, SLIPWAY, FOGHORN)),
        ("slipway", "2030-11-09", (FOGHORN,)),
        # nothing was sold in this season yet
        ("foghorn", "2030-10-12", (BEFORE,)),
    ],
)
def test_the_edition_before_lends_first_then_all_of_the_season_then_earlier_ones(season, slug, day, releases):
    """By the day: what was not sold by then lends nothing."""
    found = season.facts(slug, as_of=date.fromisoformat(day)).values
    assert isinstance(found, Values)
    assert found.carried_from == releases


def test_all_that_was_sold_lends_whatever_its_class(own_season):
    """Kittiwake is of the middle class; without any sales at all nothing is known of it."""
    season = Season.open(own_season)
    lenders = season.facts("kittiwake").values.carried_from
    assert {FOGHORN, OAKUM, GATEHOUSE, UNDERTOW} <= set(lenders)
    for path in own_season.rglob("sales.csv"):
        path.unlink()
    found = Season.open(own_season).facts("kittiwake")
    assert found.values == Unknown("there are no sales on file, and there are no prices to carry over")
    assert isinstance(found.returns, Unknown)


def test_who_was_wanted_in_the_season_before_counts_for_what_it_lends(season):
    """Only Halyard was sold then, so nobody else says who was wanted; but its subjects of this season do."""
    facts = season.facts("halyard", as_of=LAUNCH)
    assert {one.demand for one in facts.donors} == {(None,)}
    known = facts.wanted_before
    sold = {one for donor in facts.donors for one in donor.subjects}
    assert set(known) == sold
    by_demand = sorted(float(one.demand) for one in known.values())
    assert (by_demand[0] < 20, by_demand[-1] > 80) == (True, True)


def test_amounts_in_another_currency_are_not_carried_over(own_season):
    """There is no rate to turn them by."""
    path = own_season / "earlier/2030/season.toml"
    path.write_text(path.read_text("utf-8").replace('currency = "USD"', 'currency = "CAD"'), "utf-8")
    found = Season.open(own_season).facts("halyard", as_of=LAUNCH).values
    assert BEFORE not in found.carried_from
    assert found.carried_from[0] == "Corvane 2031 Causeway Roller Hockey"
    assert UNDERTOW in found.carried_from


def test_a_release_whose_files_have_errors_is_passed_over(own_season):
    """The next one lends instead, and is named."""
    path = own_season / "releases/copperplate/sales.csv"
    path.write_text(path.read_text("utf-8") + "yesterday,Base,,001,dear,,,,raw,,,sure\n", "utf-8")
    found = Season.open(own_season).facts("kittiwake").values.carried_from
    assert COPPERPLATE not in found
    assert GATEHOUSE in found


def test_new_sales_elsewhere_move_no_recorded_grade_in_silence(own_season):
    """A review carried prices over as of its day; --refresh-demand takes those of today."""
    path = own_season / "releases/copperplate/sales.csv"
    rows = [f"2031-06-2{3 + i % 6},Base,Burin,{1 + i % 100},90.00,,,,raw,,,sure\n" for i in range(150)]
    path.write_text(path.read_text("utf-8") + "".join(rows), "utf-8")
    season = Season.open(own_season)
    assert not season.grade("kittiwake").differs
    fresh = season.grade("kittiwake", refresh_demand=True)
    assert fresh.differs
    assert fresh.facts.values.carried_on == season.today


def test_another_stage_takes_the_prices_of_its_day(season):
    """Kittiwake was last recorded in hand on 22 June."""
    assert season.grade("kittiwake").facts.values.carried_on == date(2031, 6, 22)
    assert season.grade("kittiwake", stage="settled").facts.values.carried_on == season.today
    assert season.grade("kittiwake", on=date(2031, 6, 1)).facts.values.carried_on == date(2031, 6, 1)


def test_the_launch_review_is_found_with_its_facts(season):
    """None before it, and none of a release that had no launch review."""
    assert season.launch_facts("halyard").values.carried_from == (BEFORE,)
    assert season.launch_facts("halyard", before=date(2031, 3, 11)) is None
    assert season.launch_facts("halyard-late-watch") is None
