"""The slots of a break of a release in a season: asked prices up to the day, picks of the rubric."""

from __future__ import annotations

import pytest

import rating
from rating.errors import Refused
from rating.season.check import check
from rating.season.days import day_from
from rating.season.season import Season


def test_asked_prices_count_up_to_today(sample_season):
    """Before the shop's list of 19 April nothing is asked; after it every team has its price."""
    early = Season.open(sample_season, today=day_from("2031-04-18", where="")).slots("halyard")
    late = Season.open(sample_season, today=day_from("2031-04-19", where="")).slots("halyard")
    assert {one.asked for one in early.slots} == {None}
    assert sum(one.asked for one in late.slots) == 1845
    assert late.random is None
    assert Season.open(sample_season).slots("halyard").random is not None


def test_the_picks_are_those_that_the_rubric_asks_for(sample_season):
    """In its order, each with a sentence."""
    found = rating.open_season(sample_season).slots("halyard")
    assert [one.aim for one in found.picks] == [
        "rookie hunter",
        "autograph buyer",
        "never empty-handed",
        "bargain hunter",
    ]
    assert all(one.why for one in found.picks)


def test_an_aim_that_is_none_is_named_by_check_and_refused(own_season):
    """With its row, and the aims that there are."""
    path = own_season / "rubric.toml"
    text = path.read_text(encoding="utf-8").replace('aim = "autograph buyer"', 'aim = "box smasher"')
    path.write_text(text, encoding="utf-8")
    season = Season.open(own_season)
    (one,) = [one for one in check(season) if one.code == "unknown-aim"]
    assert one.row == text.splitlines().index('aim = "box smasher"') + 1
    assert "rookie hunter" in one.fix
    with pytest.raises(Refused, match="box smasher"):
        season.slots("halyard")


def test_picks_do_not_decide_a_grade(own_season):
    """The rubric's hash names what does; who is picked for is a note."""
    before = Season.open(own_season).rubric
    path = own_season / "rubric.toml"
    text = path.read_text(encoding="utf-8").replace("under = 60", "under = 90")
    path.write_text(text, encoding="utf-8")
    after = Season.open(own_season).rubric
    assert before.picks != after.picks
    assert before.hash == after.hash


def test_the_frame_has_a_row_for_each_slot(sample_season):
    """Numbers as numbers, cards and expected copies beside each other."""
    frame = rating.open_season(sample_season).slots("halyard").frame()
    assert len(frame) == 16
    assert {"slot", "autographs", "expected_autographs", "worth", "cost_share", "asked", "tier"} <= set(frame)
    assert frame["share"].sum() == pytest.approx(1, abs=1e-12)
    assert frame["worth"].dtype == float
