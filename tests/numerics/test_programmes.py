"""Linear and integer programmes against scipy's front to the same solver and against enumeration."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.optimize import linprog, nnls

from rating.numerics import programmes


def some_programme(rng):
    """Costs, conditions that leave a bounded room around 0, and their ends."""
    conditions, variables = rng.integers(2, 30), rng.integers(1, 5)
    drawn = rng.uniform(-1, 3, (conditions, variables)) * (rng.random((conditions, variables)) < 0.8)
    rows = np.vstack([drawn, np.eye(variables)])
    ends = np.concatenate([rng.uniform(0.1, 2, conditions), np.full(variables, 10.0)])
    return rng.uniform(-1, 1, variables), rows, ends


@pytest.mark.parametrize("seed", range(30))
def test_the_least_cost_and_its_marginals_are_those_of_scipy(seed):
    """`scipy.optimize.linprog`, by its default method's own wrapper."""
    cost, rows, ends = some_programme(np.random.default_rng(seed))
    outside = linprog(cost, A_ub=rows, b_ub=ends, bounds=(0, None), method="highs")
    value, marginals = programmes.least(cost, rows, ends)
    assert value == pytest.approx(outside.fun, rel=1e-9, abs=1e-12)
    # the value by duality: marginals times ends, and no row that has room left counts
    assert marginals @ ends == pytest.approx(value, rel=1e-9, abs=1e-12)
    assert (marginals <= 1e-12).all()


@pytest.mark.parametrize("seed", range(30))
def test_the_fewest_columns_are_those_that_enumeration_finds(seed):
    """Of at most ten columns; None where not even all of them do."""
    rng = np.random.default_rng(seed)
    rows = (rng.random((rng.integers(1, 7), rng.integers(2, 11))) < 0.3).astype(float)
    low, high = np.ones(len(rows)), np.full(len(rows), np.inf)
    columns = range(rows.shape[1])
    fit = (
        chosen
        for size in range(rows.shape[1] + 1)
        for chosen in itertools.combinations(columns, size)
        if (rows[:, list(chosen)].sum(axis=1) >= 1).all()
    )
    smallest = next(fit, None)
    found = programmes.fewest(rows, low, high)
    assert (found is None) == (smallest is None)
    if found is not None:
        assert len(found) == len(smallest)
        assert (rows[:, found].sum(axis=1) >= 1).all()


@pytest.mark.parametrize("seed", range(40))
def test_the_nearest_point_is_that_of_its_conditions_of_optimality(seed):
    """Karush, Kuhn and Tucker: inside all rows, and a mix of those it touches with no weight below 0."""
    rng = np.random.default_rng(seed)
    rows = rng.normal(size=(rng.integers(2, 60), rng.integers(1, 4)))
    rows /= np.linalg.norm(rows, axis=1)[:, None]
    ends = rows @ (3 * rng.normal(size=rows.shape[1])) - rng.random(len(rows))
    for found in (programmes.nearest(rows, ends), programmes._nearest_by_least_squares(rows, ends)):
        assert (rows @ found >= ends - 1e-9).all()
        touched = rows[rows @ found <= ends + 1e-9]
        if len(touched):
            _, left = nnls(touched.T, found)
            assert left <= 1e-9 * (1 + np.linalg.norm(found))
        else:
            assert found == pytest.approx(0, abs=1e-9)


def test_what_has_no_solution_is_told():
    """x >= 0 cannot be under -1, and a cost that may fall for ever has no least."""
    with pytest.raises(ArithmeticError, match="1 rows failed"):
        programmes.least(np.ones(1), np.ones((1, 1)), np.array([-1.0]))
    with pytest.raises(ArithmeticError, match="1 rows failed"):
        programmes.least(-np.ones(1), -np.ones((1, 1)), np.array([1.0]))
    with pytest.raises(ArithmeticError, match="2 rows"):
        programmes.nearest(np.array([[1.0], [-1.0]]), np.ones(2))


def test_the_solver_says_nothing(capfd):
    """Standard output is a script's."""
    programmes.least(np.ones(1), -np.ones((1, 1)), np.array([-1.0]))
    programmes.fewest(np.ones((1, 2)), np.ones(1), np.full(1, np.inf))
    programmes.nearest(np.ones((1, 2)), np.ones(1))
    assert capfd.readouterr() == ("", "")
