"""The term solved: whole turns a week for every line of combinations.

Two solves: first what has to be given up (first turns after their week, broken spans, pairs not met), then
the evenest term that gives up no more.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import accumulate

from planner.plan.solve.highs import TINY
from planner.plan.solve.term_model import TermModel, nothing_given_up, used_by, written
from planner.plan.solve.term_waiting import nothing_waits, waiting_bound, whole_blocks_weekly
from planner.plan.term.problem import Tally, TermProblem, cost_of, nothing_done

GAP = 0.003
"""Of what a term without a turn would give up: finer takes seconds and moves less than a turn."""

EVEN_GAP = 0.03
"""Of the fullest week and what blocks count, in the search for an even term [assumption]."""

WHOLE_BLOCKS_UP_TO = 400
"""Exercises times weeks up to which the blocks of a week are kept whole."""

SHARE = 1000
"""The fullest week is counted in thousandths of its seconds."""

BLOCK = 1.0
"""What a block counts beside a thousandth of the fullest week: few blocks leave room for the days."""

UNASKED = 0.01
"""The same for a turn, so that nothing is promised that nobody asked for."""


@dataclass(frozen=True, slots=True)
class SolvedTerm:
    """The turns of every line in every week, what is given up, and the proven bound on that.

    Where blocks are kept whole and turns are not, `cost` is that of the fractions, rounded up like the bound:
    the turns, rounded as they add up, may cost a little more or less.
    """

    tally: Tally
    cost: int
    bound: int
    proven: bool


def least_cost_bound(problem: TermProblem) -> float:
    """The linear bound on what the term has to give up: 0 where fractions could keep everything."""
    return waiting_bound(problem)


def fits(problem: TermProblem) -> bool:
    """Whether the weeks, with fractions of turns, can keep everything."""
    return nothing_waits(problem)


def solve_term(problem: TermProblem, kept: Tally | None = None) -> SolvedTerm:
    """The term that gives up least, and among those an even one; `kept` where one is known."""
    kept = kept or keeps_everything(problem)
    if kept is not None:
        cost = cost_of(problem, kept)
        return SolvedTerm(kept, cost, 0, cost == 0)
    if _large(problem):
        tally = solve_again(problem)
        cost, floor = cost_of(problem, tally), math.ceil(least_cost_bound(problem) - TINY)
        return SolvedTerm(tally, cost, floor, cost <= floor)
    model = written(problem, tight=False)
    answer = model.solved(whole=True, gap=GAP * nothing_done(problem))
    if answer is None:
        raise AssertionError("a term without any turn is always a solution")
    values, bound = answer
    given_up = sum(cost * value for cost, value in zip(model.cost, values, strict=True))
    even = _evened(model, problem, given_up)
    best = values if even is None else even
    floor, cost = max(0, math.ceil(bound - TINY)), math.ceil(given_up - TINY)
    return SolvedTerm(_tally(problem, model, best), cost, floor, cost <= floor)


def solve_again(problem: TermProblem, *, even: bool = False) -> Tally:
    """The same in moments, for a large term and for the rest of a term after a cut: blocks week by week."""
    return whole_blocks_weekly(problem, even=even)


def _large(problem: TermProblem) -> bool:
    """Whether whole blocks would take too long: then fractions stand in, rounded as they add up."""
    return len(problem.exercises) * len(problem.rooms) > WHOLE_BLOCKS_UP_TO


def keeps_everything(problem: TermProblem) -> Tally | None:
    """An even term that gives up nothing, a large one next to nothing where fractions could keep everything.

    None where there is none, or none was found in the nodes given.
    """
    if least_cost_bound(problem) > 1 - TINY:
        return None
    if _large(problem):
        return solve_again(problem, even=True)
    model = written(problem, tight=False)
    values = _evened(model, problem, 0.0)
    return None if values is None else _tally(problem, model, values)


def _evened(model: TermModel, problem: TermProblem, given_up: float) -> list[float] | None:
    """The same cost with the fullest week as empty as may be; None where HiGHS finds nothing in time."""
    if given_up < TINY:
        nothing_given_up(model)
    else:
        model.row([(v, cost) for v, cost in enumerate(model.cost) if cost], high=given_up + TINY)
    _even(model, problem)
    answer = model.solved(whole=True, share=EVEN_GAP)
    return answer[0] if answer else None


def _even(model: TermModel, problem: TermProblem) -> None:
    """What an even term with few blocks costs, in the place of what is given up."""
    fullest = model.variable(SHARE, cost=0)
    for w, room in enumerate(problem.rooms):
        if room.seconds > 0:
            used = list(used_by(model, problem, w, "seconds"))
            model.row([*((v, each * SHARE / room.seconds) for v, each in used), (fullest, -1.0)], high=0)
    model.cost = [0.0] * len(model.low)
    model.cost[fullest] = 1.0
    for variable in model.back.values():
        model.cost[variable] = UNASKED
    for variable in model.block.values():
        model.cost[variable] = BLOCK


def _tally(problem: TermProblem, model: TermModel, values: list[float]) -> Tally:
    """Whole turns: every week brings the sum so far to its nearest whole number."""

    def taken(turn: dict[tuple[int, int], int], g: int) -> tuple[int, ...]:
        shares = [values[turn[g, w]] for w in range(len(problem.rooms))]
        sums = [math.floor(total + 0.5) for total in accumulate(shares)]
        return tuple(now - before for now, before in zip(sums, [0, *sums], strict=False))

    groups = range(len(problem.groups))
    return Tally(tuple(taken(model.first, g) for g in groups), tuple(taken(model.back, g) for g in groups))
