"""A turn forced onto another day: against every plan there is, on weeks small enough to try them all."""

from __future__ import annotations

import pytest
from heavy import heavy_count
from plan.solve.weeks import every_plan, hard_breaches, tiny_week, week

from planner.plan.problem import Turns, WeekProblem, soft_cost, value
from planner.plan.solve.draft import draft, led_up_to
from planner.plan.solve.force import forced
from planner.plan.solve.stages import Limits, solve_week

NOWHERE: frozenset[int] = frozenset()


def solved(problem: WeekProblem) -> Turns:
    return solve_week(problem, Limits(), lambda _: None).turns


@pytest.mark.heavy
@pytest.mark.timeout(3600)
def test_a_forced_turn_costs_what_the_best_plan_with_it_costs(request: pytest.FixtureRequest) -> None:
    for seed in range(heavy_count(request.config, "tiny weeks by enumeration")):
        problem = tiny_week(seed)
        plans, turns = every_plan(problem), solved(problem)
        for candidate, wish in enumerate(problem.candidates):
            for day in wish.days:
                costs = [soft_cost(problem, plan) for plan in plans if (candidate, day) in plan]
                found = forced(problem, turns, candidate, onto=day, off=NOWHERE)
                assert (None if found is None else found.cost) == min(costs, default=None), (
                    seed,
                    candidate,
                    day,
                )


@pytest.mark.heavy
@pytest.mark.timeout(3600)
def test_what_is_left_out_costs_what_the_best_plan_without_it_costs(request: pytest.FixtureRequest) -> None:
    for seed in range(heavy_count(request.config, "tiny weeks by enumeration")):
        problem = tiny_week(seed)
        pinned = {candidate for candidate, _ in problem.pins}
        plans, turns = every_plan(problem), solved(problem)
        for candidate in {candidate for candidate, _ in turns} - pinned:
            without = [plan for plan in plans if all(one != candidate for one, _ in plan)]
            found = forced(problem, turns, candidate, onto=None, off=frozenset((0, 1)))
            costs = [soft_cost(problem, plan) for plan in without]
            assert (None if found is None else found.cost) == min(costs, default=None), (seed, candidate)


@pytest.mark.parametrize("seed", range(4))
def test_a_forced_plan_keeps_every_hard_rule(seed: int) -> None:
    problem = week(60, 0.9, seed)
    turns = draft(problem)
    candidate, day = min(turns)
    other = next(one for one in problem.candidates[candidate].days if one != day)
    found = forced(problem, turns, candidate, onto=other, off=frozenset((day,)))
    assert found is not None
    assert hard_breaches(problem, found.turns) == []
    assert (candidate, other) in found.turns
    assert (candidate, day) not in found.turns


@pytest.mark.parametrize("seed", range(4))
def test_fixed_days_stay_as_they_are(seed: int) -> None:
    problem = week(60, 0.9, seed)
    turns = draft(problem)
    candidate = next(c for c, day in sorted(turns) if day == 4)
    found = forced(problem, turns, candidate, onto=5, off=frozenset((4,)), fixed=frozenset((0, 1)))
    assert found is not None
    assert {turn for turn in found.turns if turn[1] < 2} == {turn for turn in turns if turn[1] < 2}


def test_cost_and_value_are_those_of_the_turns() -> None:
    problem = week(60, 0.9, 7)
    turns = draft(problem)
    candidate, _ = min(turns)
    found = forced(problem, turns, candidate, onto=None, off=frozenset(range(6)))
    assert found is not None
    assert (found.cost, found.value) == (soft_cost(problem, found.turns), value(problem, found.turns))
    assert all(one != candidate for one, _ in found.turns)


@pytest.mark.parametrize("seed", range(20))
def test_pins_with_what_leads_to_them_keep_every_hard_rule(seed: int) -> None:
    problem = tiny_week(seed)
    pinned = led_up_to(problem)
    if not pinned.waiting:
        assert hard_breaches(problem, frozenset(pinned.plan.turns)) == []
    assert bool(pinned.waiting) <= (every_plan(problem) == [])
