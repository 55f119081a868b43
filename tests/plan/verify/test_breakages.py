"""Every way of breaking the plan is noticed by its rule, and every rule has something it notices."""

from __future__ import annotations

import copy
import random
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from heavy import heavy_count
from plan.verify.breakages import PLANS, Breakage
from plan.verify.builder import ESTIMATES, broken_rules, build, case_of
from plan.verify.other_inputs import INPUTS, OtherInputs
from plan.verify.shelf import SMALL, WEEK, Inputs

from planner.plan.verify import RULES, verify

# Rules whose breaking needs a plan of its own; their tests stand in test_week_rules.py.
ELSEWHERE = {"days_running", "after"}


@pytest.fixture(scope="module")
def sound() -> dict[str, Any]:
    return build(SMALL, WEEK)


def test_a_sound_plan_has_no_breach(sound: dict[str, Any]) -> None:
    assert verify(SMALL.curriculum, SMALL.player, SMALL.ratings, sound) == ()


def test_a_check_leaves_the_plan_as_it_was(sound: dict[str, Any]) -> None:
    before = copy.deepcopy(sound)
    verify(SMALL.curriculum, SMALL.player, SMALL.ratings, sound)
    assert sound == before


@pytest.mark.parametrize("breakage", PLANS, ids=lambda one: one.words)
def test_a_broken_plan_is_noticed(sound: dict[str, Any], breakage: Breakage) -> None:
    assert breakage.rule in broken_rules(SMALL, breakage.broken(sound))


def sound_ones(count: int) -> Iterator[tuple[Inputs, dict[str, Any]]]:
    """Sound plans of the same days with other breaths, boldness, grades and estimates, by chance."""
    dice, found = random.Random(2026), 0
    while found < count:
        player = replace(
            SMALL.player,
            breath_seconds=dice.randint(90, 180) / 10,
            boldness=dice.randint(70, 90) / 100,
        )
        ratings = tuple(replace(one, grade=dice.randint(1, 5)) for one in SMALL.ratings)
        inputs = Inputs(SMALL.curriculum, player, ratings)
        near = {
            name: (round(mean + dice.uniform(-1, 1), 2), round(sd + dice.uniform(-0.5, 0.5), 2))
            for name, (mean, sd) in ESTIMATES.items()
        }
        plan = build(inputs, WEEK, near)
        if not broken_rules(inputs, plan):
            found += 1
            yield inputs, plan


@pytest.mark.heavy
@pytest.mark.timeout(3600)
def test_every_way_of_breaking_is_noticed_in_plan_after_plan(request: pytest.FixtureRequest) -> None:
    for number, (inputs, plan) in enumerate(sound_ones(heavy_count(request.config, "plans broken"))):
        ways = [(one, one.broken(plan)) for one in PLANS]
        missed = [one.words for one, bad in ways if bad != plan and one.rule not in broken_rules(inputs, bad)]
        assert missed == [], number


@pytest.mark.parametrize("other", INPUTS, ids=lambda one: one.words)
def test_other_inputs_make_the_plan_unsound(sound: dict[str, Any], other: OtherInputs) -> None:
    assert other.rule in broken_rules(other.change(SMALL), sound)


def test_every_rule_is_broken_by_something_in_the_catalogue(sound: dict[str, Any]) -> None:
    shaped = [one.broken(sound) for one in PLANS if one.rule != "shape"]
    cases = [case_of(SMALL, plan) for plan in shaped] + [case_of(one.change(SMALL), sound) for one in INPUTS]
    silent = {rule.__name__ for rule in RULES if not any(True for case in cases for _ in rule(case))}
    assert silent == ELSEWHERE


def test_a_breach_reads_as_day_rule_and_figures(sound: dict[str, Any]) -> None:
    plan = copy.deepcopy(sound)
    plan["days"][0]["seconds_used"] = 1000
    (breach,) = verify(SMALL.curriculum, SMALL.player, SMALL.ratings, plan)
    used = sum(item["seconds"] for item in plan["days"][0]["items"])
    assert str(breach) == f"2026-09-07: day sums: seconds_used is 1000, should be {used}"


def test_a_missing_field_is_named_by_its_path(sound: dict[str, Any]) -> None:
    plan = copy.deepcopy(sound)
    del plan["days"][2]["items"][1]["tempo_goal"]
    found = verify(SMALL.curriculum, SMALL.player, SMALL.ratings, plan)
    assert [one.what for one in found] == ["days[2].items[1].tempo_goal is missing"]
