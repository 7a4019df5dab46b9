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


def test_the_sample_restated_by_its_own_rubric_is_what_was_published(sample_season):
    """Every grade, bound, place and verdict follows anew from what the review keeps."""
    season = Season.open(sample_season)
    rows = season.restated()
    assert len(rows) > 15
    assert {row.published.rubric for row in rows} == {season.rubric.hash}
    for row in rows:
        told = [
            (one.rank, one.class_rank, one.tied, one.grade, one.lowest, one.highest, one.verdict, one.partial)
            for one in (row.published, row.restated)
        ]
        assert told[0] == told[1]
