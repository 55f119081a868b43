"""What a turn would cost on another day: the week solved again with it forced by a pin, within limited work.

First the days that the move touches are solved anew and all others stay as they are, then the whole week
from there. What is found never costs less than the best plan there is with that turn; `proven` says where
it is the best.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from planner.plan.problem import Candidate, Turns, WeekProblem, soft_cost, value
from planner.plan.solve.cpsat import Answer, solve_rows
from planner.plan.solve.draft import Draft, filled, led_up_to
from planner.plan.solve.rows import Rows
from planner.plan.solve.rules import write_rules
from planner.plan.stop import Stop

NEAR, WHOLE, WORTH = 0.1, 0.5, 0.1
"""Deterministic work of the solves of a move: the days it touches, the whole week, the value."""

SECONDS = 10.0


@dataclass(frozen=True, slots=True)
class Forced:
    """A plan with one turn forced: its turns, what its soft rules cost, what it is worth.

    `proven`: no plan of the whole week with this turn costs less.
    """

    turns: Turns
    cost: int
    value: int
    proven: bool


def forced(
    problem: WeekProblem,
    turns: Turns,
    candidate: int,
    *,
    onto: int | None,
    off: frozenset[int],
    fixed: frozenset[int] = frozenset(),
    least: int = 0,
    stop: Stop | None = None,
) -> Forced | None:
    """The best plan found with `candidate` on the day `onto` (None: no turn more) and on none of `off`.

    `turns` is the plan that stands, `fixed` are its days that stay as they are whatever happens: the past.
    `least` is a proven bound of what the week costs. None where the turn clashes with what is pinned or past.
    """
    touched = off | ({onto} if onto is not None else frozenset())
    wanted = _forced_problem(problem, candidate, onto, off)
    best = _start(wanted, turns - {(candidate, day) for day in off}, fixed)
    if best is None:
        return None
    run = _Run(problem.seed, stop or Stop(), least)
    best = run.cheaper(_only(wanted, best, touched - fixed), best, NEAR)
    whole = _only(wanted, best, frozenset(range(len(problem.days))) - fixed)
    best = run.cheaper(whole, best, WHOLE)
    best = run.worthier(whole, best)
    return Forced(best, soft_cost(problem, best), value(problem, best), run.proven)


class _Run:
    """The solves of one move, one after another."""

    def __init__(self, seed: int, stop: Stop, least: int) -> None:
        self._seed, self._stop, self._least = seed, stop, least
        self.proven = False

    def cheaper(self, problem: WeekProblem, start: Turns, work: float) -> Turns:
        """A plan that costs less than `start` where one is found; nothing is looked for below the bound."""
        cost = soft_cost(problem, start)
        self.proven = cost <= self._least
        if self.proven or self._stop.asked:
            return start
        rows = write_rules(problem)
        answer = self._solve(rows, rows.cost, start, work, maximise=False)
        self.proven = answer is not None and answer.proven
        better = answer is not None and answer.objective < cost
        return rows.turns(answer.values) if answer is not None and better else start

    def worthier(self, problem: WeekProblem, start: Turns) -> Turns:
        """A plan that is worth more and gives up nothing beyond what `start` does."""
        if self._stop.asked:
            return start
        rows = write_rules(problem)
        values = rows.complete(start)
        granted = {slack: values[slack] for slack in rows.slack}
        answer = self._solve(rows, rows.value, start, WORTH, maximise=True, at_most=granted)
        return start if answer is None else rows.turns(answer.values)

    def _solve(
        self,
        rows: Rows,
        objective: dict[int, int],
        start: Turns,
        work: float,
        *,
        maximise: bool,
        at_most: Mapping[int, int] | None = None,
    ) -> Answer | None:
        return solve_rows(
            rows,
            objective,
            maximise=maximise,
            hint=rows.complete(start),
            work=work,
            seconds=SECONDS,
            seed=self._seed,
            stop=self._stop,
            at_most=at_most,
        )


def _forced_problem(
    problem: WeekProblem, candidate: int, onto: int | None, off: frozenset[int]
) -> WeekProblem:
    """The week with the turn pinned, and its days without those it must not stand on."""
    wish = problem.candidates[candidate]
    moved = replace(wish, days=tuple(day for day in wish.days if day not in off))
    pins = [pin for pin in problem.pins if pin[0] != candidate or pin[1] not in off]
    pins += [(candidate, onto)] if onto is not None else []
    candidates = tuple(moved if index == candidate else one for index, one in enumerate(problem.candidates))
    return replace(problem, candidates=candidates, pins=tuple(sorted(set(pins))))


def _start(problem: WeekProblem, turns: Turns, fixed: frozenset[int]) -> Turns | None:
    """A plan with the pins and as many of these turns as still fit, the most needed first; then filled.

    The turns of fixed days are pins too.
    """
    past = {turn for turn in turns if turn[1] in fixed}
    pinned = led_up_to(replace(problem, pins=tuple(sorted(set(problem.pins) | past))))
    if pinned.waiting or not _keeps_hard_rules(problem, frozenset(pinned.plan.turns)):
        return None
    plan = pinned.plan
    wanted = sorted(turns, key=lambda turn: (-problem.candidates[turn[0]].need, turn))
    for _ in range(2):  # what comes after another exercise may only fit once that has its place
        for candidate, day in wanted:
            if day in problem.candidates[candidate].days and plan.fits(candidate, day):
                plan.take(candidate, day)
    return filled(plan)


def _keeps_hard_rules(problem: WeekProblem, turns: Turns) -> bool:
    """Whether these turns keep the hard rules one after another (`led_up_to` takes pins without asking)."""
    plan = Draft(problem)
    for candidate, day in sorted(turns, key=lambda turn: (turn[1], turn[0])):
        if not plan.fits(candidate, day):
            return False
        plan.take(candidate, day)
    return True


def _only(problem: WeekProblem, start: Turns, free: frozenset[int]) -> WeekProblem:
    """The same week in which only the free days can change: elsewhere every turn of `start` is pinned."""
    kept = {turn for turn in start if turn[1] not in free}
    candidates = tuple(_with_days(one, index, kept, free) for index, one in enumerate(problem.candidates))
    return replace(problem, candidates=candidates, pins=tuple(sorted(set(problem.pins) | kept)))


def _with_days(one: Candidate, index: int, kept: set[tuple[int, int]], free: frozenset[int]) -> Candidate:
    return replace(one, days=tuple(day for day in one.days if day in free or (index, day) in kept))
