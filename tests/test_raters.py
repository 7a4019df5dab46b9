"""What persons say, and the one set of scores that is published."""

from __future__ import annotations

import statistics
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating.raters import RULES, Judgement, published

RATERS = ("mo", "wren", "zed")


def says(rater, criterion, score, spread=None, reason=""):
    """One answer."""
    return Judgement(
        rater=rater,
        criterion=criterion,
        score=score,
        reason=reason or f"{rater} on {criterion}",
        spread=spread,
    )


def scores(found):
    """The published scores alone."""
    return {key: one.score for key, one in found.items()}


GIVEN = (
    says("wren", "design", 70, 6),
    says("mo", "design", 61, 4),
    says("zed", "design", 90),
    says("mo", "finish", 40),
    says("wren", "finish", 41),
    says("wren", "opening", 55),
)


@pytest.mark.parametrize(
    ("rule", "expected"),
    [
        ("first", {"design": 61, "finish": 40}),  # the first rater alone
        ("mean", {"design": 74, "finish": 41, "opening": 55}),  # 221/3 = 73.67; 81/2 = 40.5, half up
        ("median", {"design": 70, "finish": 41, "opening": 55}),  # 61 70 90; 40.5
    ],
)
def test_a_rule_makes_one_set_of_scores(rule, expected):
    """Counted by hand beside each."""
    assert scores(published(GIVEN, RATERS, rule)) == expected


def test_a_combined_score_keeps_every_reason_and_the_widest_doubt():
    """Under each rater's key, in the order of season.toml."""
    one = published(GIVEN, RATERS, "mean")["design"]
    assert one.rater == "mean of mo, wren, zed"
    assert one.reason == "mo (61): mo on design wren (70): wren on design zed (90): zed on design"
    assert one.spread == 6


def test_one_answer_alone_stays_as_it_was_given():
    """Nothing is combined, so nothing is renamed."""
    assert published(GIVEN, RATERS, "median")["opening"] == GIVEN[5]


@pytest.mark.parametrize("rule", ["mean", "median"])
def test_a_score_goes_before_a_does_not_apply(rule):
    """Where all say that it does not apply, it does not."""
    mixed = [says("mo", "relics", None), says("wren", "relics", 30), says("mo", "chase", None)]
    found = published(mixed, RATERS, rule)
    assert scores(found) == {"relics": 30, "chase": None}
    assert found["chase"].score is None


@pytest.mark.parametrize("rule", RULES)
def test_a_stranger_does_not_count(rule):
    """Only raters of the season are heard; without any, nothing is published."""
    assert published([says("stranger", "design", 5)], RATERS, rule) == {}
    assert published(GIVEN, (), rule) == {}


answers = st.dictionaries(st.sampled_from(RATERS), st.integers(0, 100), min_size=1)


@given(answers)
def test_mean_and_median_agree_with_the_statistics_module(given_scores):
    """Exact means and medians of Python's own library, rounded half up by the decimal module."""
    judgements = [says(rater, "design", score) for rater, score in given_scores.items()]
    for rule, theirs in (("mean", statistics.mean), ("median", statistics.median)):
        exact = theirs([Decimal(score) for score in given_scores.values()])
        expected = int(exact.quantize(Decimal(1), rounding=ROUND_HALF_UP))
        assert published(judgements, RATERS, rule)["design"].score == expected


@pytest.mark.parametrize("rule", RULES)
@given(st.randoms())
def test_the_order_of_answers_is_irrelevant(rule, order):
    """Whoever wrote first, the result is the same."""
    mixed = list(GIVEN)
    order.shuffle(mixed)
    assert published(mixed, RATERS, rule) == published(GIVEN, RATERS, rule)
