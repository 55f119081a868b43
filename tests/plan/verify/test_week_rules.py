"""Rules that look across days, and the lists of the week: each on a plan made for it."""

from __future__ import annotations

import copy
import datetime as dt
from dataclasses import replace
from typing import Any

import pytest
from plan.verify.builder import broken_rules, build
from plan.verify.greedy import greedy
from plan.verify.shelf import (
    BELLS,
    CURRICULUM,
    MONDAY,
    PLAYER,
    SMALL,
    STEPS,
    THIRDS,
    WEEK,
    Inputs,
    large,
    rated,
)

from planner.brass.keys import parse_key
from planner.plan.verify import verify
from planner.plan.verify.repertoire import curriculum_week, repertoire

STEP, THIRD = "high-steps/a/1-2-3", "quiet-thirds/a/c-major"


@pytest.fixture(scope="module")
def full_week() -> tuple[Inputs, dict[str, Any]]:
    inputs = large()
    return inputs, build(inputs, greedy(inputs))


def test_a_greedy_week_of_320_combinations_is_sound(full_week: tuple[Inputs, dict[str, Any]]) -> None:
    inputs, plan = full_week
    assert verify(inputs.curriculum, inputs.player, inputs.ratings, plan) == ()


def test_what_is_kept_up_rests_a_day(full_week: tuple[Inputs, dict[str, Any]]) -> None:
    inputs, plan = full_week
    rested = [one["combination"] for one in plan["combinations"] if one["state"] == "kept up"][:2]
    assert broken_rules(inputs, build(inputs, {0: (rested,), 1: (rested,)})) == {"days running"}


def test_what_is_in_work_may_come_the_next_day(full_week: tuple[Inputs, dict[str, Any]]) -> None:
    inputs, plan = full_week
    worked = [one["combination"] for one in plan["combinations"] if one["state"] == "in work"][:2]
    assert broken_rules(inputs, build(inputs, {0: (worked,), 1: (worked,)})) == set()


def test_a_small_shelf_may_be_played_every_day() -> None:
    inputs = replace(SMALL, player=replace(PLAYER, minutes=(30, 30, 0, 0, 0, 0, 0)))
    assert broken_rules(inputs, build(inputs, {0: ((THIRD,),), 1: ((THIRD,),)})) == set()


def test_an_exercise_waits_for_those_it_names() -> None:
    waiting = replace(STEPS, after=("quiet-thirds",))
    inputs = Inputs(replace(CURRICULUM, exercises=(THIRDS, waiting)), PLAYER, ())
    assert "after" in broken_rules(inputs, build(inputs, {0: ((STEP,),), 2: ((THIRD,),)}))


def test_an_exercise_follows_those_it_names() -> None:
    waiting = replace(STEPS, after=("quiet-thirds",))
    inputs = Inputs(replace(CURRICULUM, exercises=(THIRDS, waiting)), PLAYER, ())
    assert "after" not in broken_rules(inputs, build(inputs, {0: ((THIRD,),), 2: ((STEP,),)}))


def test_an_exercise_out_of_reach_holds_nothing_back() -> None:
    advanced, waiting = replace(THIRDS, level="advanced"), replace(STEPS, after=("quiet-thirds",))
    inputs = Inputs(replace(CURRICULUM, exercises=(advanced, waiting)), PLAYER, ())
    plan = build(Inputs(replace(CURRICULUM, exercises=(waiting,)), PLAYER, ()), {0: ((STEP,),)})
    assert "after" not in broken_rules(inputs, plan)


def test_range_the_day_before_the_week_counts() -> None:
    inputs = replace(SMALL, ratings=(rated(MONDAY - dt.timedelta(days=1), STEP, "slurred"),))
    assert "heavy days" in broken_rules(inputs, build(inputs, {0: ((STEP,),)}))


def test_two_heavy_blocks_touch_only_where_they_must() -> None:
    heavy = ("rolling-fives/a/1-2-3",)  # intensity 4; the steps have 5
    apart = build(SMALL, {0: ((STEP,), (THIRD,), heavy)})
    touching = build(SMALL, {0: ((STEP,), heavy, (THIRD,))})
    alone = build(SMALL, {0: ((STEP,), heavy)})
    assert [broken_rules(SMALL, plan) for plan in (apart, touching, alone)] == [set(), {"order"}, set()]


def test_a_pin_that_stands_is_sound() -> None:
    plan = build(SMALL, WEEK)
    plan["pins"].append({"date": "2026-09-07", "combination": THIRD})
    plan["days"][0]["items"][-2]["pinned"] = True
    assert broken_rules(SMALL, plan) == set()


def test_a_day_past_may_not_change() -> None:
    last, plan = build(SMALL, WEEK), build(SMALL, {2: WEEK[2], 4: WEEK[4]})
    asked = {"last_plan": last, "today": dt.date(2026, 9, 9)}
    found = verify(SMALL.curriculum, SMALL.player, SMALL.ratings, plan, **asked)  # type: ignore[arg-type]
    assert [(one.rule, one.date) for one in found] == [("past", MONDAY)]


def test_today_may_change() -> None:
    last, plan = build(SMALL, WEEK), build(SMALL, {0: WEEK[0], 4: WEEK[4]})
    asked = {"last_plan": last, "today": dt.date(2026, 9, 9)}
    assert verify(SMALL.curriculum, SMALL.player, SMALL.ratings, plan, **asked) == ()  # type: ignore[arg-type]


@pytest.mark.parametrize(("items", "span"), [(6, 112), (7, 28)])
def test_the_granted_span_is_the_shortest_the_week_carries(items: int, span: int) -> None:
    # of six new ones a quarter of the items count: one; three in work on three days make 3 turns; kept up:
    # thirds (5 and 4 pairs, six distinct) 6 x 2 / (2 x 9) = 0.667 a week, bells (one of six pairs) 0.5;
    # 4 + 1.167 is over 3/4 x 6, under 3/4 x 7
    inputs = replace(SMALL, player=replace(PLAYER, spans={}))
    plan = build(SMALL, WEEK)
    plan["capacity"]["items_per_week"] = items
    found = [one.what for one in verify(inputs.curriculum, inputs.player, inputs.ratings, plan)]
    wrong = f"span of 35 days, should be {span}"
    assert wrong in found


def test_a_last_stage_may_spend_a_little_of_the_value() -> None:
    plan = build(SMALL, WEEK)
    stages, value = plan["solver"]["stages"], plan["solver"]["stages"][1]["value"]
    stages[1].update(value=value + value // 400, bound=value + 50)
    stages.append({"goal": "evenness", "value": 100, "bound": 50, "status": "best found"})
    spent = copy.deepcopy(plan)
    spent["solver"]["stages"][1].update(value=value + value // 200)
    assert [broken_rules(SMALL, one) for one in (plan, spent)] == [set(), {"stages"}]


def test_combinations_are_spread_over_the_weeks_of_their_exercise() -> None:
    # three places over the weeks 4 and 5: places 0 and 1 in week 4, place 2 in week 5
    found = repertoire(SMALL.curriculum, PLAYER)
    weeks = [found[f"rolling-fives/a/{place}"].week for place in ("1-2-3", "3-4-5", "5-6-7")]
    assert weeks == [4, 4, 5]


def test_the_curriculum_week_changes_on_monday() -> None:
    assert [curriculum_week(PLAYER, MONDAY + dt.timedelta(days=n)) for n in (-1, 0, 6)] == [4, 5, 5]


def test_concert_keys_are_written_a_tone_higher_for_a_b_flat_trumpet() -> None:
    concert = replace(THIRDS, keys_are="concert", keys=(parse_key("Bb"),))
    (one,) = repertoire(replace(CURRICULUM, exercises=(concert,)), PLAYER).values()
    assert (one.place, one.part.keys if one.part else ()) == ("b-flat-major", ("C major",))


def test_articulations_kept_apart_are_combinations_of_their_own() -> None:
    apart = replace(THIRDS, keys=THIRDS.keys[:1], articulations_are="each")
    names = list(repertoire(replace(CURRICULUM, exercises=(apart,)), PLAYER))
    assert names == ["quiet-thirds/a/c-major/tongued", "quiet-thirds/a/c-major/slurred"]


def test_a_short_arm_leaves_out_the_long_positions() -> None:
    arm = replace(PLAYER, instrument="trombone", low=40, high=70, longest_position=5)
    found = repertoire(replace(CURRICULUM, exercises=(BELLS,)), arm)
    reasons = {one.place: one.reason for one in found.values()}
    assert reasons == {"1-2-3": "", "3-4-5": "", "5-6-7": "longest position"}


def test_the_attachment_spares_a_short_arm() -> None:
    # F3 and C3 are T1 on an F attachment: the slide stays in (Georgia State University, Brass Methods)
    arm = replace(PLAYER, instrument="trombone-f", low=40, high=70, longest_position=5)
    found = repertoire(replace(CURRICULUM, exercises=(THIRDS,)), arm)
    assert {one.reason for one in found.values()} == {""}


def test_the_longest_position_binds_no_valves() -> None:
    arm = replace(PLAYER, longest_position=5)
    assert repertoire(replace(CURRICULUM, exercises=(BELLS,)), arm)["long-bells/a/5-6-7"].reason == ""
