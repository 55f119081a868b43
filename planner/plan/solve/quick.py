"""A week ahead laid out quickly: by hand first, by the solver only where that leaves a promise open."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from planner.plan.problem import Turns, WeekProblem, most_value, soft_cost, value
from planner.plan.solve.draft import draft, filled_up
from planner.plan.solve.stages import Limits, Solved, StageResult, solve_week

WHOLE = Limits(nodes=1, items=0.3, stages=1)
"""Work for the promises alone with blocks in whole numbers."""


def quick_week(problem: WeekProblem, limits: Limits) -> Solved:
    """The constructive plan where it holds every promised turn, else the one that leaves the fewest open.

    Tried in turn until one holds all: by hand as always; by hand with the promises before everything else;
    the promises alone with the solver, a far smaller week, and everything else by hand beside them; the same
    with the blocks in whole numbers.
    """
    found: list[Turns] = []
    for way in _ways(limits):
        found.append(way(problem))
        if not open_promises(problem, found[-1]):
            break
    return by_hand(problem, min(found, key=lambda turns: len(open_promises(problem, turns))))


def _ways(limits: Limits) -> tuple[Callable[[WeekProblem], Turns], ...]:
    return (
        draft,
        promises_first,
        lambda problem: promises_solved(problem, limits),
        lambda problem: promises_solved(problem, WHOLE),
    )


def promises_first(problem: WeekProblem) -> Turns:
    """The constructive plan with every promise placed before anything else is thought of."""
    return filled_up(problem, draft(promises_alone(problem)))


def promises_solved(problem: WeekProblem, limits: Limits) -> Turns:
    """As many promises as the solver finds days for, and beside them what else fits."""
    return filled_up(problem, solve_week(promises_alone(problem), limits, lambda _: None).turns)


def promises_alone(problem: WeekProblem) -> WeekProblem:
    """The week as if nothing but the promised turns were wanted; every hard rule stays."""
    alone = tuple(window for window in problem.windows if window.kind == "term")
    names = {window.candidates[0] for window in alone}
    only = tuple(
        candidate if c in names else replace(candidate, days=())
        for c, candidate in enumerate(problem.candidates)
    )
    return replace(problem, candidates=only, windows=alone, touches=())


def open_promises(problem: WeekProblem, turns: Turns) -> tuple[str, ...]:
    """The combinations whose promised turn is missing, or stands after its span."""
    return tuple(
        w.name
        for w in problem.windows
        if w.kind == "term" and not any((w.candidates[0], day) in turns for day in w.days)
    )


def by_hand(problem: WeekProblem, turns: Turns) -> Solved:
    """A constructive plan with the bounds that always hold."""
    stages = (
        StageResult("turns", soft_cost(problem, turns), 0, "not proven"),
        StageResult("value", value(problem, turns), most_value(problem), "not proven"),
    )
    return Solved(turns, stages, 0.0, "work")
