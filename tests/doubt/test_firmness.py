"""Whether a place is firm, in a sentence."""

from __future__ import annotations

import pytest

from rating.doubt.firmness import told
from rating.doubt.ranges import between, ranges


def test_a_place_that_is_always_kept_is_firm(row, table):
    """Better in all, whatever is drawn."""
    made = table(row("anchor", 80, 80), row("beacon", 50, 50))
    assert told(made, ranges(made), "beacon") == (
        "2nd of 2, and firm: it keeps this place in 100 % of simulations. "
        "Weighting any one criterion up to 10 points more or less does not move it."
    )


def test_a_place_is_not_firm_where_the_margin_is_wide_and_the_scores_are_not(row, table):
    """62 beats 60 twice, so points alone never move it; with scores 15 either way it often is second."""
    made = table(row("anchor", 62, 62, spread=15), row("beacon", 60, 60, spread=15))
    drawn = ranges(made)
    share = drawn.of("anchor").shares[0]
    assert 0.5 < share < 0.9
    assert told(made, drawn, "anchor") == (
        f"1st of 2, but not firm: it keeps this place in {int(100 * share)} % of simulations, and is "
        "1st or 2nd in at least nine of ten. Weighting any one criterion up to 10 points more or less does "
        "not move it."
    )


def test_a_shared_place_is_said_to_be_shared(row, table):
    """And one release alone has nothing to compare with."""
    made = table(row("anchor", 60, 40), row("beacon", 40, 60))
    assert told(made, ranges(made), "anchor").startswith("tied for 1st of 2, but not firm: ")
    alone = table(row("anchor", 60, 40))
    assert told(alone, ranges(alone), "anchor") == "1st of 1: there is nothing to compare it with."


def test_a_release_without_a_place_has_no_sentence(row, table):
    """Half of it is unknown."""
    made = table(row("anchor", 1, 2), row("beacon", 3, "?"))
    with pytest.raises(ValueError, match="beacon has no place"):
        told(made, ranges(made), "beacon")


def test_a_range_of_places_in_words():
    """One place is no range."""
    assert (between(2, 4), between(3, 3), between(11, 23)) == ("2nd to 4th", "3rd", "11th to 23rd")
