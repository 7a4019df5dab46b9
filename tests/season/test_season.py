"""The season as one object: days, recording, earlier seasons, frozen classes, embargo, data frames."""

from __future__ import annotations

import random
import shutil
from datetime import UTC, date, datetime

import pandas as pd
import pytest

import rating
from rating import review as reviews
from rating.doubt.what_if import WhatIf
from rating.errors import RatingError
from rating.facts.facts import stored
from rating.season.check import check
from rating.season.days import day_from
from rating.season.season import Season

NOW = datetime(2031, 5, 1, 20, 0, tzinfo=UTC)


def rewrite(path, old, new):
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def record(path, slug, **more):
    season = Season.open(path)
    return season.record(season.grade(slug, **more), now=NOW)


@pytest.fixture(autouse=True)
def _no_variable(monkeypatch):
    monkeypatch.delenv("BOXWRIGHT_TODAY", raising=False)


def test_today_is_given_then_the_variable_then_the_file_then_the_clock(small_season, monkeypatch):
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


def test_adding_or_removing_a_release_moves_no_grade(small_season):
    """Scales are declared, not observed."""
    before = {
        slug: Season.open(small_season).grade(slug).graded.grade for slug in ("deep-harbour", "low-water")
    }
    # 4889 / 95 and 2895 / 52
    assert before == {"deep-harbour": 515, "low-water": 557}
    shutil.copytree(small_season / "releases" / "deep-harbour", small_season / "releases" / "another")
    rewrite(small_season / "releases" / "another" / "release.toml", "Deep Harbour", "Deeper Harbour")
    rewrite(small_season / "releases" / "another" / "prices.csv", "200.00", "20000.00")
    shutil.rmtree(small_season / "releases" / "high-water")
    after = {slug: Season.open(small_season).grade(slug).graded.grade for slug in before}
    assert after == before


def test_the_order_of_rows_is_irrelevant(small_season):
    """Checklist, prices and rookies in any order give the same review, to its last letter."""
    folder = small_season / "releases" / "deep-harbour"
    before = Season.open(small_season).grade("deep-harbour")
    for path in (folder / "prices.csv", small_season / "rookies.csv"):
        head, *rows = path.read_text(encoding="utf-8").splitlines()
        random.Random(3).shuffle(rows)
        path.write_text("\n".join([head, *rows[::-1]]) + "\n", encoding="utf-8")
    head, *rows = (folder / "checklist.csv").read_text(encoding="utf-8").splitlines()
    (folder / "checklist.csv").write_text("\n".join([head, *rows[::-1]]) + "\n", encoding="utf-8")
    after = Season.open(small_season).grade("deep-harbour")
    assert [
        (line.score.criterion, line.score.score, line.score.measure) for line in after.graded.contributions
    ] == [
        (line.score.criterion, line.score.score, line.score.measure) for line in before.graded.contributions
    ]
    assert after.graded.grade == before.graded.grade


def test_a_review_holds_what_it_was_made_from(small_season):
    """Rubric and facts by hash and whole, module and code, raters by key, class and price."""
    stored = record(small_season, "deep-harbour")
    ledger = Season.open(small_season).ledger
    entry = ledger.entries()[0]
    assert reviews.text_of(ledger.review(entry.id)) == reviews.text_of(stored)
    assert (stored.grade, stored.lowest, stored.highest) == (515, 515, 515)
    assert (stored.season, stored.release, stored.stage) == ("Mine 2031", "deep-harbour", "preview")
    assert (stored.price_class, stored.product_format, stored.raters) == ("middle", "hobby", ("me",))
    assert stored.log_price == "5.29832"  # ln 200, six digits
    assert (stored.published_on, stored.recorded_at) == ("2031-05-01", "2031-05-01T20:00:00Z")
    assert stored.disclosure.how_obtained == ("bought",)
    assert '"points":130' in ledger.rubric(stored.rubric)
    assert '"box_price":"200"' in ledger.facts(stored.facts)
    computed = {one.criterion: one for one in stored.scores}["rookies"]
    assert (computed.module, computed.measure, computed.basis) == ("criteria.rookies 1", "0.475", "computed")
    assert len(computed.module_hash) == 64
    assert [one.criterion for one in stored.not_applicable] == ["relics"]


def test_the_class_is_frozen_at_launch(small_season):
    """The price falls from 200 to 20 after the launch review: the class stays, the outlay is held to it."""
    record(small_season, "deep-harbour", stage="launch", on=date(2031, 4, 1))
    path = small_season / "releases" / "deep-harbour" / "prices.csv"
    rewrite(path, "2031-03-14,hobby,box,street,200.00", "2031-03-14,hobby,box,street,20.00")
    found = Season.open(small_season).grade("deep-harbour")
    assert (found.review.price_class, found.review.log_price) == ("middle", "2.99573")  # ln 20


def test_before_launch_the_class_follows_the_price(small_season):
    """A preview freezes nothing."""
    record(small_season, "deep-harbour", stage="preview", on=date(2031, 4, 1))
    path = small_season / "releases" / "deep-harbour" / "prices.csv"
    rewrite(path, "street,200.00", "street,20.00")
    assert Season.open(small_season).grade("deep-harbour").review.price_class == "everyday"


@pytest.fixture
def with_earlier(small_season, tmp_path):
    """The season with itself as an earlier one inside, where deep-harbour is recorded and held 125 %."""
    earlier = tmp_path / "earlier"
    shutil.copytree(small_season, earlier)
    rewrite(earlier / "season.toml", 'name = "Mine 2031"', 'name = "Mine 2030"')
    record(earlier, "deep-harbour")
    shutil.copytree(earlier, small_season / "earlier" / "2030")
    rewrite(small_season / "season.toml", "earlier = []", 'earlier = ["earlier/2030"]')
    return small_season


def test_an_earlier_edition_is_found_by_its_line(with_earlier):
    """With its prices, grade and scores; 200 / 160 = 1.25: 50 + 50 ln(1.25 / 0.9) / ln(2 / 0.9) = 70.6."""
    season = Season.open(with_earlier)
    (edition,) = season.history("deep-harbour").editions
    assert (edition.season, edition.release, edition.grade) == ("Mine 2030", "deep-harbour", 515)
    assert (str(edition.held), edition.scores["design"]) == ("1.25", 80)
    found = season.grade("deep-harbour")
    record_line = next(line for line in found.graded.contributions if line.score.criterion == "record")
    assert record_line.score.score == 71
    assert record_line.score.reason == "The Mine 2030 edition listed at 160.00 and is up 25 %."


def test_an_earlier_edition_can_be_named(with_earlier):
    """Where the line has changed its name; a line of another name has none."""
    path = with_earlier / "releases" / "high-water" / "release.toml"
    rewrite(path, 'line = "High Water"', 'line = "Higher Water"')
    assert Season.open(with_earlier).history("high-water").editions == ()
    rewrite(path, 'line = "Higher Water"', 'line = "Higher Water"\nearlier = "deep-harbour"')
    (edition,) = Season.open(with_earlier).history("high-water").editions
    assert edition.title == "Marlow 2031 Deep Harbour"


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ('["earlier/2029"]', "there is no earlier season in earlier/2029"),
        ('["."]', "is not inside the season"),
        ('["loop"]', "is not inside the season"),
    ],
)
def test_an_earlier_season_that_cannot_be_is_told(with_earlier, tmp_path, written, told):
    """Missing, the season itself, or a link that leads out of it."""
    (with_earlier / "loop").symlink_to(tmp_path / "earlier")
    rewrite(with_earlier / "season.toml", 'earlier = ["earlier/2030"]', f"earlier = {written}")
    with pytest.raises(RatingError, match=told):
        Season.open(with_earlier).history("deep-harbour")


def test_an_embargo_holds_until_its_day(small_season):
    """That of the release, else of the season; without either nothing is held back."""
    assert Season.open(small_season).held_back() == {}
    rewrite(small_season / "season.toml", 'embargo = "none"', 'embargo = "release date"')
    assert Season.open(small_season).held_back() == {"spring-tide": date(2031, 9, 1)}
    path = small_season / "releases" / "high-water" / "release.toml"
    rewrite(path, "[disclosure]", "embargo = 2031-05-02\n[disclosure]")
    assert Season.open(small_season).held_back()["high-water"] == date(2031, 5, 2)
    later = Season.open(small_season, today=date(2031, 5, 2))
    assert later.held_back() == {"spring-tide": date(2031, 9, 1)}


def test_what_is_to_come_and_what_waits(small_season):
    """By date; a release without a date comes last, one that was withdrawn does not wait."""
    season = Season.open(small_season)
    assert season.to_come() == [("spring-tide", date(2031, 9, 1))]
    assert season.not_reviewed() == ["deep-harbour", "high-water", "low-water"]
    rewrite(small_season / "releases" / "low-water" / "release.toml", "date = 2031-04-20\n", "")
    record(small_season, "deep-harbour")
    season = Season.open(small_season)
    season.withdraw("deep-harbour", reason="Searched.", on=season.today, now=NOW)
    assert season.to_come() == [("spring-tide", date(2031, 9, 1)), ("low-water", None)]
    assert season.not_reviewed() == ["high-water"]


def test_a_grading_names_the_place_it_would_take(small_season):
    """Among what is recorded, without being recorded."""
    record(small_season, "deep-harbour")
    season = Season.open(small_season)
    assert season.place_of(season.grade("high-water")).rank == 1
    assert season.place_of(season.grade("deep-harbour")).rank == 1
    assert season.place_of(season.grade("low-water")).ranked_apart
    assert [one.release for one in season.rank()] == ["deep-harbour"]


def test_judgements_can_be_tried_without_the_file(small_season):
    """None of them: only what is computed counts, 53 points of 95."""
    found = Season.open(small_season).grade("deep-harbour", judgements=())
    # (10 x 44 + 10 x 53 + 13 x 52 + 6 x 32 + 4 x 39 + 5 x 15 + 5 x 50) / 53 = 43.75
    assert found.graded.grade == 438
    assert found.graded.ranked_apart


def test_the_frames_of_a_season(small_season):
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
    assert tried.loc["low-water", "after"] is pd.NA
    # the grade follows from scores and points
    rows = scores.loc["deep-harbour"]
    assert (rows["score"] * rows["points"]).sum() / rows["points"].sum() == pytest.approx(4889 / 95)
    cards = season.checklist("deep-harbour")
    assert list(cards["number"][:2]) == ["001", "002"]
    assert list(cards["print_run"].isna()) == [True] * 4 + [False] * 2 + [True]
    prices = season.prices("deep-harbour")
    assert [str(price) for price in prices["per_card"]] == ["1.43", "1.79"]
    assert season.prices("low-water").empty


def test_a_folder_that_is_no_season_is_refused(tmp_path):
    """With its file."""
    with pytest.raises(RatingError, match=r"season\.toml|no such|not there"):
        rating.open_season(tmp_path)


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
