"""The solver against itself in two halves, against another solver, and against every plan of a tiny week."""

from __future__ import annotations

import random

import pytest
from heavy import heavy_count
from plan.solve.other_solver import evenness, least_cost
from plan.solve.weeks import every_plan, hard_breaches, tiny_week, week

from planner.plan.problem import WeekProblem, breaches, seconds_used, soft_cost, value
from planner.plan.solve.cpsat import Answer, solve_rows
from planner.plan.solve.rules import write_rules
from planner.plan.solve.stages import KEPT_OF_VALUE, Limits, Solved, solve_week
from planner.plan.stop import Stop

PATIENT = Limits(items=3.0, turns=6.0, seconds=300.0)
MOSTLY = 0.9  # of the weeks are to be proven, or agreement would say little


def solved(problem: WeekProblem) -> Solved:
    return solve_week(problem, PATIENT, lambda _: None)


def medium(seed: int) -> WeekProblem:
    """Three days with 18 to 32 combinations: too many plans to count, few enough to prove mostly."""
    dice = random.Random(f"medium {seed}")
    wanted = dice.choice((0.7, 0.9, 1.3))
    return week(
        dice.randint(24, 40), wanted, seed, days=dice.choice((3, 4)), minutes=dice.choice((25, 30, 45))
    )


def half(problem: WeekProblem, turn: tuple[int, int], *, taken: bool) -> Answer:
    """The least cost with this turn taken, or left out."""
    rows = write_rules(problem)
    fixed = rows.x[turn]
    answer = solve_rows(
        rows, rows.cost, maximise=False, hint=None, work=6.0, seconds=300.0, seed=1, stop=Stop(),
        cutoffs=(({fixed: 1}, int(taken), int(taken)),),
    )  # fmt: skip
    assert answer is not None
    return answer


@pytest.mark.heavy
@pytest.mark.timeout(7200)
def test_the_better_of_two_halves_is_the_whole(request: pytest.FixtureRequest) -> None:
    count = heavy_count(request.config, "medium weeks in two halves")
    proven = 0
    for seed in range(count):
        problem = medium(seed)
        whole = solved(problem).stages[0]
        turn = random.Random(seed).choice(sorted(write_rules(problem).x))
        halves = [half(problem, turn, taken=taken) for taken in (False, True)]
        best = min(one.objective for one in halves)
        assert whole.bound <= best, seed
        assert min(one.bound for one in halves) <= whole.value, seed
        if whole.status == "proven" and all(one.proven for one in halves):
            assert best == whole.value, seed
            proven += 1
    assert proven >= MOSTLY * count


@pytest.mark.heavy
@pytest.mark.timeout(7200)
def test_another_solver_on_other_rows_finds_the_same_least_cost(request: pytest.FixtureRequest) -> None:
    count = heavy_count(request.config, "medium weeks by another solver")
    proven = 0
    for seed in range(count):
        problem = medium(1000 + seed)
        ours = solved(problem).stages[0]
        cost, bound, turns = least_cost(problem, seconds=300.0)
        assert hard_breaches(problem, turns) == [], seed
        assert soft_cost(problem, turns) <= cost, seed
        assert ours.bound <= cost, seed
        assert bound <= ours.value, seed
        if ours.status == "proven" and bound == cost:
            assert cost == ours.value, seed
            proven += 1
    assert proven >= MOSTLY * count


@pytest.mark.heavy
def test_the_evenness_is_the_best_of_all_plans_with_these_turns(request: pytest.FixtureRequest) -> None:
    for seed in range(heavy_count(request.config, "tiny weeks by enumeration")):
        problem = tiny_week(seed)
        answer = solved(problem)
        first, second, third = answer.stages
        assert first.status == second.status == third.status == "proven", seed
        given_up = sorted(breaches(problem, answer.turns))
        least = -(-second.value * KEPT_OF_VALUE // 1000)
        same = [
            turns
            for turns in every_plan(problem)
            if sorted(breaches(problem, turns)) == given_up and value(problem, turns) >= least
        ]
        best = min(
            evenness(problem, turns, (seconds_used(problem, turns, d) for d in range(len(problem.days))))
            for turns in same
        )
        assert third.value == best, seed
