"""The day that counts as today, and what is a day at all."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from rating.errors import RatingError
from rating.season.days import day_from
from rating.season.season import Season


def test_today_is_given_then_the_variable_then_the_file_then_the_clock(small_season, monkeypatch, rewrite):
    """In this order; the clock is read in the season's own zone."""
    assert Season.open(small_season).today == date(2031, 5, 1)
    monkeypatch.setenv("BOXWRIGHT_TODAY", "2031-04-01")
    assert Season.open(small_season).today == date(2031, 4, 1)
    assert Season.open(small_season, today=date(2031, 3, 1)).today == date(2031, 3, 1)
    monkeypatch.delenv("BOXWRIGHT_TODAY")
    path = small_season / "season.toml"
    rewrite(path, "today = 2031-05-01", "")
    text = path.read_text(encoding="utf-8")
    # these two zones are 26 hours apart, so their days always differ
    for zone, shift in (("Pacific/Kiritimati", 14), ("Etc/GMT+12", -12)):
        path.write_text(text.replace('time_zone = "UTC"', f'time_zone = "{zone}"'), encoding="utf-8")
        before = datetime.now(UTC).timestamp() + shift * 3600
        told = Season.open(small_season).today
        after = datetime.now(UTC).timestamp() + shift * 3600
        assert told in {datetime.fromtimestamp(when, UTC).date() for when in (before, after)}


@pytest.mark.parametrize(
    "written", ["2031-02-29", "2031-3-1", "20310301", "1.3.2031", "", "2031-W10-1", "today"]
)
def test_only_an_iso_day_is_a_day(written):
    """With hyphens and two digits; the message names where it was written."""
    with pytest.raises(RatingError) as told:
        day_from(written, where="--on")
    assert told.value.where == "--on"
    assert day_from("2031-03-01", where="--on") == date(2031, 3, 1)
