"""Changes of a week of numbers whose effect is known without solving it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from heavy import heavy_count
from plan.solve.weeks import tiny_week, week

from planner.plan.problem import Touch, WeekProblem
from planner.plan.solve.stages import Limits, Solved, solve_week

SMALL = Limits(turns=3.0, items=3.0, value=3.0)


def solved(problem: WeekProblem) -> Solved:
    return solve_week(problem, SMALL, lambda _: None)


def turns_stage(problem: WeekProblem) -> tuple[int, str]:
    first = solved(problem).stages[0]
    return first.value, first.status


def rotated(problem: WeekProblem, by: int) -> WeekProblem:
    """Every key `by` fifths further; what touches it is gathered again, in the order of the new names."""
    candidates = tuple(
        replace(c, keys=tuple(sorted((key + by) % 12 for key in c.keys))) for c in problem.candidates
    )
    others = [touch for touch in problem.touches if not touch.name.startswith("keys")]
    keys = sorted({key for c in candidates for key in c.keys})
    gathered = [
        Touch(f"keys {key}", tuple(n for n, c in enumerate(candidates) if key in c.keys), 2) for key in keys
    ]
    return replace(problem, candidates=candidates, touches=(*others, *gathered))


def roomier(problem: WeekProblem, day: int, minutes: int) -> WeekProblem:
    """More minutes on one day, with the load that they carry."""
    days = list(problem.days)
    days[day] = replace(
        days[day], seconds=days[day].seconds + 60 * minutes, load=days[day].load + 1250 * minutes
    )
    pairs = tuple(replace(p, load=p.load + 1125 * minutes * (day in p.days)) for p in problem.two_days)
    return replace(problem, days=tuple(days), two_days=pairs)


@pytest.mark.heavy
@pytest.mark.timeout(3600)
def test_keys_rotated_together_cost_the_same(request: pytest.FixtureRequest) -> None:
    for seed in range(heavy_count(request.config, "weeks changed with a known effect")):
        problem = week(24, 0.7, seed, days=3)
        one, other = turns_stage(problem), turns_stage(rotated(problem, 1 + seed % 11))
        assert one[1] == other[1] == "proven", seed
        assert one == other, seed


@pytest.mark.heavy
@pytest.mark.timeout(3600)
def test_more_minutes_on_a_practice_day_never_make_a_proven_week_worse(
    request: pytest.FixtureRequest,
) -> None:
    for seed in range(heavy_count(request.config, "weeks changed with a known effect")):
        problem = replace(tiny_week(seed), pins=()) if seed % 2 else week(24, 1.3, seed, days=3)
        before = turns_stage(problem)
        after = turns_stage(roomier(problem, seed % len(problem.days), 5 + seed % 20))
        assert before[1] == after[1] == "proven", seed
        assert after[0] <= before[0], seed


@pytest.mark.heavy
@pytest.mark.timeout(3600)
def test_the_order_of_exercises_changes_no_proven_cost(request: pytest.FixtureRequest) -> None:
    for seed in range(heavy_count(request.config, "weeks changed with a known effect")):
        problem = week(24, 0.9, seed, days=3)
        assert turns_stage(problem) == turns_stage(turned_round(problem)), seed


def turned_round(problem: WeekProblem) -> WeekProblem:
    """The same week with exercises and candidates in the opposite order."""
    most, last = len(problem.candidates) - 1, len(problem.exercises) - 1
    candidates = tuple(replace(c, exercise=last - c.exercise) for c in reversed(problem.candidates))
    exercises = tuple(
        replace(
            e,
            candidates=tuple(sorted(most - c for c in e.candidates)),
            after=tuple(sorted(last - a for a in e.after)),
        )
        for e in reversed(problem.exercises)
    )
    windows = tuple(
        replace(w, candidates=tuple(sorted(most - c for c in w.candidates))) for w in problem.windows
    )
    touches = tuple(
        replace(t, candidates=tuple(sorted(most - c for c in t.candidates))) for t in problem.touches
    )
    pins = tuple(sorted((most - c, day) for c, day in problem.pins))
    return replace(
        problem, candidates=candidates, exercises=exercises, windows=windows, touches=touches, pins=pins
    )
