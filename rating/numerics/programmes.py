"""Linear and integer programmes, by HiGHS itself: scipy's front to it loads three times as much as it solves.

Huangfu and Hall (2018), Parallelizing the dual revised simplex method, Math. Prog. Computation 10.
"""

from __future__ import annotations

import highspy
import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

# HiGHS is asked for less than what two strips may miss each other by
_MISSES = 1e-10


def least(cost: Array, rows: Array, ends: Array) -> tuple[float, Array]:
    """The least cost @ x over x >= 0 with rows @ x <= ends, and what easing each row would change it by.

    Parameters
    ----------
    cost : one number a variable
    rows, ends : one row a condition, a column a variable, and its end

    Raises
    ------
    ArithmeticError
        where there is no such x, or no least one
    """
    none, wide = np.zeros(len(cost)), np.full(len(cost), np.inf)
    solver = _silent()
    solver.passModel(_programme(cost, none, wide, rows, np.full(len(rows), -np.inf), ends))
    if (status := _run(solver)) != highspy.HighsModelStatus.kOptimal:
        raise ArithmeticError(f"the linear programme of {len(rows)} rows failed: {status.name}")
    return float(solver.getObjectiveValue()), np.array(solver.getSolution().row_dual)


def fewest(rows: Array, low: Array, high: Array) -> NDArray[np.intp] | None:
    """The fewest columns chosen, each once or not at all, that keep rows @ chosen in low to high.

    Gives the places of the columns, None where no choice does.

    Raises
    ------
    ArithmeticError
        where HiGHS ends without an answer
    """
    columns = rows.shape[1]
    solver = _silent()
    solver.passModel(_programme(np.ones(columns), np.zeros(columns), np.ones(columns), rows, low, high))
    solver.changeColsIntegrality(
        columns, np.arange(columns, dtype=np.int32), np.full(columns, highspy.HighsVarType.kInteger)
    )
    status = _run(solver)
    if status == highspy.HighsModelStatus.kInfeasible:
        return None
    if status != highspy.HighsModelStatus.kOptimal:
        raise ArithmeticError(f"the integer programme of {len(rows)} rows failed: {status.name}")
    return np.flatnonzero(np.round(solver.getSolution().col_value))


def nearest(rows: Array, ends: Array) -> Array:
    """The point nearest to the origin with rows @ point >= ends.

    A quadratic programme; HiGHS gives up on about one in a thousand, which go to the least-distance problem
    as non-negative least squares. Lawson and Hanson (1974), Solving Least Squares Problems, chapter 23.

    Raises
    ------
    ArithmeticError
        where there is no such point
    """
    columns = rows.shape[1]
    wide = np.full(columns, np.inf)
    model = highspy.HighsModel()
    model.lp_ = _programme(np.zeros(columns), -wide, wide, rows, ends, np.full(len(rows), np.inf))
    model.hessian_.dim_ = columns
    model.hessian_.format_ = highspy.HessianFormat.kTriangular
    model.hessian_.start_, model.hessian_.index_ = np.arange(columns + 1), np.arange(columns)
    model.hessian_.value_ = np.ones(columns)
    solver = _silent()
    solver.setOptionValue("qp_regularization_value", 0.0)
    solver.passModel(model)
    if _run(solver) == highspy.HighsModelStatus.kOptimal:
        return np.array(solver.getSolution().col_value)
    return _nearest_by_least_squares(rows, ends)


def _nearest_by_least_squares(rows: Array, ends: Array) -> Array:
    from scipy.optimize import nnls  # takes longer to load than most releases to solve

    reach = np.abs(ends).max()
    stacked = np.vstack([rows.T, ends / reach])
    aim = np.zeros(rows.shape[1] + 1)
    aim[-1] = 1
    weights, _ = nnls(stacked, aim)
    residual = stacked @ weights - aim
    if np.linalg.norm(residual) < _MISSES:
        raise ArithmeticError(f"no point keeps all of {len(rows)} rows")
    point: Array = -residual[:-1] / residual[-1] * reach
    return point


def _programme(
    cost: Array, least_x: Array, most_x: Array, rows: Array, low: Array, high: Array
) -> highspy.HighsLp:
    """The programme as HiGHS takes it: only what is not zero of the rows."""
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(cost), len(rows)
    model.col_cost_, model.col_lower_, model.col_upper_ = cost, least_x, most_x
    model.row_lower_, model.row_upper_ = low, high
    used = rows != 0
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.concatenate([[0], np.cumsum(used.sum(axis=1))])
    model.a_matrix_.index_ = np.nonzero(used)[1]
    model.a_matrix_.value_ = rows[used]
    return model


def _silent() -> highspy.Highs:
    """A solver that says nothing."""
    solver: highspy.Highs = highspy.Highs()  # type: ignore[no-untyped-call]  # it carries no types
    solver.silent()
    solver.setOptionValue("primal_feasibility_tolerance", _MISSES)
    solver.setOptionValue("dual_feasibility_tolerance", _MISSES)
    return solver


def _run(solver: highspy.Highs) -> highspy.HighsModelStatus:
    solver.run()
    return solver.getModelStatus()
