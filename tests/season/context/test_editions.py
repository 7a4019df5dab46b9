"""Earlier editions of a release: found by line or by name, and seasons that cannot be."""

from __future__ import annotations

import shutil

import pytest

from rating.errors import RatingError
from rating.season.context.editions import history
from rating.season.files import SeasonFiles
from rating.season.season import Season


@pytest.fixture
def with_earlier(small_season, tmp_path, rewrite, record):
    """The season with itself as an earlier one inside: deep-harbour is recorded, and rose from 200 to 250."""
    earlier = tmp_path / "earlier"
    shutil.copytree(small_season, earlier)
    rewrite(earlier / "season.toml", 'name = "Mine 2031"', 'name = "Mine 2030"')
    record(earlier, "deep-harbour")
    with (earlier / "releases" / "deep-harbour" / "prices.csv").open("a", encoding="utf-8") as file:
        file.write("2031-05-20,hobby,box,street,250.00,,two shops\n")
    shutil.copytree(earlier, small_season / "earlier" / "2030")
    rewrite(small_season / "season.toml", "earlier = []", 'earlier = ["earlier/2030"]')
    return small_season


def test_an_earlier_edition_is_found_by_its_line(with_earlier):
    """With its prices, grade and scores; 250 / 200 = 1.25: 50 + 50 ln(1.25 / 0.9) / ln(2 / 0.9) = 70.6."""
    season = Season.open(with_earlier)
    (edition,) = history(season.files, "deep-harbour").editions
    assert (edition.season, edition.release, edition.grade) == ("Mine 2030", "deep-harbour", 515)
    assert (str(edition.held), edition.scores["design"]) == ("1.25", 80)
    found = season.grade("deep-harbour")
    record_line = next(line for line in found.graded.contributions if line.score.criterion == "record")
    assert record_line.score.score == 71
    assert record_line.score.reason == (
        "A box of the previous edition, Marlow 2031 Deep Harbour, sold for $200.00 at launch and has gained "
        "25 % since."
    )


def test_an_earlier_edition_can_be_named(with_earlier, rewrite):
    """Where the line has changed its name; a line of another name has none."""
    path = with_earlier / "releases" / "high-water" / "release.toml"
    rewrite(path, 'line = "High Water"', 'line = "Higher Water"')
    assert history(SeasonFiles(with_earlier), "high-water").editions == ()
    rewrite(path, 'line = "Higher Water"', 'line = "Higher Water"\nearlier = "deep-harbour"')
    (edition,) = history(SeasonFiles(with_earlier), "high-water").editions
    assert edition.title == "Marlow 2031 Deep Harbour"


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ('["earlier/2029"]', "there is no earlier season in earlier/2029"),
        ('["."]', "is not inside the season"),
        ('["loop"]', "is not inside the season"),
    ],
)
def test_an_earlier_season_that_cannot_be_is_told(with_earlier, tmp_path, written, told, rewrite):
    """Missing, the season itself, or a link that leads out of it."""
    (with_earlier / "loop").symlink_to(tmp_path / "earlier")
    rewrite(with_earlier / "season.toml", 'earlier = ["earlier/2030"]', f"earlier = {written}")
    with pytest.raises(RatingError, match=told):
        history(SeasonFiles(with_earlier), "deep-harbour")
