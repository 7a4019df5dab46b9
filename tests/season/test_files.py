"""The files of a season: each read once, amounts in its currency."""

from __future__ import annotations

from datetime import date

import pytest

from rating.errors import RatingError
from rating.facts.stored import stored
from rating.season.check import check
from rating.season.season import Season


def test_what_no_day_changes_is_worked_out_once_and_is_the_same(sample_season):
    """Facts of one day, asked after those of another, are those of a season that was just opened."""
    used = Season.open(sample_season)
    first = used.facts("halyard", as_of=date(2031, 4, 30))
    later = used.facts("halyard", as_of=date(2031, 7, 15))
    assert later.scarcity is first.scarcity
    assert later.economics != first.economics
    fresh = Season.open(sample_season).facts("halyard", as_of=date(2031, 7, 15))
    assert stored(later) == stored(fresh)


def test_a_rate_brings_other_money_into_the_season(small_season):
    """100 EUR at 1.5 are 150 in facts and unremarked by check; without a rate they are set aside."""
    folder = small_season / "releases" / "deep-harbour"
    with (folder / "prices.csv").open("a", encoding="utf-8") as file:
        file.write("2031-04-30,hobby,box,street,100.00,EUR,a shop\n")
    before = Season.open(small_season)
    assert before.facts("deep-harbour").economics.left_out == ("1 price in another currency than USD",)
    assert [one.code for one in check(before, "deep-harbour")].count("foreign-currency") == 1
    path = small_season / "season.toml"
    path.write_text(path.read_text(encoding="utf-8") + "\n[rates]\nEUR = 1.5\n", encoding="utf-8")
    after = Season.open(small_season)
    assert after.facts("deep-harbour").economics.main.street_price == 150
    assert [one.code for one in check(after, "deep-harbour")].count("foreign-currency") == 0


@pytest.mark.parametrize("line", ["eur = 1.5", "EUR = 0", 'EUR = "1.5"'])
def test_a_rate_that_is_none_is_refused(small_season, line):
    """Three letters, and a number above 0."""
    path = small_season / "season.toml"
    path.write_text(path.read_text(encoding="utf-8") + f"\n[rates]\n{line}\n", encoding="utf-8")
    with pytest.raises(RatingError, match=r"rates\.(eur|EUR) is"):
        Season.open(small_season)
