"""The week made smaller for its bound: what no turn asks for becomes two fillers an exercise.

A combination that no window of its own asks for can only serve pairs, touches, families and block sizes. Two
fillers that touch everything any of them touches, each as short and as light as the shortest and lightest,
serve those at least as well as any number of the real ones (a touch is wanted twice a week at the most), so
the smaller week never costs more than the whole one: its bound is a bound of the whole.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from planner.plan.problem import Candidate, Exercise, Touch, WeekProblem, Window

FILLERS = 2


@dataclass(frozen=True, slots=True)
class Aggregate:
    """The smaller week; `kept[i]` is the candidate of the whole week behind candidate i (fillers not)."""

    problem: WeekProblem
    kept: tuple[int, ...]


def aggregate(problem: WeekProblem) -> Aggregate:
    """The week with fillers. Exercises and days keep their indices, so blocks are the same blocks."""
    asked = {c for window in problem.windows if len(window.candidates) == 1 for c in window.candidates}
    asked |= {candidate for candidate, _ in problem.pins}
    kept = tuple(c for c in range(len(problem.candidates)) if c in asked)
    candidates = [problem.candidates[c] for c in kept]
    new_index: dict[int, tuple[int, ...]] = {c: (index,) for index, c in enumerate(kept)}
    for exercise in problem.exercises:
        spare = [c for c in exercise.candidates if c not in asked]
        fillers = [_filler(problem, spare)] * min(FILLERS, len(spare)) if spare else []
        places = tuple(range(len(candidates), len(candidates) + len(fillers)))
        candidates += fillers
        new_index.update(dict.fromkeys(spare, places))
    smaller = replace(
        problem,
        candidates=tuple(candidates),
        exercises=tuple(_exercise(exercise, new_index) for exercise in problem.exercises),
        windows=tuple(_window(window, new_index) for window in problem.windows),
        touches=tuple(_touch(touch, new_index) for touch in problem.touches),
        pins=tuple((new_index[c][0], day) for c, day in problem.pins),
        last=(),
        missed=(),
    )
    return Aggregate(smaller, kept)


def _filler(problem: WeekProblem, spare: list[int]) -> Candidate:
    members = [problem.candidates[c] for c in spare]
    return replace(
        members[0],
        id=f"filler {members[0].exercise}",
        seconds=min(c.seconds for c in members),
        load=min(c.load for c in members),
        slow_seconds=min(c.slow_seconds for c in members),
        slow_load=min(c.slow_load for c in members),
        days=tuple(sorted({day for c in members for day in c.days})),
        value=0,
        value_again=0,
        may_follow=True,
        positions=tuple(sorted({p for c in members for p in c.positions})),
        keys=tuple(sorted({k for c in members for k in c.keys})),
    )


def _mapped(candidates: tuple[int, ...], new_index: dict[int, tuple[int, ...]]) -> tuple[int, ...]:
    return tuple(sorted({place for c in candidates for place in new_index[c]}))


def _exercise(exercise: Exercise, new_index: dict[int, tuple[int, ...]]) -> Exercise:
    return replace(exercise, candidates=_mapped(exercise.candidates, new_index))


def _window(window: Window, new_index: dict[int, tuple[int, ...]]) -> Window:
    return replace(window, candidates=_mapped(window.candidates, new_index))


def _touch(touch: Touch, new_index: dict[int, tuple[int, ...]]) -> Touch:
    return replace(touch, candidates=_mapped(touch.candidates, new_index))
