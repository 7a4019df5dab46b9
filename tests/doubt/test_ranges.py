"""Ranges of places on a season's table; the sampling itself is tested beside its kernel."""

from __future__ import annotations

import numpy as np
import pytest

from rating.doubt.ranges import (
    basis,
    least_sure,
    percent_text,
    ranges,
    together,
    who_would_put_first,
    words,
)


def test_a_release_that_is_better_in_all_is_always_first(row, table):
    """Without spreads no weights change it: dominance."""
    found = ranges(table(row("anchor", 80, 80), row("beacon", 60, 60)), around="uniform", spreads=False)
    assert [(one.low, one.high, one.shares) for one in found.rows] == [(1, 1, (1, 0)), (2, 2, (0, 1))]
    assert found.win_share("anchor", "beacon") == 1


def test_two_criteria_and_any_weights_give_the_share_of_the_line(row, table):
    """Anchor is ahead while 20 w > 60 (1 - w), that is for w above 3/4: a quarter of all weights."""
    made = table(row("anchor", 80, 20), row("beacon", 60, 80))
    found = ranges(made, around="uniform", spreads=False, draws=200_000)
    share = found.win_share("anchor", "beacon")
    assert share == pytest.approx(1 / 4, abs=4 * np.sqrt(3 / 16 / 200_000))


def test_weights_around_the_rubrics_are_a_beta_law(row, table):
    """Of 100 points the share of roster is Beta(50, 50); scipy gives its chance to be above 0.55."""
    from scipy import stats

    made = table(row("anchor", 65, 34), row("beacon", 56, 45))  # 9 w > 11 (1 - w), w above 0.55
    found = ranges(made, spreads=False, draws=200_000)
    expected = stats.beta(50, 50).sf(0.55)
    assert found.win_share("anchor", "beacon") == pytest.approx(expected, abs=4 * np.sqrt(0.25 / 200_000))


def test_any_weights_in_the_rubrics_order_keep_the_more_important_one_above(row, table):
    """Roster weighs at least half: (1/2, 1) evenly, so above 3/4 in half of the draws."""
    made = table(row("anchor", 80, 20), row("beacon", 60, 80), points=(600, 400))
    found = ranges(made, around="order", spreads=False, draws=200_000)
    assert found.win_share("anchor", "beacon") == pytest.approx(0.5, abs=0.005)


def test_a_release_ranked_apart_has_no_range(row, table):
    """Half of it is unknown."""
    found = ranges(table(row("anchor", 80, 80), row("beacon", 60, "?")))
    assert [one.release for one in found.rows] == ["anchor"]
    assert found.of("beacon") is None


def test_an_unknown_score_is_drawn_over_all_it_could_be(row, table):
    """Beacon is 60 x 0.8 + u x 0.2 against 60: ahead when u is above 60, in 4 draws of 10."""
    made = table(row("anchor", 60, 60), row("beacon", 60, "?"), points=(800, 200))
    found = ranges(made.only(made.ranked), spreads=False, draws=100_000)
    assert found.win_share("beacon", "anchor") == pytest.approx(0.4, abs=0.01)


def test_the_same_seed_gives_the_same_ranges(row, table):
    """And says what it rests on."""
    made = table(row("anchor", 70, 60), row("beacon", 60, 71))
    one, two = (ranges(made, seed=7, threads=threads) for threads in (1, 2))
    assert one.rows == two.rows
    assert one.assumed == (
        "with points a little to either side of the rubric's, and each score varied as far as it is in doubt"
    )
    assert ranges(made, seed=8).rows != one.rows


def test_whose_weights_put_a_release_first_is_said_in_words(row, table):
    """Beacon leads for those who care for design."""
    made = table(row("anchor", 80, 40), row("beacon", 40, 70))
    found = ranges(made, around="uniform", spreads=False)
    assert who_would_put_first(made, found.of("beacon")).endswith("mostly where design counts for more.")
    behind = table(row("anchor", 80, 80), row("beacon", 40, 70))
    last = ranges(behind, spreads=False).of("beacon")
    assert who_would_put_first(behind, last) == "It comes first in none of the simulations."


def test_a_range_in_words(row, table):
    """The place, of how many, and its range."""
    made = table(row("anchor", 80, 80), row("beacon", 40, 40))
    first = ranges(made, spreads=False).rows[0]
    assert words(first, 2) == "1st of 2; 1st in at least nine of ten simulations"


def test_nothing_ranked_has_no_ranges(table):
    """An empty season is no fault."""
    assert ranges(table()).rows == ()


@pytest.mark.parametrize(
    ("share", "told"),
    [(0, "0 %"), (0.0004, "under 1 %"), (0.851, "85 %"), (0.9996, "over 99 %"), (1.0, "100 %")],
)
def test_a_share_is_not_said_more_sharply_than_draws_can_tell(share, told):
    """Never 0 or 100 for what did happen or did not."""
    assert percent_text(share) == told


def test_ranges_as_a_data_frame(row, table):
    """One release a row, a column for each place."""
    frame = ranges(table(row("anchor", 80, 80), row("beacon", 60, 60)), spreads=False).frame()
    assert list(frame["release"]) == ["anchor", "beacon"]
    assert frame[["place_1", "place_2"]].to_numpy().tolist() == [[1, 0], [0, 1]]


def test_the_least_sure_place_is_told_with_who_is_first(row, table):
    """A release that is better in all is always first, so each of the others stands where it stands."""
    drawn = ranges(table(row("a", 90, 80), row("b", 50, 40)), draws=100, spreads=False)
    assert least_sure(drawn) == (
        "Marlow A has the least sure place: 1st. Marlow A is first in 100 % of simulations."
    )
    assert basis(drawn) == (
        "100 simulations, with points a little to either side of the rubric's, and the scores as they are "
        "(seed 1; the standard error of a share is at most 0.00 %)."
    )
    assert together(drawn) == (
        "Each range holds in at least nine of ten simulations on its own; all of them hold together in "
        "100 %. The wider ranges under 'at once' hold together in 100 %."
    )


def test_what_falls_short_is_not_rounded_up_to_firm():
    """89.96 % are not nine in ten."""
    assert [percent_text(share) for share in (0.8996, 0.9, 0.999, 1.0, 0.004, 0)] == [
        "under 90 %",
        "90 %",
        "over 99 %",
        "100 %",
        "under 1 %",
        "0 %",
    ]


def test_of_one_place_there_is_nothing_to_doubt(row, table):
    """It takes two."""
    drawn = ranges(table(row("a", 90, 80)), draws=10)
    assert least_sure(drawn) == "With fewer than two places there is nothing to doubt."
