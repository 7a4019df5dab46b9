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
    solver = _solver(cost, np.zeros(len(cost)), np.full(len(cost), np.inf), rows, None, ends)
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
    solver = _solver(np.ones(columns), np.zeros(columns), np.ones(columns), rows, low, high)
    solver.changeColsIntegrality(
        columns, np.arange(columns, dtype=np.int32), np.full(columns, highspy.HighsVarType.kInteger)
    )
    status = _run(solver)
    if status == highspy.HighsModelStatus.kInfeasible:
        return None
    if status != highspy.HighsModelStatus.kOptimal:
        raise ArithmeticError(f"the integer programme of {len(rows)} rows failed: {status.name}")
    return np.flatnonzero(np.round(solver.getSolution().col_value))


def _solver(
    cost: Array, least_x: Array, most_x: Array, rows: Array, low: Array | None, high: Array
) -> highspy.Highs:
    """A solver that holds the programme and says nothing."""
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(cost), len(rows)
    model.col_cost_, model.col_lower_, model.col_upper_ = cost, least_x, most_x
    model.row_lower_ = np.full(len(rows), -np.inf) if low is None else low
    model.row_upper_ = high
    used = rows != 0
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.concatenate([[0], np.cumsum(used.sum(axis=1))])
    model.a_matrix_.index_ = np.nonzero(used)[1]
    model.a_matrix_.value_ = rows[used]
    solver: highspy.Highs = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.silent()
    solver.setOptionValue("primal_feasibility_tolerance", _MISSES)
    solver.setOptionValue("dual_feasibility_tolerance", _MISSES)
    solver.passModel(model)
    return solver


def _run(solver: highspy.Highs) -> highspy.HighsModelStatus:
    solver.run()
    return solver.getModelStatus()
