"""Why a combination stands in a week or not, for a small player whose weeks can be followed by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from horizon.sample_weeks import Plan, planned, request_from, sample_request, sample_week, small_player
from horizon.test_calendar import CONCERT, MON, SUN, THU, TUE, WED, WEEKDAYS

from planner.diary.pins import Pin
from planner.horizon.explained import explained
from planner.horizon.follow import Promise
from planner.horizon.trials import WORDS
from planner.horizon.week import Request
from planner.horizon.why import Why, why_in_week
from planner.plan.problem import KINDS
from planner.show.week import BREACHES

FIVES, GULLS = "fives/a/3-4-5", "gulls/a/1"
BELL = "dinner-bell/a/b-flat-major"


def asked(folder: Path, name: str, *pins: Pin, today: date = MON, more: str = "") -> Why:
    """Why, for Mara's week of 7 September."""
    request, plan = made(folder, *pins, more=more)
    return why_in_week(request, plan, name, today)


def made(folder: Path, *pins: Pin, more: str = "") -> tuple[Request, Plan]:
    request = replace(request_from(small_player(folder, more=more), MON, SUN, MON), pins=pins)
    return request, planned(request)


def stands_on(plan: Plan, name: str) -> list[str]:
    return [day["date"] for day in plan["days"] if any(item["combination"] == name for item in day["items"])]


def test_the_days_are_those_of_the_plan(tmp_path: Path) -> None:
    request, plan = made(tmp_path)
    found = why_in_week(request, plan, FIVES, MON)
    assert [day.isoformat() for day in found.days] == stands_on(plan, FIVES)


def test_there_are_at_most_three_reasons_and_at_least_one(tmp_path: Path) -> None:
    request, plan = made(tmp_path)
    for name in (FIVES, GULLS, "stairs/up/c-major"):
        assert 1 <= len(why_in_week(request, plan, name, MON).reasons) <= 3


def test_a_pin_is_the_first_reason(tmp_path: Path) -> None:
    found = asked(tmp_path, GULLS, Pin(THU, GULLS))
    assert found.reasons[0] == "pinned on Thursday 10 Sep"
    assert found.pinned == (THU,)


def test_every_other_day_is_tried(tmp_path: Path) -> None:
    found = asked(tmp_path, GULLS, Pin(THU, GULLS))
    assert [trial.day for trial in found.trials] == [day for day in WEEKDAYS if day not in found.days]


def test_days_gone_by_are_not_tried(tmp_path: Path) -> None:
    found = asked(tmp_path, GULLS, Pin(THU, GULLS), today=WED)
    days = [trial.day for trial in found.trials if trial.day is not None]
    assert len(days) == len(found.trials)
    assert min(days) >= WED


def test_a_day_on_which_it_may_not_stand_says_why(tmp_path: Path) -> None:
    # New: not on the two days before the concert of Wednesday, and on the day itself only a warm-up.
    found = asked(tmp_path, FIVES, more=CONCERT)
    reasons = {trial.day: trial.reason for trial in found.trials if not trial.possible}
    assert set(reasons) == {MON, TUE, WED}
    assert reasons[WED] == "on the day of a concert or audition there is only a warm-up"


def test_a_pin_where_it_costs_nothing_is_told_as_nothing(tmp_path: Path) -> None:
    # What the trial of a day says must be what planning with that pin gives.
    request, plan = made(tmp_path)
    found = why_in_week(request, plan, GULLS, MON)
    free = next(trial for trial in found.trials if trial.possible and trial.turns == 0)
    assert free.day is not None
    again = planned(replace(request, pins=(Pin(free.day, GULLS),)))
    assert again["solver"]["stages"][0]["value"] <= plan["solver"]["stages"][0]["value"]


def test_leaving_it_out_costs_its_turn(tmp_path: Path) -> None:
    # New in this week: its turn is asked for by Sunday, at 1000 and its need; nothing else can give it.
    found = asked(tmp_path, FIVES)
    assert found.left_out is not None
    assert found.left_out.turns >= 1000
    assert found.left_out.gives_up["turns"] == 1
    assert f"no turn for {FIVES} in its span" in found.left_out.names


def test_a_turn_that_the_term_promised_is_told_as_promised(tmp_path: Path) -> None:
    request = request_from(small_player(tmp_path), MON, SUN, MON)
    promised = replace(request, promise=Promise((FIVES,), 4, frozenset()))
    found = why_in_week(promised, planned(promised), FIVES, MON)
    assert found.left_out is not None
    assert found.left_out.gives_up["term"] == 1
    assert f"no turn for {FIVES}, which the term promised" in found.left_out.names


def test_every_soft_rule_has_words_for_its_breach() -> None:
    rules = {*KINDS.values(), "families", "block size", "touches"}
    assert set(WORDS) == rules
    assert set(BREACHES) == rules


def test_what_is_not_in_the_curriculum_yet_says_from_when() -> None:
    request = sample_request("jonah")
    later = next((entry["combination"], entry["reason"]) for entry in sample_week("jonah")["excluded"])
    found = why_in_week(request, sample_week("jonah"), later[0], MON)
    assert not found.on_shelf
    assert found.reasons == (f"it is set aside ({later[1]})",)


def test_what_no_exercise_has_is_said_so() -> None:
    found = why_in_week(sample_request("jonah"), sample_week("jonah"), "old/tune/c-major", MON)
    assert found.reasons == ("no exercise of the curriculum has it",)


# --- all of it as JSON


def test_the_explanation_holds_estimate_and_week() -> None:
    told = explained(sample_request("jonah"), sample_week("jonah"), BELL, MON)
    assert told["format"] == "planner.why/1"
    assert (told["combination"], told["date"]) == (BELL, "2026-09-07")
    total = sum(piece["notches"] for piece in told["estimate"]["pieces"])
    assert total == pytest.approx(told["estimate"]["shortfall"], abs=0.01)


def test_the_estimate_told_is_the_one_the_plan_was_made_with() -> None:
    plan = sample_week("jonah")
    item = next(i for day in plan["days"] for i in day["items"] if i["combination"])
    told = explained(sample_request("jonah"), plan, item["combination"], MON)
    entry = next(one for one in plan["combinations"] if one["combination"] == item["combination"])
    assert told["estimate"]["articulation"] == entry["articulations"][0]
    assert told["estimate"]["need"] == entry["need"] / 1000


def test_what_cannot_be_written_out_has_no_estimate() -> None:
    # Too high a level: nothing is written out, so nothing is estimated.
    plan = sample_week("ruben")
    name = next(one["combination"] for one in plan["excluded"] if one["reason"].startswith("above the level"))
    told = explained(sample_request("ruben"), plan, name, MON)
    assert told["estimate"] is None
    assert told["week"]["reasons"][0].startswith("it is set aside (above the level")
