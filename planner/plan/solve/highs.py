"""HiGHS as every program here runs it: silent, on one thread, ended by gap or nodes and never by the clock.

Conventions: a row is `low <= sum(factor x variable) <= high`, an open side is infinite; variables and rows
are numbered in the order in which they are given, so that the same program is solved the same way again.
"""

from __future__ import annotations

from collections.abc import Sequence

import highspy
import numpy as np
from highspy._core import _Highs

INFINITE: float = highspy.kHighsInf
TINY = 1e-6
"""What a sum of fractions may be off by."""

Terms = Sequence[tuple[int, float]]
BoundedRow = tuple[Terms, float, float]


def linear_program(
    cost: Sequence[float],
    low: Sequence[float],
    high: Sequence[float],
    rows: Sequence[BoundedRow],
    whole: Sequence[bool] | None = None,
) -> highspy.HighsLp:
    """The program with these costs and bounds of its variables; those that are `whole` take whole numbers."""
    program = highspy.HighsLp()
    program.num_col_, program.num_row_ = len(low), len(rows)
    program.col_cost_ = np.array(cost, dtype=float)
    program.col_lower_, program.col_upper_ = np.array(low, dtype=float), np.array(high, dtype=float)
    program.row_lower_ = np.array([least for _, least, _ in rows], dtype=float)
    program.row_upper_ = np.array([most for _, _, most in rows], dtype=float)
    matrix = program.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_ = np.cumsum([0] + [len(terms) for terms, _, _ in rows])
    matrix.index_ = np.array([variable for terms, _, _ in rows for variable, _ in terms], dtype=np.int32)
    matrix.value_ = np.array([factor for terms, _, _ in rows for _, factor in terms], dtype=float)
    if whole is not None:
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        program.integrality_ = [kinds[each] for each in whole]
    return program


def solver_of(program: highspy.HighsLp) -> _Highs:
    """A solver that holds the program and has not run yet."""
    solver = _Highs()  # the public class prints a banner to standard output before it can be told not to
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.passModel(program)
    return solver


def limit(solver: _Highs, *, gap: float, share: float, nodes: int) -> None:
    """Where a search over whole numbers ends: absolute gap, gap as a share of the cost, nodes of its tree."""
    solver.setOptionValue("mip_abs_gap", gap)
    solver.setOptionValue("mip_rel_gap", share)
    solver.setOptionValue("mip_max_nodes", nodes)


def answer_of(solver: _Highs, *, whole: bool) -> tuple[list[float], float] | None:
    """Runs it: values and bound on the cost; None where HiGHS ends without an answer."""
    solver.run()
    solution, info = solver.getSolution(), solver.getInfo()
    if not solution.value_valid:
        return None
    bound = info.mip_dual_bound if whole else info.objective_function_value
    return list(solution.col_value), float(bound)
