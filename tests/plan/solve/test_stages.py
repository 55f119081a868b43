from __future__ import annotations

import dataclasses

import pytest
from heavy import heavy_count
from plan.solve.weeks import every_plan, hard_breaches, tiny_week, week

from planner.plan.problem import WeekProblem, breaches, soft_cost, value
from planner.plan.solve.aggregate import aggregate
from planner.plan.solve.draft import draft
from planner.plan.solve.relax import relax
from planner.plan.solve.rows import Rows
from planner.plan.solve.rules import RULES, write_rules
from planner.plan.solve.stages import Limits, Run, Solved, solve_week
from planner.plan.stop import Stop


def solved(problem: WeekProblem) -> Solved:
    return solve_week(problem, Limits(), lambda _: None)


def relaxed_bound(problem: WeekProblem) -> int:
    found = relax(write_rules(problem), whole_blocks=True, gap=0.0, nodes=1)
    assert found is not None
    return found.bound


def stage(answer: Solved, goal: str):
    return next(stage for stage in answer.stages if stage.goal == goal)


@pytest.mark.heavy
def test_the_least_cost_is_that_of_the_best_of_all_plans(request: pytest.FixtureRequest) -> None:
    for seed in range(heavy_count(request.config, "tiny weeks by enumeration")):
        problem = tiny_week(seed)
        best = min(soft_cost(problem, turns) for turns in every_plan(problem))
        found = stage(solved(problem), "turns")
        assert (found.value, found.bound, found.status) == (best, best, "proven"), seed


@pytest.mark.heavy
def test_the_value_is_the_best_of_all_plans_with_these_turns(request: pytest.FixtureRequest) -> None:
    for seed in range(heavy_count(request.config, "tiny weeks by enumeration")):
        problem = tiny_week(seed)
        answer = solved(problem)
        given_up = sorted(breaches(problem, answer.turns))
        same = [t for t in every_plan(problem) if sorted(breaches(problem, t)) == given_up]
        assert stage(answer, "value").value == max(value(problem, turns) for turns in same), seed


@pytest.mark.parametrize("wanted", [0.7, 0.9, 1.3])
def test_every_hard_rule_holds_in_a_solved_week(wanted: float) -> None:
    problem = week(60, wanted, seed=3)
    assert hard_breaches(problem, solved(problem).turns) == []


@pytest.mark.parametrize("seed", range(20))
def test_the_constructive_plan_keeps_every_hard_rule(seed: int) -> None:
    problem = week(90, 1.3, seed)
    assert hard_breaches(problem, draft(problem)) == []


def test_the_reported_cost_and_value_are_those_of_the_plan() -> None:
    problem = week(60, 0.9, seed=1)
    answer = solved(problem)
    assert stage(answer, "turns").value == soft_cost(problem, answer.turns)
    assert stage(answer, "value").value * 0.997 <= value(problem, answer.turns) + 1


def test_the_bound_is_on_the_right_side_of_the_value() -> None:
    answer = solved(week(80, 1.3, seed=2))
    assert stage(answer, "turns").bound <= stage(answer, "turns").value
    assert stage(answer, "value").bound >= stage(answer, "value").value


def test_the_same_week_gives_the_same_plan_twice() -> None:
    problem = week(70, 0.9, seed=5)
    assert solved(problem) == solved(problem)


def test_a_solved_week_is_never_dearer_than_the_constructive_one() -> None:
    problem = week(100, 1.3, seed=4)
    assert soft_cost(problem, solved(problem).turns) <= soft_cost(problem, draft(problem))


def test_changes_against_the_last_plan_are_avoided_where_nothing_speaks_for_them() -> None:
    problem = week(40, 0.7, seed=6)
    first = solved(problem).turns
    again = solved(dataclasses.replace(problem, last=tuple(sorted(first)))).turns
    assert len(first & again) >= 0.9 * len(first)


def test_completing_the_constructive_plan_breaks_no_row() -> None:
    problem = week(60, 0.9, seed=7)
    rows = write_rules(problem)
    values = rows.complete(draft(problem))
    for row in rows.rows:
        total = sum(factor * values[variable] for variable, factor in row.terms)
        assert row.low is None or row.low <= total, row
        assert row.high is None or total <= row.high, row


def test_completing_a_plan_prices_it_as_the_recount_does() -> None:
    problem = week(60, 1.3, seed=8)
    rows = write_rules(problem)
    turns = draft(problem)
    values = rows.complete(turns)
    assert sum(cost * values[v] for v, cost in rows.cost.items()) == soft_cost(problem, turns)


def test_every_rule_says_its_sentence() -> None:
    for rule in RULES:
        assert (rule.__doc__ or "").strip().endswith("."), rule.__name__


@pytest.mark.parametrize("seed", range(6))
def test_the_cost_told_is_that_of_the_finished_plan(seed: int) -> None:
    problem = week(89, 0.9, seed)
    answer = solved(problem)
    assert stage(answer, "turns").value == soft_cost(problem, answer.turns)


@pytest.mark.parametrize("wanted", [0.7, 1.3])
def test_the_bound_of_the_smaller_week_is_a_bound_of_the_whole(wanted: float) -> None:
    for seed in range(4):
        problem = week(60, wanted, seed)
        small = aggregate(problem).problem
        assert relaxed_bound(small) <= stage(solved(problem), "turns").value, seed


def test_a_week_relaxed_without_whole_blocks_keeps_every_hard_rule() -> None:
    problem = week(120, 1.3, seed=9)
    limits = Limits(whole_up_to=0, smaller_up_to=0)
    assert hard_breaches(problem, solve_week(problem, limits, lambda _: None).turns) == []


def test_being_asked_to_stop_before_it_begins_leaves_the_constructive_plan() -> None:
    problem, stop = week(60, 0.9, seed=2), Stop()
    stop.ask()
    answer = solve_week(problem, Limits(), lambda _: None, stop)
    assert (answer.turns, answer.stopped_by) == (draft(problem), "Ctrl-C")


def test_a_stopped_solve_still_tells_both_figures() -> None:
    problem, stop = week(60, 0.9, seed=2), Stop()
    stop.ask()
    answer = solve_week(problem, Limits(), lambda _: None, stop)
    assert [one.goal for one in answer.stages] == ["turns", "value"]


def test_a_row_whose_sum_could_leave_thirty_two_bits_is_refused() -> None:
    rows = Rows()
    pair = [(rows.variable(), 2**30), (rows.variable(), 2**30)]
    with pytest.raises(AssertionError, match="must stay below 2"):
        rows.add(pair, high=1)


@pytest.mark.parametrize("wanted", [0.7, 1.3])
def test_every_stage_keeps_what_the_one_before_reached(wanted: float) -> None:
    problem = week(60, wanted, seed=11)
    costs = []

    class Watched(Run):
        def note(self, goal: str, reached: int, bound: int) -> None:
            costs.append(soft_cost(self.problem, self.turns))
            super().note(goal, reached, bound)

    Watched(problem, Limits(), lambda _: None, Stop()).run()
    assert costs == sorted([soft_cost(problem, draft(problem)), *costs], reverse=True)[1:]
