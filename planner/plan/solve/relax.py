"""The week's rows with fractions allowed: a bound that is proven in moments, and which blocks look right.

With only the blocks in whole numbers and the items in fractions the bound is tighter and still cheap.
HiGHS runs on one thread and ends by its gap, never by the clock, so that plans are repeatable.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import highspy
import numpy as np
from highspy._core import _Highs

from planner.plan.solve.rows import Rows

OPEN = 0.5
TINY = 1e-6


@dataclass(frozen=True, slots=True)
class Relaxed:
    """Least cost with fractions (`bound` rounded up: costs are whole) and the share of every variable."""

    bound: int
    values: tuple[float, ...]

    def blocks(self, rows: Rows) -> frozenset[tuple[int, int]]:
        """The blocks (exercise, day) that are open."""
        return frozenset(block for block, v in rows.block.items() if self.values[v] > OPEN)

    def turns(self, rows: Rows) -> dict[tuple[int, int], float]:
        """The share of every turn (candidate, day)."""
        return {turn: self.values[v] for turn, v in rows.x.items()}


def most(rows: Rows, objective: Mapping[int, int], at_most: Mapping[int, int]) -> int | None:
    """The most that whole numbers could make of an objective, by fractions; `at_most` lowers upper bounds.

    None where HiGHS ends without a proven optimum.
    """
    solver = _solver(rows, whole_blocks=False)
    count = len(rows.low)
    everything = np.arange(count, dtype=np.int32)
    solver.changeColsCost(
        count, everything, np.array([-objective.get(v, 0) for v in range(count)], dtype=float)
    )
    high = np.array([at_most.get(v, rows.high[v]) for v in range(count)], dtype=float)
    solver.changeColsBounds(count, everything, np.array(rows.low, dtype=float), high)
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    return math.floor(-solver.getInfo().objective_function_value + TINY)


def relax(rows: Rows, *, whole_blocks: bool, gap: float, nodes: int) -> Relaxed | None:
    """Stage (a) with fractional items; None where HiGHS ends without an answer.

    `whole_blocks` keeps the blocks whole: a much better bound, in seconds instead of moments. `gap` is
    absolute, in cost; `nodes` limits the search tree.
    """
    solver = _solver(rows, whole_blocks=whole_blocks)
    solver.setOptionValue("mip_abs_gap", gap)
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_max_nodes", nodes)
    solver.run()
    solution, info = solver.getSolution(), solver.getInfo()
    if not solution.value_valid:
        return None
    bound = info.mip_dual_bound if whole_blocks else info.objective_function_value
    return Relaxed(_whole(bound), tuple(solution.col_value))


def _solver(rows: Rows, *, whole_blocks: bool) -> _Highs:
    solver = _Highs()  # the public class prints a banner to standard output before it can be told not to
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.passModel(_linear_program(rows, whole_blocks=whole_blocks))
    return solver


def _whole(bound: float) -> int:
    """Costs are whole, so a bound may be rounded up."""
    return math.ceil(bound - TINY)


def _linear_program(rows: Rows, *, whole_blocks: bool) -> highspy.HighsLp:
    program = highspy.HighsLp()
    program.num_col_ = len(rows.low)
    program.num_row_ = len(rows.rows)
    program.col_cost_ = np.array([rows.cost.get(v, 0) for v in range(len(rows.low))], dtype=float)
    program.col_lower_ = np.array(rows.low, dtype=float)
    program.col_upper_ = np.array(rows.high, dtype=float)
    program.row_lower_ = np.array([-highspy.kHighsInf if r.low is None else r.low for r in rows.rows])
    program.row_upper_ = np.array([highspy.kHighsInf if r.high is None else r.high for r in rows.rows])
    matrix = program.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_ = np.cumsum([0] + [len(r.terms) for r in rows.rows])
    matrix.index_ = np.array([v for r in rows.rows for v, _ in r.terms])
    matrix.value_ = np.array([f for r in rows.rows for _, f in r.terms], dtype=float)
    if whole_blocks:
        whole = set(rows.block.values())
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        program.integrality_ = [kinds[v in whole] for v in range(len(rows.low))]
    return program
