"""The week after a missed stretch: turns first, then few changes; tiny weeks are tried out whole."""

from __future__ import annotations

import dataclasses
import random

import pytest
from heavy import heavy_count
from plan.solve.weeks import every_plan, hard_breaches, tiny_week, week

from planner.plan.problem import Turns, WeekProblem, breaches, changes, soft_cost, value
from planner.plan.solve.conflict import clash_of
from planner.plan.solve.draft import draft, repaired
from planner.plan.solve.returning import KEPT_OF_TURNS, LIMITS, solve_quickly, solve_return
from planner.plan.solve.rules import write_rules
from planner.plan.solve.stages import Solved, evenness_terms, solve_week


def solved(problem: WeekProblem) -> Solved:
    return solve_return(problem, LIMITS, lambda _: None)


def stage(answer: Solved, goal: str):
    return next(stage for stage in answer.stages if stage.goal == goal)


def returning(problem: WeekProblem, seed: int) -> WeekProblem:
    """The same week on a shorter first day, a plan before that was made for the whole, some of it missed."""
    dice = random.Random(seed)
    before = draft(dataclasses.replace(problem, pins=()))
    first = dataclasses.replace(problem.days[0], seconds=problem.days[0].seconds * 3 // 4)
    count = len(problem.candidates)
    missed = tuple(sorted(dice.sample(range(count), count // 5)))
    last = tuple(sorted(before))
    return dataclasses.replace(problem, days=(first, *problem.days[1:]), last=last, missed=missed)


@pytest.mark.heavy
@pytest.mark.timeout(3600)
def test_no_plan_with_these_turns_changes_fewer_of_the_plan_before(request: pytest.FixtureRequest) -> None:
    for seed in range(heavy_count(request.config, "tiny weeks by enumeration")):
        problem = returning(tiny_week(seed), seed)
        plans = every_plan(problem)
        if not plans:  # a pin longer than the shortened first day: no plan keeps every rule
            continue
        answer = solved(problem)
        given = granted(problem, answer.turns)
        as_good = [t for t in plans if given <= granted(problem, t)]
        assert stage(answer, "changes").value == min(changes(problem, t) for t in as_good), seed


def granted(problem: WeekProblem, turns: Turns) -> set[tuple[str, str]]:
    """What a plan grants: the soft rules it keeps, of all that the empty plan breaks."""
    broken = [(rule, what) for rule, what, _ in breaches(problem, turns)]
    every = {(rule, what) for rule, what, _ in breaches(problem, frozenset())}
    singles = {("block size", f"{exercise.id} {day}") for exercise in problem.exercises for day in range(2)}
    keys = every | singles
    return {(*key, str(n)) for key in keys for n in range(5 - broken.count(key))}  # type: ignore[misc]


@pytest.mark.parametrize("seed", range(6))
def test_every_hard_rule_holds_after_a_missed_stretch(seed: int) -> None:
    problem = returning(week(40, 0.9, seed), seed)
    assert hard_breaches(problem, solved(problem).turns) == []


@pytest.mark.parametrize("seed", range(6))
def test_few_changes_spend_no_more_than_a_twentieth_of_what_turns_save(seed: int) -> None:
    problem = returning(week(40, 0.9, seed), seed)
    empty = soft_cost(problem, frozenset())
    alone = solve_week(problem, LIMITS, lambda _: None)
    # the draft it may start from is another one: what is measured is what stage (a) reached on its own
    saved, could = empty - soft_cost(problem, solved(problem).turns), empty - soft_cost(problem, alone.turns)
    assert saved >= could * KEPT_OF_TURNS // 1000 - 1


@pytest.mark.parametrize("seed", range(6))
def test_it_changes_no_more_than_planning_from_scratch(seed: int) -> None:
    problem = returning(week(40, 0.9, seed), seed)
    scratch = solve_week(problem, LIMITS, lambda _: None)
    assert changes(problem, solved(problem).turns) <= changes(problem, scratch.turns)


def test_pins_stay_whatever_the_plan_before_had() -> None:
    problem = returning(week(40, 0.9, 2), 2)
    stood = set(problem.last)
    free = next((c, 3) for c in range(len(problem.candidates)) if (c, 3) not in stood)
    pinned = dataclasses.replace(problem, pins=(free,))
    assert free in solved(pinned).turns


def test_a_week_that_fits_as_it_was_is_not_changed() -> None:
    problem = week(40, 0.7, 3)
    before = solve_week(problem, LIMITS, lambda _: None).turns
    again = dataclasses.replace(problem, last=tuple(sorted(before)))
    assert (stage(solved(again), "changes").value, stage(solved(again), "changes").status) == (0, "proven")


def test_value_takes_none_of_the_turns_that_stayed() -> None:
    problem = returning(week(40, 0.9, 4), 4)
    answer = solved(problem)
    assert changes(problem, answer.turns) == stage(answer, "changes").value


def test_the_cost_told_is_that_of_the_finished_plan() -> None:
    problem = returning(week(40, 0.9, 5), 5)
    answer = solved(problem)
    assert stage(answer, "turns").value == soft_cost(problem, answer.turns)


def test_the_same_week_is_planned_the_same_way_again() -> None:
    problem = returning(week(40, 0.9, 1), 1)
    assert solved(problem) == solved(problem)


@pytest.mark.parametrize("seed", range(6))
def test_the_plan_before_as_far_as_it_fits_keeps_every_hard_rule(seed: int) -> None:
    problem = returning(week(60, 1.3, seed), seed)
    assert hard_breaches(problem, repaired(problem)) == []


def test_a_week_built_by_hand_tells_its_own_figures() -> None:
    problem = returning(week(60, 1.3, 1), 1)
    answer = solve_quickly(problem, LIMITS, lambda _: None)
    assert (stage(answer, "turns").value, stage(answer, "value").value) == (
        soft_cost(problem, answer.turns),
        value(problem, answer.turns),
    )


def one_day(*, slow: bool, load: int = 10**6) -> WeekProblem:
    """One day of 300 s; an item of 100 s and a load of 10, where it is slow 160 s and 20; no set-up."""
    problem = week(6, 0.9, 1, days=1)
    candidates = tuple(
        dataclasses.replace(c, seconds=100, slow_seconds=160, load=10, slow_load=20)
        for c in problem.candidates
    )
    exercises = tuple(dataclasses.replace(e, setup_seconds=0) for e in problem.exercises)
    day = dataclasses.replace(problem.days[0], seconds=300, load=load, slow=slow)
    return dataclasses.replace(
        problem, days=(day,), candidates=candidates, exercises=exercises, two_days=(), consecutive=()
    )


def test_on_a_slow_day_items_take_their_slower_seconds() -> None:
    # three turns of 100 s in 300 s, one of 160 s
    weeks = (one_day(slow=False), one_day(slow=True))
    assert [len(solve_week(problem, LIMITS, lambda _: None).turns) for problem in weeks] == [3, 1]


@pytest.mark.parametrize(("load", "limit"), [(10**6, "minutes"), (30, "load")])
def test_pins_clash_by_what_they_take_on_a_slow_day(load: int, limit: str) -> None:
    # two items: 200 s or 320 s in 300 s, a load of 20 or 40 in 30
    pins = ((0, 0), (1, 0))
    found = [
        clash_of(dataclasses.replace(one_day(slow=slow, load=load), pins=pins), ("pins",))
        for slow in (False, True)
    ]
    assert found[0] is None
    assert found[1] is not None
    assert limit in {rule.kind for rule in found[1].limits}


def test_evenness_counts_the_slower_seconds_of_a_slow_day() -> None:
    # an item of 160 s where it is slow, in thousandths of a second; no set-up
    problem = one_day(slow=True)
    rows = write_rules(problem)
    evenness_terms(problem, rows)
    items = set(rows.x.values())
    told = [row for row in rows.rows if row.rule == "evenness"]
    assert {factor for row in told for variable, factor in row.terms if variable in items} == {160_000}
