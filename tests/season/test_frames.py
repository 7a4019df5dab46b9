"""Data frames for notebooks."""

from __future__ import annotations

import pandas as pd
import pytest

import rating
from rating.doubt.what_if import WhatIf
from rating.errors import RatingError


def test_the_frames_of_a_season(small_season, record):
    """Tables as data frames: missing numbers are missing, grades are points, text stays text."""
    for slug in ("deep-harbour", "high-water", "low-water"):
        record(small_season, slug)
    season = rating.open_season(small_season)
    frame = season.standings()
    assert list(frame["release"]) == ["high-water", "deep-harbour", "low-water"]
    assert list(frame["grade"]) == [51.8, 51.5, 55.7]
    assert list(frame["rank"].isna()) == [False, False, True]
    assert list(frame["rank"][:2]) == [1, 2]
    scores = season.scores().set_index(["release", "criterion"])
    assert scores.loc[("deep-harbour", "rookies"), "score"] == 53
    assert scores.loc[("low-water", "roster"), "score"] is pd.NA
    assert ("deep-harbour", "relics") not in scores.index
    tried = season.what_if(WhatIf(points={"design": 0})).set_index("release")
    assert tried.loc["high-water", "grade_before"] == 51.8
    assert tried.loc["low-water", "rank"] is pd.NA
    # the grade follows from scores and points
    rows = scores.loc["deep-harbour"]
    assert (rows["score"] * rows["points"]).sum() / rows["points"].sum() == pytest.approx(4889 / 95)
    cards = season.checklist("deep-harbour")
    assert list(cards["number"][:2]) == ["001", "002"]
    assert list(cards["print_run"].isna()) == [True] * 4 + [False] * 2 + [True]
    prices = season.prices("deep-harbour")
    assert [str(price) for price in prices["per_card"]] == ["1.43", "1.79"]
    assert season.prices("low-water").empty


@pytest.mark.parametrize("name", ["checklist", "parallels", "odds", "prices", "sales", "slots", "opened"])
def test_a_tidy_table_is_what_another_reader_finds_in_its_file(sample_season, name):
    """Row for row, with the file's columns, and text as it is written: 001 stays 001."""
    path = sample_season / "releases" / "halyard" / f"{name}.csv"
    found = rating.open_season(sample_season).tidy("halyard", name)
    if not path.exists():
        assert found.empty
        return
    read = pd.read_csv(path, dtype=str, keep_default_na=False)
    assert len(found) == len(read) > 0
    assert set(read) <= set(found)
    for column in {"number", "subjects", "subset", "title", "source", "slot"} & set(read):
        assert list(found[column]) == list(read[column])


def test_a_table_that_no_release_has_is_refused(sample_season):
    """With those that there are."""
    with pytest.raises(RatingError, match="no table 'cards'") as told:
        rating.open_season(sample_season).tidy("halyard", "cards")
    assert "checklist, parallels, odds, prices, sales, opened, slots" in told.value.fix
