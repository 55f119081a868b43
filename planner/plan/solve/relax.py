"""The week's rows with fractions allowed: a bound that is proven in moments, and which blocks look right.

With only the blocks in whole numbers and the items in fractions the bound is tighter and still cheap.
HiGHS runs on one thread and ends by its gap, never by the clock, so that plans are repeatable.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import highspy
from highspy._core import _Highs

from planner.plan.solve.highs import INFINITE, TINY, answer_of, limit, linear_program, solver_of
from planner.plan.solve.rows import Rows

OPEN = 0.5


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
    less = {variable: -factor for variable, factor in objective.items()}
    high = [at_most.get(variable, bound) for variable, bound in enumerate(rows.high)]
    solver = _solver(rows, less, high, whole_blocks=False)
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    return math.floor(-solver.getInfo().objective_function_value + TINY)


def relax(rows: Rows, *, whole_blocks: bool, gap: float, nodes: int) -> Relaxed | None:
    """Stage (a) with fractional items; None where HiGHS ends without an answer.

    `whole_blocks` keeps the blocks whole: a much better bound, in seconds instead of moments. `gap` is
    absolute, in cost; `nodes` limits the search tree.
    """
    solver = _solver(rows, rows.cost, rows.high, whole_blocks=whole_blocks)
    limit(solver, gap=gap, share=0.0, nodes=nodes)
    answer = answer_of(solver, whole=whole_blocks)
    return None if answer is None else Relaxed(_whole(answer[1]), tuple(answer[0]))


def _solver(rows: Rows, cost: Mapping[int, int], high: Sequence[int], *, whole_blocks: bool) -> _Highs:
    """The rows for this cost, within these upper bounds."""
    variables, blocks = range(len(rows.low)), set(rows.block.values())
    bounded = [
        (row.terms, -INFINITE if row.low is None else row.low, INFINITE if row.high is None else row.high)
        for row in rows.rows
    ]
    solver = solver_of(
        linear_program(
            cost=[cost.get(variable, 0) for variable in variables],
            low=rows.low,
            high=high,
            rows=bounded,
            whole=[variable in blocks for variable in variables] if whole_blocks else None,
        )
    )
    # One search in a smaller week (RENS) finds as good blocks as three do, in half of the time.
    solver.setOptionValue("mip_heuristic_run_rins", False)
    solver.setOptionValue("mip_heuristic_run_root_reduced_cost", False)
    return solver


def _whole(bound: float) -> int:
    """Costs are whole, so a bound may be rounded up."""
    return math.ceil(bound - TINY)
