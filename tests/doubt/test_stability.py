"""All about a place in one value; its parts are tested beside what makes them."""

from __future__ import annotations

import pytest

from rating.doubt.stability import left_out, stability, told_without


def test_a_release_has_swaps_with_those_above_and_below(row, table):
    """Of four, the second: it passes the first, and the third passes it."""
    made = table(row("a", 80, 40), row("b", 40, 70), row("c", 60, 45), row("d", 20, 81))
    found = stability(made, "b")
    assert [(one.up, one.down) for one in found.swaps] == [("b", "a"), ("c", "b")]
    assert (found.place, found.of, found.whole) == ("2", 4, False)
    assert [one.criterion for one in found.spans] == ["roster", "design"]


def test_without_a_release_it_is_the_leader_and_every_pair(row, table):
    """Those that take least first, those that nothing swaps last."""
    made = table(row("a", 80, 40), row("b", 40, 70), row("c", 39, 69), row("d", 20, 81))
    found = stability(made)
    assert (found.release, found.whole) == ("a", True)
    totals = [one.total for one in found.swaps]
    assert totals[-1] is None
    assert totals[:-1] == sorted(totals[:-1])


def test_one_release_alone(row, table):
    """Nothing to swap with, and first by every rule."""
    found = stability(table(row("a", 80, 40)))
    assert found.swaps == ()
    assert {one.place for one in found.rules.values()} == {1}
    assert {one.tau for one in found.rules.values()} == {None}


def test_nothing_ranked_is_refused(table):
    """There is no leader."""
    with pytest.raises(ValueError, match="no release has a place"):
        stability(table())


def test_leaving_a_criterion_out(row, table):
    """Without roster design alone decides, and the other way round."""
    made = table(row("anchor", 80, 40), row("beacon", 40, 70))
    found = {one.what: (one.place, one.leaders) for one in left_out(made, "anchor")}
    assert found == {"roster": (2, ("beacon",)), "design": (1, ("anchor",))}


NAMES = {"a": "Oakum", "b": "Cordage"}


def test_what_leaving_something_out_does_is_told(row, table):
    """By hand: without roster b leads with 70 against 40, without design a does with 80 against 40."""
    rows = table(row("a", 80, 40), row("b", 40, 70))
    assert told_without(stability(rows, "a"), NAMES) == (
        "It would be 2nd if you left out roster; leaving out anything else keeps it 1st."
    )
    assert told_without(stability(rows), NAMES) == (
        "The lead would go to Cordage if you left out roster; leaving out anything else keeps the leader."
    )


def test_what_moves_nothing_when_it_is_left_out_is_told(row, table):
    """A release that is better on both criteria stays where it is."""
    rows = table(row("a", 80, 70), row("b", 40, 40))
    assert told_without(stability(rows, "b"), NAMES) == "It keeps its place whichever you leave out."
    assert told_without(stability(rows), NAMES) == "Oakum leads whichever you leave out."
