"""A week ahead laid out quickly: by hand first, by the solver only where that leaves a promise open."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from planner.plan.problem import Turns, WeekProblem, soft_cost, value
from planner.plan.solve.draft import draft, filled_up
from planner.plan.solve.stages import Limits, Solved, StageResult, solve_week


def quick_week(problem: WeekProblem, limits: Limits) -> Solved:
    """The constructive plan where it holds every promised turn, else the better of it and the solver's."""
    turns = min(_drafts(problem), key=lambda one: len(open_promises(problem, one)))
    open_ = len(open_promises(problem, turns))
    if not open_:
        return by_hand(problem, turns)
    solved = solve_week(problem, limits, lambda _: None)
    return solved if len(open_promises(problem, solved.turns)) < open_ else by_hand(problem, turns)


def _drafts(problem: WeekProblem) -> Iterator[Turns]:
    """By hand as always; where that leaves a promise open, with the promises before everything else."""
    turns = draft(problem)
    yield turns
    if open_promises(problem, turns):
        yield promises_first(problem)


def promises_first(problem: WeekProblem) -> Turns:
    """The constructive plan with every promise placed before anything else is thought of."""
    alone = tuple(window for window in problem.windows if window.kind == "term")
    names = {window.candidates[0] for window in alone}
    only = tuple(
        candidate if c in names else replace(candidate, days=())
        for c, candidate in enumerate(problem.candidates)
    )
    return filled_up(problem, draft(replace(problem, candidates=only, windows=alone)))


def open_promises(problem: WeekProblem, turns: Turns) -> tuple[str, ...]:
    """The combinations whose promised turn is missing, or stands after its span."""
    return tuple(
        w.name
        for w in problem.windows
        if w.kind == "term" and not any((w.candidates[0], day) in turns for day in w.days)
    )


def by_hand(problem: WeekProblem, turns: Turns) -> Solved:
    """A constructive plan with the bounds that always hold."""
    most = sum(c.value + max(0, len(c.days) - 1) * c.value_again for c in problem.candidates if c.days)
    stages = (
        StageResult("turns", soft_cost(problem, turns), 0, "not proven"),
        StageResult("value", value(problem, turns), most, "not proven"),
    )
    return Solved(turns, stages, 0.0, "work")
