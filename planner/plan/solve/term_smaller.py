"""A smaller term: the fewest combinations left out so that the rest fits, by linear programs alone."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from planner.plan.solve.highs import TINY
from planner.plan.solve.term_model import TermModel, nothing_given_up, written
from planner.plan.term.problem import TermProblem

LEFT_OUT = 1000
"""What a combination left out counts; the week it comes in decides between equals."""

ROUNDS_UP = 6
"""Linear programs in which what is left out becomes whole; the last takes all that is still a fraction."""

LeftOut = tuple[int, int, tuple[tuple[str, int], ...]]
"""How many are left out, the proven least, and how many of which exercise (its id), most first."""


def fewest_left_out(problem: TermProblem) -> LeftOut | None:
    """How few combinations must be left out for the rest to fit, the proven least, and of which exercises.

    None where that does not help. What comes in last is left out first.
    """
    model = written(problem)
    nothing_given_up(model)
    out = _left_out(model, problem)
    answer = model.solved(whole=False)
    if answer is None:
        return None
    values, bound = _made_whole(model, list(out), answer[0]), answer[1]
    counts = Counter({exercise.id: 0 for exercise in problem.exercises})
    for variable, g in out.items():
        counts[problem.exercises[problem.groups[g].exercise].id] += round(values[variable])
    where = tuple((name, count) for name, count in counts.most_common() if count)
    return counts.total(), math.ceil(bound / (LEFT_OUT + len(problem.rooms) + 1) - TINY), where


def _made_whole(model: TermModel, variables: list[int], values: list[float]) -> list[float]:
    """Whole numbers of them, by linear programs: those nearest to the next whole number go up to it first.

    Leaving out more never makes a row harder to keep, so that every one of these programs has an answer.
    """
    for number in range(ROUNDS_UP + 1):
        parts = [v for v in variables if TINY < values[v] % 1 < 1 - TINY]
        parts.sort(key=lambda v: (-(values[v] % 1), v))
        up = parts if number == ROUNDS_UP else parts[: math.ceil(len(parts) / 3)]
        for variable in up:
            model.low[variable] = math.ceil(values[variable])
        answer = model.solved(whole=False) if up else None
        values = answer[0] if answer else values
    return values


def _left_out(model: TermModel, problem: TermProblem) -> dict[int, int]:
    """A variable for everything that may be left out, in the rows that ask for it."""
    weeks = len(problem.rooms)
    out: dict[int, int] = {}
    by_week: list[tuple[list[int | None], int | None]] = []
    for g, group in enumerate(problem.groups):
        new = [
            model.variable(count, cost=LEFT_OUT + weeks - w, whole=True) if count else None
            for w, count in enumerate(group.arrivals)
        ]
        old = model.variable(group.met, cost=LEFT_OUT + weeks + 1, whole=True) if group.met else None
        out |= {variable: g for variable in (*new, old) if variable is not None}
        for w, variable in enumerate(new):
            if variable is not None:  # in the week in which it comes in it has a block, or all of it is out
                count = float(group.arrivals[w])
                model.row([(variable, 1.0), (model.block[group.exercise, w], count)], low=count)
        for row, (kind, owner, w) in model.asks.items():
            if owner == g:
                helping = new[: w + 1] if kind == "first" else [old]
                terms, low, high = model.rows[row]
                more = [(variable, 1.0) for variable in helping if variable is not None]
                model.rows[row] = ([*terms, *more], low, high)
        by_week.append((new, old))
    _pairs_ask_less(model, problem, by_week)
    return out


def _pairs_ask_less(
    model: TermModel, problem: TermProblem, out: Sequence[tuple[list[int | None], int | None]]
) -> None:
    """Keys and positions of an exercise ask for as much less as is left out of it, in proportion."""
    for row, (e, w) in model.pairs.items():
        exercise = problem.exercises[e]
        groups = [problem.groups[g] for g in exercise.groups]
        inside = sum(group.met + sum(group.arrivals[:w]) for group in groups)
        helping = [v for g in exercise.groups for v in (*out[g][0][:w], out[g][1]) if v is not None]
        terms, low, high = model.rows[row]
        share = exercise.pair_turns[w] / max(1, inside)
        model.rows[row] = ([*terms, *((v, share) for v in helping)], low, high)
