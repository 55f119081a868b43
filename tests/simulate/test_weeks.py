"""A simulated week as the solver's problem, and the fast rule beside it."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
from simulate.shelf import SMALL, morning, outcome

from planner.plan.problem import soft_cost
from planner.plan.solve.stages import Limits
from planner.simulate.named import POLICIES
from planner.simulate.policies import Ours
from planner.simulate.solved import REDUCED, OursSolved, Shelf, shelves_of, spread_out, week_problem
from planner.simulate.term import Setting
from planner.simulate.weeks import FIVE, WAYS, Week, fast_week, weeks, weeks_to_json

MONDAY = morning(day=14, last=(14 - np.arange(2, 2 + SMALL.size))[None])


def shelf() -> Shelf:
    return shelves_of(MONDAY, Ours())[0]


@pytest.fixture(scope="module")
def solved() -> Week:
    """The second week of one player, on the small shelf, within the reduced limit."""
    (found,) = weeks(Setting(weeks=2), SMALL, 1001, (2,), REDUCED)
    return found


def test_the_week_has_room_for_its_items_on_six_days() -> None:
    problem = week_problem(shelf(), MONDAY)
    assert [day.seconds // 300 for day in problem.days] == [5] * 6 + [0]


def test_a_combination_whose_span_ends_this_week_has_a_window_up_to_that_day() -> None:
    last = MONDAY.last.copy()
    last[0, 4] = 14 + 3 - MONDAY.span_days
    late = morning(day=14, last=last)
    problem = week_problem(shelves_of(late, Ours())[0], late)
    (window,) = [one for one in problem.windows if one.kind == "turn" and one.name == "c4"]
    assert window.days == (0, 1, 2, 3)


def test_the_values_are_those_of_the_planner() -> None:
    # need 0.25 (mean -8, spread 4 would be 0.75); rested 2 practice days or more: since x (0.1 + need)^5
    mean = np.zeros((1, SMALL.size))
    today = morning(day=14, mean=mean, sd=mean + 4.0, last=MONDAY.last)
    candidate = week_problem(shelves_of(today, Ours())[0], today).candidates[10]
    # last played twelve days ago: ten practice days, today included
    assert candidate.value == round(1000 * 10 * 0.35**4)


def test_the_fast_rule_fills_every_practice_day() -> None:
    days = Counter(day for _, day in fast_week(MONDAY))
    assert days == dict.fromkeys(range(6), 5)


def test_asking_for_the_fast_week_leaves_the_morning_as_it_was() -> None:
    before = MONDAY.last.copy()
    fast_week(MONDAY)
    assert (MONDAY.last == before).all()


def test_the_week_solved_in_full_costs_no_more_in_soft_rules_than_the_fast_rule(solved: Week) -> None:
    cost = {way.name: way.cost for way in solved.ways}
    assert tuple(cost) == WAYS
    assert solved.bound <= cost["solved in full"] <= cost["fast rule"]


def test_the_full_plan_shares_all_its_combinations_with_itself(solved: Week) -> None:
    assert solved.ways[0].shared == 1.0


def test_five_weeks_are_solved_in_full_by_default() -> None:
    assert sum(len(numbers) for _, numbers in FIVE) == 5


def test_the_reduced_limit_is_smaller_than_the_full_one() -> None:
    assert REDUCED.items < Limits().items
    assert REDUCED.value < Limits().value


def test_weeks_as_json_have_every_way(solved: Week) -> None:
    assert [way["name"] for way in weeks_to_json([solved])["weeks"][0]["ways"]] == list(WAYS)


def test_solved_every_morning_the_first_day_is_played_as_planned() -> None:
    policy = OursSolved(REDUCED)
    chosen = policy(MONDAY)[0]
    planned = {combination for combination, day in policy.plans[0] if day == 0}
    assert set(chosen.tolist()) == planned
    assert soft_cost(week_problem(shelf(), MONDAY), policy.plans[0]) >= 0


def test_spans_that_end_together_are_spread_over_the_days_before() -> None:
    # three quarters of five items: three spans a day
    ends = np.full(SMALL.size, 40)
    ends[:8] = 3
    assert sorted(spread_out(ends, MONDAY)[:8].tolist()) == [1, 1, 2, 2, 2, 3, 3, 3]


def test_weeks_solved_on_mondays_are_played_to_the_end_and_keep_every_span() -> None:
    found = outcome(POLICIES["ours, solved weekly"](), seeds=(1001,), weeks=5)
    assert found.minutes[0] == 5 * 6 * 5 * 5
    assert found.longest_gap.max() <= 1.0
