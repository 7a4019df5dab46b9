"""What stands beside a ranking: what is to come, what waits, what is held back."""

from __future__ import annotations

from datetime import UTC, date, datetime

from rating.season.season import Season

NOW = datetime(2031, 5, 1, 20, 0, tzinfo=UTC)


def test_an_embargo_holds_until_its_day(small_season, rewrite):
    """That of the release, else of the season; without either nothing is held back."""
    assert Season.open(small_season).held_back() == {}
    rewrite(small_season / "season.toml", 'embargo = "none"', 'embargo = "release date"')
    assert Season.open(small_season).held_back() == {"spring-tide": date(2031, 9, 1)}
    path = small_season / "releases" / "high-water" / "release.toml"
    rewrite(path, "[disclosure]", "embargo = 2031-05-02\n[disclosure]")
    assert Season.open(small_season).held_back()["high-water"] == date(2031, 5, 2)
    later = Season.open(small_season, today=date(2031, 5, 2))
    assert later.held_back() == {"spring-tide": date(2031, 9, 1)}


def test_what_is_to_come_and_what_waits(small_season, rewrite, record):
    """By date; a release without a date comes last, one that was withdrawn does not wait."""
    season = Season.open(small_season)
    assert season.to_come() == (("spring-tide", date(2031, 9, 1)),)
    assert season.not_reviewed() == ("deep-harbour", "high-water", "low-water")
    rewrite(small_season / "releases" / "low-water" / "release.toml", "date = 2031-04-20\n", "")
    record(small_season, "deep-harbour")
    season = Season.open(small_season)
    season.withdraw("deep-harbour", reason="Searched.", on=season.today, now=NOW)
    assert season.to_come() == (("spring-tide", date(2031, 9, 1)), ("low-water", None))
    assert season.not_reviewed() == ("high-water",)
