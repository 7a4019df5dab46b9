"""Who is wanted on a day: from the sales of all releases up to it, and the host's word."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from scipy.stats import spearmanr

from rating import text
from rating.season.context.facts import SeasonFacts
from rating.season.files import SeasonFiles
from rating.season.season import Season

ROOT = Path(__file__).resolve().parents[3]
# the numbers that the sample's sales were drawn with, among them how much each subject is wanted
DRAWN_WITH = ROOT / "tests" / "release" / "intake" / "data" / "halyard" / "answers.json"
TODAY = date(2031, 7, 15)
NOW = datetime(2031, 7, 15, 20, 0, tzinfo=UTC)


def facts_of(path):
    return SeasonFacts(SeasonFiles(path))


@pytest.fixture(scope="module")
def season():
    """The facts of the sample season as it is shipped, without a ledger."""
    return facts_of(ROOT / "sample_ratings")


@pytest.fixture
def own(tmp_path):
    """A copy of it that a test may change."""
    path = tmp_path / "season"
    shutil.copytree(ROOT / "sample_ratings", path)
    return path


def test_it_goes_with_what_the_sales_were_drawn_with(season):
    """Of everybody sold, and more so of those sold five times or more."""
    hidden = json.loads(DRAWN_WITH.read_text(encoding="utf-8"))["market"]["demand"]
    truth = {text.key(name): amount for name, amount in hidden.items()}
    found = season.demand(TODAY)
    assert len(found) > 150

    def agreement(names):
        return spearmanr([float(found[name].demand) for name in names], [truth[name] for name in names])[0]

    often = [name for name, one in found.items() if int(one.why.split()[0]) >= 5]
    assert agreement(list(found)) > 0.8
    assert len(often) > 50
    assert agreement(often) > 0.85
    assert {one.basis for one in found.values()} == {"sales"}


def test_it_knows_no_sale_after_the_day(season):
    """Before there are two sales a subject nobody is known; after the last one nothing changes."""
    assert season.demand(date(2031, 3, 14)) is None
    early, late = season.demand(date(2031, 4, 10)), season.demand(date(2031, 5, 18))
    assert len(early) < len(late)
    assert season.demand(date.max) == late
    assert season.demand(date(2031, 4, 10)) is early


def test_what_a_release_was_sold_for_says_nothing_twice(season):
    """Its own prices are modelled without the demand that they made themselves; those of others with it."""
    halyard, gatehouse = season.context("halyard", TODAY), season.context("gatehouse", TODAY)
    assert halyard.demand == gatehouse.demand == season.demand(TODAY)
    assert halyard.demand_of_others is None
    assert gatehouse.demand_of_others == season.demand(TODAY)


def test_two_releases_speak_together(own):
    """The same sales in a release of their own: twice as many sales, and who is wanted stays the same."""
    before = Season.open(own).demand()
    shutil.copytree(own / "releases" / "halyard", own / "releases" / "again")
    after = facts_of(own)
    assert {name: one.demand for name, one in after.demand(TODAY).items()} == {
        name: one.demand for name, one in before.items()
    }
    assert all("in 2 releases" in one.why for one in after.demand(TODAY).values())
    # and without one of them it is what the other says
    assert after.context("again", TODAY).demand_of_others == before


def test_the_host_nudges_what_sales_say(own):
    """Halfway between where both speak; else the one who does."""
    sold = next(iter(Season.open(own).demand().values()))
    table = f"subject,demand,why\n{sold.subject},90,captain now\nFay Wick,85,\n"
    (own / "demand.csv").write_text(table, encoding="utf-8")
    season = facts_of(own)
    both = season.demand(TODAY)[text.key(sold.subject)]
    assert both.basis == "both"
    assert abs((sold.demand + 90) / 2 - both.demand) <= sold.demand.__class__("0.05")
    assert season.demand(TODAY)["fay wick"].basis == "nudge"
    # before there are sales the host's word is all there is, and so it is for the prices of what was sold
    assert set(season.demand(date(2031, 3, 1))) == {text.key(sold.subject), "fay wick"}
    assert season.context("halyard", TODAY).demand_of_others == season.files.nudges


def test_few_sales_say_nothing(own):
    """Nineteen are too few, as for values."""
    path = own / "releases" / "halyard" / "sales.csv"
    path.write_text(
        "".join(path.read_text(encoding="utf-8").splitlines(keepends=True)[:20]), encoding="utf-8"
    )
    season = facts_of(own)
    assert season.demand(TODAY) is None
    assert season.context("halyard", TODAY).has_own_sales is False


def test_a_release_with_errors_is_left_out_and_named(own):
    """The others are graded all the same."""
    with (own / "releases" / "halyard" / "sales.csv").open("a", encoding="utf-8") as file:
        file.write("2031-04-31,Base,,001,5,,,fixed,raw,,,sure\n")
    season = Season.open(own)
    assert season.demand() is None
    assert set(season.sales_left_out) == {"halyard"}
    assert season.facts("gatehouse").people.teams_served


def test_a_review_keeps_the_demand_of_its_day(sample_season):
    """Who was recorded before any sale has none; who first was, or was anew, has that of the day."""
    season = facts_of(sample_season)
    assert season.frozen_context("causeway", TODAY).demand is None
    assert season.frozen_context("halyard", TODAY).demand == season.demand(date(2031, 5, 18))
    assert season.frozen_context("gatehouse", TODAY).demand == season.demand(date(2031, 3, 26))
    assert season.frozen_context("kittiwake", TODAY).demand == season.demand(date(2031, 4, 19))


def test_both_demands_are_kept_with_a_review(own_season):
    """The one for everybody, and the one for the prices of a release that was sold itself."""
    (own_season / "demand.csv").write_text("subject,demand,why\nFay Wick,85,\n", encoding="utf-8")
    season = Season.open(own_season)
    assert season.record(season.grade("halyard", refresh_demand=True), now=NOW) is not None
    again = facts_of(own_season)
    assert again.frozen_context("halyard", TODAY) == again.context("halyard", TODAY)
    assert Season.open(own_season).grade("halyard").differs is False


@pytest.fixture
def worked_out(monkeypatch):
    """The releases whose sales are asked what they say of their subjects, as they are asked."""
    from rating.facts.values import compute

    asked, plain = [], compute.subject_effects

    def counted(own, *words, **more):
        asked.append(own.files.slug)
        return plain(own, *words, **more)

    monkeypatch.setattr(compute, "subject_effects", counted)
    return asked


def test_what_sales_say_is_worked_out_once_until_a_file_changes(own, worked_out, tmp_path, monkeypatch):
    """By the next evening from the cache, alike; then for the one release whose files changed."""
    monkeypatch.setenv("BOXWRIGHT_CACHE", str(tmp_path / "cache"))
    first = facts_of(own).demand(TODAY)
    assert len(worked_out) == len(set(worked_out)) >= 12
    worked_out.clear()
    assert facts_of(own).demand(TODAY) == first
    assert worked_out == []
    path = own / "releases" / "halyard" / "sales.csv"
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text("".join(lines[:-200]), encoding="utf-8")
    fewer = facts_of(own).demand(TODAY)
    assert worked_out == ["halyard"]
    assert fewer != first
    worked_out.clear()
    settings = own / "season.toml"
    settings.write_text(settings.read_text(encoding="utf-8") + "\n# a word\n", encoding="utf-8")
    assert facts_of(own).demand(TODAY) == fewer
    assert len(worked_out) >= 12


def test_what_sales_said_by_an_earlier_day_is_kept_beside(own, worked_out, tmp_path, monkeypatch):
    """A day before some sales asks anew, and does not push out what was kept."""
    monkeypatch.setenv("BOXWRIGHT_CACHE", str(tmp_path / "cache"))
    now = facts_of(own).demand(TODAY)
    then = facts_of(own).demand(date(2031, 4, 1))
    worked_out.clear()
    assert (facts_of(own).demand(TODAY), facts_of(own).demand(date(2031, 4, 1))) == (now, then)
    assert worked_out == []


def test_the_last_days_of_a_long_history_are_kept(own, worked_out, tmp_path, monkeypatch):
    """However many days were asked before, an evening's own day is there the next time."""
    monkeypatch.setenv("BOXWRIGHT_CACHE", str(tmp_path / "cache"))
    for month in range(1, 8):
        facts_of(own).demand(date(2031, month, 1))
    now = facts_of(own).demand(TODAY)
    worked_out.clear()
    assert facts_of(own).demand(TODAY) == now
    assert worked_out == []
