"""Files taken in for a release of a season, and what that does to its recorded review."""

from __future__ import annotations

import pytest

from rating.season.intake import take_in_for, words_of
from rating.season.season import Season


@pytest.fixture
def season(own_season):
    return Season.open(own_season)


def revised(season, tmp_path, slug="halyard", **swaps):
    """The release's own checklist as a maker would publish it again, with some cells changed."""
    text = (season.path / "releases" / slug / "checklist.csv").read_text(encoding="utf-8")
    for old, new in swaps.values():
        assert old in text
        text = text.replace(old, new)
    path = tmp_path / "revised.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_the_season_tells_its_teams_subjects_and_other_lines(season):
    """With codes and other spellings, and the people of the other releases."""
    words = words_of(season, "halyard")
    assert {one.name for one in words.teams} == {one.name for one in season.config.teams}
    assert words.currency == season.config.currency
    assert "Kittiwake" in words.other_lines
    assert "Halyard" not in words.other_lines
    assert len(words.subjects) > 50


def test_the_same_cards_in_a_makers_list_change_nothing(season, tmp_path):
    """The tidy checklist read as a maker's file comes out as it went in; the review stands."""
    result, effect = take_in_for(season, "halyard", [revised(season, tmp_path)])
    assert result.changed == {"added": 0, "removed": 0, "altered": 0}
    assert effect is None


def test_a_revised_list_tells_what_it_does_to_the_recorded_grade(season, tmp_path):
    """The recorded grade, the one it would become, and the criteria that move."""
    text = (season.path / "releases" / "halyard" / "checklist.csv").read_text(encoding="utf-8")
    lines = text.splitlines()
    gone = [line for line in lines if not line.startswith("Deck Signatures,")]
    path = tmp_path / "revised.csv"
    path.write_text("\n".join(gone) + "\n", encoding="utf-8")
    before = Season.open(season.path).grade("halyard").graded.grade
    result, effect = take_in_for(season, "halyard", [path], replace=True)
    after = Season.open(season.path).grade("halyard").graded.grade
    assert result.changed["removed"] == len(lines) - len(gone)
    assert (effect.before, effect.after) == (before, after)
    assert before != after
    assert f"the grade would go from {before / 10} to {after / 10}" in effect.told
    assert f"{len(lines) - len(gone)} cards changed" in effect.told
    assert any(key == "signatures" for key, _, _ in effect.scores)


def test_a_release_that_is_not_there_is_refused(season, tmp_path):
    """In the words of the other commands."""
    from rating.errors import RatingError

    with pytest.raises(RatingError, match="no release named 'nowhere'"):
        take_in_for(season, "nowhere", [tmp_path / "x.csv"])
