"""What the standings would be: every grade by hand arithmetic."""

from __future__ import annotations

import pytest

from rating.doubt.score_table import ScoreRow, ScoreTable
from rating.doubt.what_if import WhatIf, changed, told, try_out


def row(release, *scores):
    """A release with these scores; None does not apply."""
    return ScoreRow(
        release=release,
        title=f"Marlow {release.title()}",
        released_on="",
        price_class="",
        stage="launch",
        published=None,
        restated=False,
        scores=scores,
        applies=tuple(score is not None for score in scores),
        spreads=(5,) * len(scores),
    )


# grades 65.0, 60.0 and, on two criteria of 80 points, (50 x 40 + 30 x 60) / 80 = 47.5
TABLE = ScoreTable(
    criteria=("roster", "design", "relics"),
    groups=("people", "object", "hits"),
    points=(500, 300, 200),
    rows=(row("anchor", 70, 60, 60), row("beacon", 50, 90, 40), row("cutter", 40, 60, None)),
)


def brief(change):
    """Release, place, grade in tenths and places gained."""
    return [(one.release, one.place, one.after_grade, one.moved) for one in try_out(TABLE, change)]


def test_nothing_tried_changes_nothing():
    """The published grades and places."""
    assert brief(WhatIf()) == [("anchor", "1", 650, 0), ("beacon", "2", 600, 0), ("cutter", "3", 475, 0)]
    assert WhatIf().is_nothing
    assert told(try_out(TABLE, WhatIf())) == "No place changes."


def test_other_points_leave_the_rest_as_they_are():
    """Design at 90 of 160: beacon (2500 + 8100 + 800)/160 = 71.25, anchor 10,100/160 = 63.125."""
    assert brief(WhatIf(points={"design": 900})) == [
        ("beacon", "1", 713, 1),
        ("anchor", "2", 631, -1),
        ("cutter", "3", 529, 0),
    ]


def test_another_score_counts_also_where_the_criterion_did_not_apply():
    """Cutter with relics at 100: (2000 + 1800 + 2000) / 100 = 58."""
    assert brief(WhatIf(scores={("cutter", "relics"): 100}))[2] == ("cutter", "3", 580, 0)


def test_a_release_left_out_has_no_row_and_the_others_move_up():
    """Beacon gains the place of anchor."""
    assert brief(WhatIf(without=frozenset({"anchor"}))) == [("beacon", "1", 600, 1), ("cutter", "2", 475, 1)]


def test_several_changes_at_once():
    """Without relics, anchor's roster at 40: 3800/80 = 47.5 as cutter has; beacon 5200/80 = 65."""
    tried = WhatIf(points={"relics": 0}, scores={("anchor", "roster"): 40})
    assert brief(tried) == [("beacon", "1", 650, 1), ("anchor", "=2", 475, -1), ("cutter", "=2", 475, 1)]


def test_another_rule_gives_places_and_its_own_values_but_no_grade():
    """Geometric mean of anchor: 70^.5 x 60^.5 = 64.8074."""
    first = try_out(TABLE, WhatIf(rule="geometric"))[0]
    assert (first.release, first.after, first.after_grade) == ("anchor", 1, None)
    assert float(first.value) == pytest.approx((70 * 60) ** 0.5, rel=1e-5)


def test_the_table_itself_stays_as_it_was():
    """A change is a new value."""
    changed(TABLE, WhatIf(points={"design": 900}, scores={("anchor", "design"): 1}))
    assert TABLE.points == (500, 300, 200)
    assert TABLE.rows[0].scores == (70, 60, 60)


def test_the_sentence_names_the_new_leader_and_the_largest_move():
    """Places that change are counted."""
    words = told(try_out(TABLE, WhatIf(points={"design": 900})))
    assert words.startswith("2 of 3 places would change; Beacon would lead")


def test_nothing_left_is_said():
    """Every release left out."""
    everything = WhatIf(without=frozenset({"anchor", "beacon", "cutter"}))
    assert told(try_out(TABLE, everything)) == "Nothing is left to rank."
