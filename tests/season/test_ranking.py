"""The ranking of what is recorded, and of a draft among it."""

from __future__ import annotations

from rating.season.season import Season


def test_a_draft_is_told_the_place_it_would_take(small_season, record):
    """Among what is recorded, without being recorded."""
    record(small_season, "deep-harbour")
    season = Season.open(small_season)
    assert season.place_of(season.grade("high-water")).rank == 1
    assert season.place_of(season.grade("deep-harbour")).rank == 1
    assert season.place_of(season.grade("low-water")).ranked_apart
    assert [one.release for one in season.rank()] == ["deep-harbour"]
