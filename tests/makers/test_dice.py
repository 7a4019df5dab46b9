"""Draws: the same for the same name, independent otherwise, and as likely as they should be."""

from __future__ import annotations

from collections import Counter

from makers.dice import Dice


def test_the_same_name_gives_the_same_draws():
    """And another name other ones."""
    first, again, other = Dice(7, "a"), Dice(7, "a"), Dice(7, "b")
    told = [first.whole(0, 10**6) for _ in range(20)]
    assert told == [again.whole(0, 10**6) for _ in range(20)]
    assert told != [other.whole(0, 10**6) for _ in range(20)]


def test_whole_numbers_reach_both_ends():
    """Every number from low to high comes up."""
    dice = Dice("ends")
    assert {dice.whole(3, 6) for _ in range(200)} == {3, 4, 5, 6}


def test_weights_are_shares():
    """Within five standard errors of the binomial law."""
    dice = Dice("weights")
    drawn = Counter(dice.weigh({"a": 3, "b": 1, "never": 0}) for _ in range(4000))
    assert drawn["never"] == 0
    assert abs(drawn["a"] - 3000) < 5 * (4000 * 0.75 * 0.25) ** 0.5


def test_shuffling_keeps_everything_and_reaches_every_order():
    """All six orders of three come up."""
    dice = Dice("orders")
    orders = {tuple(dice.shuffle("abc")) for _ in range(200)}
    assert len(orders) == 6
    assert all(sorted(order) == ["a", "b", "c"] for order in orders)


def test_a_normal_draw_has_mean_0_and_variance_1():
    """Within five standard errors."""
    dice = Dice("normal")
    drawn = [dice.normal() for _ in range(4000)]
    assert abs(sum(drawn) / 4000) < 5 / 4000**0.5
    assert abs(sum(one * one for one in drawn) / 4000 - 1) < 0.12
