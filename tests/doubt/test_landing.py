"""What a landing moved: every place, gap and share of it by hand."""

from __future__ import annotations

import dataclasses
from fractions import Fraction

import pytest

from rating.doubt.landing import landing, lead_by_criterion, moves, paragraph, told_between
from rating.doubt.ranges import ranges


@pytest.fixture
def landed(row, table):
    """Cutter, 64, lands between anchor, 70, and beacon, 55; dinghy, 30, is last."""
    old = (row("anchor", 90, 50), row("beacon", 60, 50), row("dinghy", 30, 30))
    before = table(*old)
    after = table(old[0], row("cutter", 58, 70), *old[1:])
    return landing(before, after, "cutter", reviewed_on="2031-05-01", ranges=ranges(after))


def test_places_are_those_of_before_and_after(landed):
    """Beacon and dinghy lose one each, and were passed."""
    assert (landed.place, landed.of, landed.grade) == ("2", 4, 640)
    assert [(one.release, one.before, one.after, one.moved, one.passed) for one in landed.rows] == [
        ("anchor", 1, 1, 0, False),
        ("cutter", None, 2, None, False),
        ("beacon", 2, 3, -1, True),
        ("dinghy", 3, 4, -1, True),
    ]


def test_a_place_is_firm_where_it_is_kept_in_nine_of_ten(row, table, landed):
    """Dinghy is last whatever is drawn; two that swap in nearly half of all draws are firm in no place."""
    assert {one.release: one.is_firm for one in landed.rows}["dinghy"] is True
    after = table(row("anchor", 62, 60), row("cutter", 60, 61), row("dinghy", 10, 10))
    found = landing(table(*after.rows[:1]), after, "cutter", reviewed_on="2031-05-01", ranges=ranges(after))
    assert [one.is_firm for one in found.rows] == [False, False, True]


def test_the_day_is_the_one_on_which_it_came_out(row, table):
    """The review has its own, which may be earlier."""
    cutter = dataclasses.replace(row("cutter", 58, 70), released_on="2031-04-20")
    after = table(cutter, row("beacon", 60, 50))
    found = landing(table(), after, "cutter", reviewed_on="2031-05-01", ranges=ranges(after))
    assert (found.day, found.reviewed_on) == ("2031-04-20", "2031-05-01")


def test_the_criteria_that_part_it_from_its_neighbours_are_named(landed):
    """Against anchor: roster (58 - 90)/2 = -16, design (70 - 50)/2 = +10; against beacon -1 and +10."""
    assert (landed.above.release, landed.above.gap) == ("anchor", -60)
    assert landed.above.against == (("roster", Fraction(-16)),)
    assert landed.above.for_it == (("design", Fraction(10)),)
    assert (landed.below.release, landed.below.gap) == ("beacon", 90)
    assert landed.below.for_it == (("design", Fraction(10)),)


def test_contributions_sum_to_the_difference_of_the_grades_with_gaps_too(row, table):
    """What does not apply stands at the release's own mean."""
    made = table(row("anchor", 90, None), row("beacon", 60, 51), points=(700, 300))
    parts = lead_by_criterion(made, *made.rows)
    assert sum(parts.values()) == made.unrounded(made.rows[0]) - made.unrounded(made.rows[1])


def test_the_story_can_be_read_aloud(landed):
    """Where it lands, what it passes, and what decides."""
    told = paragraph(landed)
    assert told.startswith("Cutter entered 2nd of 4 with 64.0. It came in ahead of Beacon and Dinghy; ")
    assert "6.0 points behind Anchor, mostly on roster (-16.0)" in told
    assert "9.0 points ahead of Beacon, mostly on design (+10.0)" in told


def test_a_release_that_was_there_before_passes_only_what_was_ahead(row, table):
    """Cutter climbs from 3 to 1: it passes both; anchor and beacon keep their order."""
    before = table(row("anchor", 90, 50), row("beacon", 60, 50), row("cutter", 10, 10))
    after = table(row("cutter", 95, 95), row("anchor", 90, 50), row("beacon", 60, 50))
    found = moves(before, after, landed="cutter")
    assert {one.release: one.passed for one in found} == {"cutter": False, "anchor": True, "beacon": True}
    assert found[0].moved == 2


def test_a_release_without_a_place_cannot_land(row, table):
    """Half of it is unknown."""
    after = table(row("anchor", 90, 50), row("cutter", 60, "?"))
    with pytest.raises(ValueError, match="no place"):
        landing(after, after, "cutter", reviewed_on="2031-05-01", ranges=ranges(after))


def test_what_changed_between_two_days_is_told(row, table):
    """One came in, one changed its grade, one left."""
    before = table(row("anchor", 90, 50), row("beacon", 60, 50))
    after = table(row("anchor", 90, 60), row("cutter", 58, 70))
    told = told_between(moves(before, after), "2031-05-01", "2031-06-01")
    assert "Cutter entered 2nd" in told
    assert "Anchor rose from 70.0 to 75.0" in told
    assert "Beacon left the ranking" in told


def test_two_days_without_a_change_say_so(row, table):
    """No news is news."""
    same = table(row("anchor", 90, 50))
    told = told_between(moves(same, same), "2031-05-01", "2031-06-01")
    assert told == "Nothing moved between 2031-05-01 and 2031-06-01."
