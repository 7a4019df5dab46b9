"""Drafts and recorded reviews: what they hold, what moves them and what does not."""

from __future__ import annotations

import random
import shutil
from datetime import UTC, date, datetime, timedelta

import pytest

from rating import review as reviews
from rating.errors import RatingError
from rating.season.season import Season

NOW = datetime(2031, 5, 1, 20, 0, tzinfo=UTC)


def test_adding_or_removing_a_release_moves_no_grade(small_season, rewrite):
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


def test_a_review_holds_what_it_was_made_from(small_season, record):
    """Rubric and facts by hash and whole, module and code, raters by key, class and price."""
    stored = record(small_season, "deep-harbour")
    ledger = Season.open(small_season).recorded.ledger
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


def test_the_class_is_frozen_at_launch(small_season, rewrite, record):
    """The price falls from 200 to 20 after the launch review: the class stays."""
    record(small_season, "deep-harbour", stage="launch", on=date(2031, 4, 1))
    path = small_season / "releases" / "deep-harbour" / "prices.csv"
    rewrite(path, "2031-03-14,hobby,box,street,200.00", "2031-03-14,hobby,box,street,20.00")
    found = Season.open(small_season).grade("deep-harbour")
    assert (found.review.price_class, found.review.log_price) == ("middle", "2.99573")  # ln 20


def test_a_changed_band_moves_nothing_that_was_recorded_from_launch_on(own_season, rewrite):
    """Facts, lending and review keep the class of the launch; what was never recorded follows."""
    rewrite(own_season / "season.toml", "below = 60", "below = 170")
    rewrite(own_season / "season.toml", "below = 250", "below = 180")
    season = Season.open(own_season)
    drafts = {slug: season.grade(slug) for slug, entry in season.recorded.current.items()}
    assert len(drafts) == 18
    for slug, draft in drafts.items():
        assert not draft.differs, slug
        assert draft.facts.economics.price_class == draft.review.price_class
    assert season.facts("gatehouse").economics.price_class == "middle"  # at 104.00 on its release day
    (own_season / "ledger.db").unlink()
    fresh = Season.open(own_season).grade("gatehouse")
    assert (fresh.review.price_class, fresh.facts.economics.price_class) == ("everyday", "everyday")
    before, after = (
        next(score.measure for score in one.review.scores if score.criterion == "outlay")
        for one in (drafts["gatehouse"], fresh)
    )
    assert before == after  # a band has no part in what is typical at a price


def test_before_launch_the_class_follows_the_price(small_season, rewrite, record):
    """A preview freezes nothing."""
    record(small_season, "deep-harbour", stage="preview", on=date(2031, 4, 1))
    path = small_season / "releases" / "deep-harbour" / "prices.csv"
    rewrite(path, "street,200.00", "street,20.00")
    assert Season.open(small_season).grade("deep-harbour").review.price_class == "everyday"


def test_judgements_can_be_tried_without_the_file(small_season):
    """None of them: only what is computed counts, 53 points of 95."""
    found = Season.open(small_season).grade("deep-harbour", judgements=())
    # (10 x 44 + 10 x 53 + 13 x 52 + 6 x 32 + 4 x 39 + 5 x 15 + 5 x 50) / 53 = 43.75
    assert found.graded.grade == 438
    assert found.graded.ranked_apart


def test_what_was_recorded_since_the_draft_counts(small_season):
    """Two hosts draft at once; the second says the same, or an earlier day, and is held to the first."""
    first, second = Season.open(small_season), Season.open(small_season)
    day, before = first.today, first.today - timedelta(days=1)
    drafts = [one.grade("deep-harbour", on=day) for one in (first, second)]
    earlier = second.grade("deep-harbour", on=before, stage="settled")
    assert first.record(drafts[0], now=NOW) is not None
    assert second.record(drafts[1], now=NOW) is None
    with pytest.raises(RatingError, match=f"the last review of deep-harbour is of {day.isoformat()}"):
        second.record(earlier, now=NOW)
    assert len(Season.open(small_season).recorded.entries) == 1


def test_a_withdrawal_is_of_the_review_that_was_seen(small_season):
    """Somebody records it anew in between: nothing is withdrawn, and it says so."""
    season, other = Season.open(small_season), Season.open(small_season)
    season.record(season.grade("deep-harbour"), now=NOW)
    assert [entry.release for entry in season.recorded.entries] == ["deep-harbour"]
    other.record(other.grade("deep-harbour", stage="settled"), now=NOW)
    with pytest.raises(RatingError, match="somebody has just recorded deep-harbour again"):
        season.withdraw("deep-harbour", reason="The boxes were searched.", on=season.today, now=NOW)
    assert len(Season.open(small_season).recorded.entries) == 2


def test_the_remark_alone_is_the_one_beside_the_grade(own_season):
    """Asked of the overruled criteria only, it says what the whole grading says; with and without one."""
    path = own_season / "releases" / "slipway" / "scores.toml"
    far = '\n[mo.rookies]\nscore = 1\nreason = "Too few of them matter."\nspread = 5\n'
    path.write_text(path.read_text(encoding="utf-8") + far, encoding="utf-8")
    season = Season.open(own_season)
    whole = {slug: season.grade(slug).beside.remark for slug in ("slipway", "gatehouse", "oakum")}
    assert {slug: season.overruled(slug) for slug in whole} == whole
    assert (whole["slipway"][:25], whole["oakum"]) == ("A personal score is far f", "")
