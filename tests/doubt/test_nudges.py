"""The smallest change that moves a place, and the sentence about it."""

from __future__ import annotations

import pytest

from rating.doubt.nudges import nudge, ordinal, told


def test_a_nudge_is_the_first_whole_tenth_that_moves_the_published_place(row, table):
    """62.0 against 60.0 at even points: every smaller change of either is tried, and none moves it."""
    made = table(row("anchor", 80, 44), row("beacon", 50, 70))
    found = nudge(made, "beacon")

    def place(key, change):
        at = dict(zip(made.criteria, made.points, strict=True))[key] + change
        return made.with_points({key: at}).places()["beacon"]

    assert (found.place, found.other, found.how) == (1, "anchor", "it meets")
    assert place(found.criterion, found.change) == 1
    every = [
        (key, side * size) for key in made.criteria for size in range(abs(found.change)) for side in (1, -1)
    ]
    assert all(place(key, change) == 2 for key, change in every)


def test_the_sentence_of_a_firm_place(row, table):
    """Nobody comes near; or it takes 3 points and more."""
    far = table(row("anchor", 80, 80), row("beacon", 50, 50))
    assert told(far, "anchor") == "First, and solid: nothing up to 10 points on any one weight moves it."
    near = table(row("anchor", 80, 44), row("beacon", 50, 70))
    size = abs(nudge(near, "anchor").change) / 10
    assert told(near, "anchor") == (
        f"First, and solid: nothing under {size:g} points on any one weight moves it."
    )


def test_the_sentence_of_a_loose_place(row, table):
    """60.5 against 60.0 at even points: level where 29 (50 + x) is 30 x 50, 1.72 points more on design.

    Published, from about there to where the grades are a tenth apart, which 0.35 points more make sure of.
    """
    made = table(row("anchor", 80, 41), row("beacon", 50, 70))
    words = told(made, "anchor")
    found = nudge(made, "anchor")
    assert found.how == "passes it"
    assert 16 <= abs(found.change) <= 21
    assert words == (
        f"First: {abs(found.change) / 10:g} points {'more' if found.change > 0 else 'less'} "
        f"on {found.criterion} and Marlow Beacon passes it."
    )
    assert told(made, "beacon").endswith("Marlow Anchor.")


def test_a_shared_place_is_said_to_be_shared(row, table):
    """And one release alone has nothing to compare with."""
    made = table(row("anchor", 60, 40), row("beacon", 40, 60))
    assert told(made, "anchor").startswith("First, shared: ")
    assert told(table(row("anchor", 60, 40)), "anchor") == (
        "First of one: there is nothing to compare it with."
    )


def test_a_release_without_a_place_has_no_sentence(row, table):
    """Half of it is unknown."""
    with pytest.raises(ValueError, match="beacon has no place"):
        told(table(row("anchor", 1, 2), row("beacon", 3, "?")), "beacon")


@pytest.mark.parametrize(
    ("place", "word"),
    [(1, "first"), (12, "twelfth"), (13, "13th"), (21, "21st"), (111, "111th"), (102, "102nd")],
)
def test_places_in_words(place, word):
    """As one says them."""
    assert ordinal(place) == word
