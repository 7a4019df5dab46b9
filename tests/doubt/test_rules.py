"""The other combining rules on a season's table."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pymcdm
import pytest

from rating.doubt.rules import RULES, places_by, results_by, under_rules
from rating.doubt.score_table import ScoreRow, ScoreTable

GENERATOR = np.random.default_rng(20310715)
SCORES = GENERATOR.integers(1, 100, (12, 5)).tolist()
POINTS = (300, 250, 200, 150, 100)


def table(scores, points=POINTS):
    """Rows r0, r1, … with these scores."""
    n = len(points)
    rows = tuple(
        ScoreRow(
            release=f"r{i}",
            title=f"R {i}",
            released_on="",
            price_class="",
            stage="launch",
            published=None,
            restated=False,
            scores=tuple(one),
            applies=tuple(score is not None for score in one),
            spreads=(5,) * n,
        )
        for i, one in enumerate(scores)
    )
    return ScoreTable(criteria=tuple("abcdefg"[:n]), groups=("x",) * n, points=points, rows=rows)


def test_the_geometric_mean_is_that_of_the_logarithms():
    """exp(sum of w log s)."""
    shares = np.array(POINTS) / 1000
    expected = np.exp(np.log(SCORES) @ shares)
    assert [float(one) for one in results_by(table(SCORES), "geometric")] == pytest.approx(expected, rel=1e-5)


def test_topsis_on_declared_bounds_agrees_with_an_independent_library():
    """pymcdm's TOPSIS, with 100 and 0 throughout as two added rows, which min-max makes 1 and 0."""
    whole = np.vstack([SCORES, np.full(5, 100), np.zeros(5)])
    shares = np.array(POINTS) / 1000
    method = pymcdm.methods.TOPSIS(pymcdm.normalizations.minmax_normalization)
    expected = method(whole, shares, np.ones(5), validation=False)[:-2]
    assert [float(one) for one in results_by(table(SCORES), "topsis")] == pytest.approx(expected, rel=1e-5)


def test_promethee_agrees_with_an_independent_library():
    """pymcdm's PROMETHEE II with the v-shape preference at a full lead of 50 points."""
    method = pymcdm.methods.PROMETHEE_II("vshape", p=np.full(5, 50.0))
    expected = method(np.array(SCORES, float), np.array(POINTS) / 1000, np.ones(5))
    assert [float(one) for one in results_by(table(SCORES), "promethee")] == pytest.approx(expected, abs=1e-5)


def test_distance_on_declared_bounds_orders_as_the_mean_does():
    """1 - distance is the mean over 100."""
    made = table(SCORES)
    mean = results_by(made, "mean")
    assert [one * 100 for one in results_by(made, "distance")] == pytest.approx(mean, rel=Decimal("1e-4"))


def test_a_weak_point_cannot_be_bought_back_under_the_geometric_rule():
    """90 and 10 against 45 and 45: 50 beats 45 on the mean, 30 loses to 45 on the other."""
    made = table([(90, 10), (45, 45)], (500, 500))
    assert places_by(made, "mean") == {"r0": 1, "r1": 2}
    assert places_by(made, "geometric") == {"r0": 2, "r1": 1}


def test_the_geometric_rule_leaves_gaps_out():
    """(90, 10, gap) at 400, 400, 200: sqrt(90 x 10) = 30, below 34 throughout.

    Filled with the mean of 50 it would be (30^4 x 50)^(1/5) = 33.2; at (92, 12) sqrt(1104) = 33.2 and filled
    with 52 it would be 36.3, above 34.
    """
    made = table([(90, 10, None), (92, 12, None), (34, 34, 34)], (400, 400, 200))
    assert [round(float(one), 2) for one in results_by(made, "geometric")] == [30, 33.23, 34]
    assert places_by(made, "geometric") == {"r0": 3, "r1": 2, "r2": 1}


@pytest.mark.parametrize("seed", range(20))
def test_the_geometric_rule_agrees_with_the_logarithms_of_what_is_known(seed):
    """Random tables with a third of gaps: exp(sum of w log s over sum of w), over what is known."""
    rng = np.random.default_rng(seed)
    scores = rng.integers(1, 100, (15, 5)).astype(object)
    scores[rng.random(scores.shape) < 1 / 3] = None
    scores[:, 0] = rng.integers(1, 100, 15)
    made = table([[None if one is None else int(one) for one in row] for row in scores])
    expected = []
    for row in made.rows:
        known = [(np.log(one), weight) for one, weight in zip(row.scores, POINTS, strict=True) if one]
        expected.append(np.exp(sum(log * w for log, w in known) / sum(w for _, w in known)))
    assert [float(one) for one in results_by(made, "geometric")] == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize("rule", [rule for rule in RULES if rule != "geometric"])
def test_what_does_not_apply_favours_nobody(rule):
    """A release without the criterion stands with one that scores its own mean there."""
    made = table([(60, 60, None), (60, 60, 60), (80, 20, 10), (20, 90, 30)], (400, 400, 200))
    places = places_by(made, rule)
    assert places["r0"] == places["r1"]


@pytest.mark.parametrize("rule", RULES)
def test_identical_releases_share_a_place(rule):
    """Float noise must not part them: values are compared at six digits."""
    made = table([SCORES[0], SCORES[1], SCORES[0], SCORES[2]])
    places = places_by(made, rule)
    assert places["r0"] == places["r2"]


def test_a_rule_that_does_not_exist_is_refused():
    """With those there are."""
    with pytest.raises(ValueError, match="mean, geometric"):
        results_by(table(SCORES), "guess")


def test_no_release_has_no_value():
    """An empty season."""
    assert results_by(table([]), "topsis") == []


def test_other_rules_give_other_places():
    """60 on average each way; the geometric mean prefers the even one: sqrt(20 x 100) is 44.7."""
    made = table([[100, 22], [60, 60]], (500, 500))
    found = under_rules(made, "r0")
    assert (found["mean"].place, found["mean"].tau) == (1, 1.0)
    assert (found["geometric"].place, found["geometric"].tau) == (2, -1.0)
