"""What a plan says of itself: what is left and why, how every rule stands."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from horizon.sample_weeks import (
    MONDAY,
    NAMES,
    SMALL_CURRICULUM,
    Plan,
    sample_week,
    small_player,
    small_week,
    turns,
)

CONCERT = '[[date]]\nkind = "concert"\ndate = 2026-09-09\ntitle = "in the church"\n'
WAITING = SMALL_CURRICULUM.replace('id = "bells"', 'id = "bells"\nafter = ["stairs"]')


def why_left(plan: Plan) -> dict[str, str]:
    """The reasons of what is left, by combination."""
    return {one["combination"]: one["reason"] for one in plan["coverage"]["left"]}


@pytest.mark.parametrize("name", NAMES)
def test_turns_met_and_left_are_the_turns_that_are_wanted(name: str) -> None:
    found = sample_week(name)["coverage"]
    assert found["met"] + len(found["left"]) == found["wanted"]


@pytest.mark.parametrize("name", NAMES)
def test_what_is_left_has_no_turn_in_the_plan(name: str) -> None:
    placed = {combination for _, combination in turns(sample_week(name))}
    assert placed.isdisjoint(why_left(sample_week(name)))


@pytest.mark.parametrize("name", NAMES)
def test_no_hard_rule_is_broken_by_the_plans_own_account(name: str) -> None:
    rules = sample_week(name)["rules"].values()
    assert [rule["broken"] for rule in rules if rule["hard"]] == [0] * 7


@pytest.mark.parametrize("name", NAMES)
def test_the_costs_of_the_rules_are_the_value_of_the_first_stage(name: str) -> None:
    plan = sample_week(name)
    costs = [rule["cost"] for rule in plan["rules"].values()]
    assert sum(costs) == plan["solver"]["stages"][0]["value"]


@pytest.mark.parametrize("name", NAMES)
def test_every_rule_is_a_sentence(name: str) -> None:
    assert all(rule["sentence"].endswith(".") for rule in sample_week(name)["rules"].values())


def test_nothing_new_before_a_concert_is_a_reason(tmp_path: Path) -> None:
    # Monday and Tuesday alone, the concert on Wednesday.
    path = small_player(tmp_path, more=CONCERT, starts="2026-08-31")
    plan = small_week(path, MONDAY, MONDAY + timedelta(days=1))
    assert set(why_left(plan).values()) == {"nothing new so close to a concert"}


def test_an_exercise_that_waits_for_another_says_for_which(tmp_path: Path) -> None:
    # On one day nothing can come after what is met for the first time on that day.
    path = small_player(tmp_path, curriculum=WAITING, starts="2026-08-31")
    left = why_left(small_week(path, date(2026, 9, 13)))
    assert {left["bells/up/c-major"], left["bells/up/e-flat-major"]} == {"comes after stairs"}


def test_where_there_is_no_room_the_need_is_told(tmp_path: Path) -> None:
    path = small_player(tmp_path, minutes="monday=10", starts="2026-08-31")
    reasons = set(why_left(small_week(path, MONDAY)).values())
    assert reasons
    assert all(reason.startswith("no room beside what needs it more (need ") for reason in reasons)


def test_what_has_waited_says_since_when(tmp_path: Path) -> None:
    # Introduced in the week of 31 August, wanted by its Sunday.
    path = small_player(tmp_path, minutes="monday=10", starts="2026-08-31")
    reasons = set(why_left(small_week(path, MONDAY)).values())
    assert reasons
    assert all(reason.endswith(", waiting since 2026-09-06)") for reason in reasons)
