"""Whose prices a season carries over, as of which day, and that a recorded grade stands still."""

from __future__ import annotations

from datetime import date

import pytest

from rating.facts.plain import Unknown
from rating.facts.values.value import Values
from rating.season.season import Season

LAUNCH = date(2031, 3, 12)
THIS, BEFORE = "Wickfield 2031 Halyard Roller Hockey", "Wickfield 2030 Halyard Roller Hockey"
UNDERTOW, FOGHORN = "Marrowby 2031 Undertow Roller Hockey", "Tallow Lane 2031 Foghorn Roller Hockey"
COPPERPLATE, GATEHOUSE = "Tallow Lane 2031 Copperplate Roller Hockey", "Corvane 2031 Gatehouse Roller Hockey"


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
        ("causeway", "2031-02-07", (UNDERTOW,)),
        ("slipway", "2030-11-09", (FOGHORN,)),
        # the newest first, until there are enough
        ("kittiwake", "2031-07-15", (COPPERPLATE, GATEHOUSE)),
    ],
)
def test_the_edition_before_lends_first_then_the_class_of_the_season_then_that_of_earlier_ones(
    season, slug, day, releases
):
    """By the day: what was not sold by then lends nothing."""
    found = season.facts(slug, as_of=date.fromisoformat(day)).values
    assert isinstance(found, Values)
    assert found.carried_from == releases


def test_another_class_lends_nothing(own_season):
    """Without the sales of premium boxes nothing is known of one, whatever others sold for."""
    season = Season.open(own_season)
    titles = {season.files.sheet(slug).title: slug for slug in season.files.slugs}
    lenders = [titles[title] for title in season.facts("lantern-room").values.carried_from]
    assert set(lenders) == {"oakum-reserve", "vellum-night", "tidewrack", "oakum"}
    for slug in lenders:
        (own_season / "releases" / slug / "sales.csv").unlink()
    found = Season.open(own_season).facts("lantern-room")
    assert found.values == Unknown("there are no sales on file, and there are no prices to carry over")
    assert isinstance(found.returns, Unknown)


def test_amounts_in_another_currency_are_not_carried_over(own_season):
    """There is no rate to turn them by."""
    path = own_season / "earlier/2030/season.toml"
    path.write_text(path.read_text("utf-8").replace('currency = "USD"', 'currency = "CAD"'), "utf-8")
    found = Season.open(own_season).facts("halyard", as_of=LAUNCH).values
    assert BEFORE not in found.carried_from
    assert found.carried_from[0] == "Corvane 2031 Causeway Roller Hockey"


def test_a_release_whose_files_have_errors_is_passed_over(own_season):
    """The next one lends instead, and is named."""
    path = own_season / "releases/copperplate/sales.csv"
    path.write_text(path.read_text("utf-8") + "yesterday,Base,,001,dear,,,,raw,,,sure\n", "utf-8")
    found = Season.open(own_season).facts("kittiwake").values.carried_from
    assert COPPERPLATE not in found
    assert found[0] == GATEHOUSE


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
