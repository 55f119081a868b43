"""The whole week for another solver, from rows that were written another way.

`named.py` writes every rule by itself: no chain of windows, no shared slack. Here each wish gets a slack at
the price that `problem.py` names, and SCIP (through ortools' linear solver, neither CP-SAT nor HiGHS) finds
the least cost of all of them with everything in whole numbers.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from ortools.linear_solver import pywraplp

from planner.plan.problem import (
    MISSING_FAMILY,
    MISSING_TOUCH,
    SINGLE_COMBINATION_BLOCK,
    Turns,
    WeekProblem,
)
from planner.plan.solve.named import LIMITS, Line, Named, NamedWeek, named_week, part_of

PRICES = {"family": MISSING_FAMILY, "block size": SINGLE_COMBINATION_BLOCK, "touch": MISSING_TOUCH}


def price(week: NamedWeek, rule: Named) -> int:
    """What a unit of a broken wish costs; 0 for what must hold."""
    if rule.kind in LIMITS or rule.kind == "pin":
        return 0
    return PRICES.get(rule.kind) or week.problem.windows[rule.subject].cost


def least_cost(problem: WeekProblem, seconds: float) -> tuple[int, int, Turns]:
    """Cost of the best plan found, the proven bound (rounded up), the plan."""
    week = named_week(problem)
    part = part_of(week, week.lines)
    solver = pywraplp.Solver.CreateSolver("SCIP")
    solver.SetTimeLimit(int(1000 * seconds))
    variables = {v: solver.BoolVar("") for v in part.variables}
    objective = solver.Objective()
    objective.SetMinimization()
    for line in part.structure:
        _row(solver, variables, line)
    for rule, line in part.lines:
        row = _row(solver, variables, line)
        if price(week, rule):
            slack = solver.IntVar(0, max(1, line.low or 1), "")
            row.SetCoefficient(slack, 1)
            objective.SetCoefficient(slack, price(week, rule))
    status = solver.Solve()
    assert status in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE), status
    turns = frozenset(
        week.turns[v] for v, x in variables.items() if v in week.turns and x.solution_value() > 0.5
    )
    return round(objective.Value()), math.ceil(objective.BestBound() - 1e-4), turns


def _row(solver: pywraplp.Solver, variables: dict[int, pywraplp.Variable], line: Line) -> pywraplp.Constraint:
    low = -solver.infinity() if line.low is None else line.low
    high = solver.infinity() if line.high is None else line.high
    row = solver.Constraint(low, high)
    for v, factor in line.terms:
        row.SetCoefficient(variables[v], factor)
    return row


def evenness(problem: WeekProblem, turns: Turns, used: Iterator[int]) -> int:
    """Stage (c) of a plan by hand: spread of the days in thousandths, ten a block, less twenty a turn kept.

    `used`: the seconds of each day in order, set-ups included.
    """
    shares = [(1000 * seconds, room.seconds) for seconds, room in zip(used, problem.days, strict=True)]
    fullest = max(-(-seconds // room) for seconds, room in shares)
    emptiest = min(seconds // room for seconds, room in shares)
    blocks = {(problem.candidates[c].exercise, d) for c, d in turns}
    return fullest - emptiest + 10 * len(blocks) - 20 * len(turns & set(problem.last))
