"""Ways of breaking what a plan tells: tempos, states, figures, and what the files say."""

from __future__ import annotations

import random
from itertools import pairwise
from typing import Any

from checker.breaking import Plan, letter, pick, shift, tally, way, works
from checker.marks import MARKS, notches, success

# tempo and states


@way("tempo")
def a_tempo_lies_off_the_marks(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, [pair for pair in works(plan) if pair[1]["tempo"] and pair[1]["tempo"] > 60])
    if found:
        found[1]["tempo"] += 1
    return bool(found)


@way("tempo")
def a_tempo_lies_above_the_goal(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, [pair for pair in works(plan) if pair[1]["tempo"] and pair[1]["tempo_goal"] < 184])
    if found:
        found[1]["tempo"] = 208
    return bool(found)


@way("tempo")
def success_is_promised_that_is_not_there(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, [pair for pair in works(plan) if pair[1]["measure"] == "tempo"])
    if found:
        clean = found[1]["clean_tempo"]
        clean["success"] = round(clean["success"] - 0.1, 3)
    return bool(found)


@way("need")
def the_need_of_an_item_is_forged(plan: Plan, dice: random.Random) -> bool:
    found = pick(
        dice, [pair for pair in works(plan) if pair[1]["measure"] == "tempo" and pair[1]["need"] > 0.1]
    )
    if found:
        found[1]["need"] = round(found[1]["need"] - 0.05, 3)
    return bool(found)


@way("states")
def an_item_is_of_an_unknown_combination(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[1]["combination"] = "no-such/a/1-2-3"
    return bool(found)


@way("states")
def a_new_one_was_played_before(plan: Plan, dice: random.Random) -> bool:
    one = pick(dice, [one for one in plan["combinations"] if one["state"] == "new"])
    if one:
        one["last_played"] = shift(plan["first_day"], -3)
    return bool(one)


@way("states")
def an_item_has_another_state_than_its_combination(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[1]["state"] = "kept up" if found[1]["state"] != "kept up" else "in work"
    return bool(found)


@way("states")
def wanted_does_not_follow_from_the_span(plan: Plan, dice: random.Random) -> bool:
    one = pick(dice, plan["combinations"])
    if one:
        one["wanted"] = not one["wanted"]
    return bool(one)


@way("states")
def an_item_has_another_end_of_its_span(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, [pair for pair in works(plan) if pair[1]["turn_by"]])
    if found:
        found[1]["turn_by"] = shift(found[1]["turn_by"], 1)
    return bool(found)


@way("value")
def the_value_of_a_turn_is_forged(plan: Plan, dice: random.Random) -> bool:
    one = pick(dice, plan["combinations"])
    if one:
        one["value"] += dice.randint(2, 500)
    return bool(one)


@way("articulation")
def an_articulation_comes_out_of_its_order(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, [pair for pair in works(plan) if pair[1]["go"] == 1])
    if found:
        found[1]["articulation"] = "triple" if found[1]["articulation"] != "triple" else "double"
    return bool(found)


@way("pins")
def an_item_says_it_is_pinned(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[1]["pinned"] = not found[1]["pinned"]
    return bool(found)


@way("pins")
def a_pin_is_not_kept(plan: Plan, dice: random.Random) -> bool:
    one, day = pick(dice, plan["combinations"]), dice.choice(plan["days"])
    if not one or any(item["combination"] == one["combination"] for item in day["items"]):
        return False
    plan["pins"].append({"date": day["date"], "combination": one["combination"]})
    return True


# the figures


@way("coverage")
def one_more_is_told_as_met(plan: Plan, _: random.Random) -> bool:
    plan["coverage"]["met"] += 1
    return True


@way("coverage")
def what_is_left_is_passed_over(plan: Plan, dice: random.Random) -> bool:
    left = plan["coverage"]["left"]
    if left:
        left.pop(dice.randrange(len(left)))
    return bool(left) or plan["coverage"]["met"] < plan["coverage"]["wanted"]


@way("figures")
def the_cost_of_the_first_stage_is_forged(plan: Plan, dice: random.Random) -> bool:
    stage = plan["solver"]["stages"][0]
    stage["value"] += dice.randint(1, 900)
    return True


@way("figures")
def the_value_of_the_turns_is_forged(plan: Plan, dice: random.Random) -> bool:
    stage = next((one for one in plan["solver"]["stages"] if one["goal"] == "value" and one["value"]), None)
    if stage:
        stage["value"] = stage["bound"] = stage["value"] * 2 + dice.randint(1, 9)
    return bool(stage)


@way("turns", "rhythm", "delay", "small shelf", "block size", "families", "touches")
def a_rule_gives_up_less_than_it_does(plan: Plan, dice: random.Random) -> bool:
    names = ("turns", "rhythm", "block size", "small shelf")
    name = pick(dice, [name for name in names if plan["rules"][name]["broken"]])
    if name:
        rule = plan["rules"][name]
        plan["solver"]["stages"][0]["value"] -= rule["cost"]
        plan["solver"]["stages"][0]["bound"] = min(
            plan["solver"]["stages"][0]["bound"], plan["solver"]["stages"][0]["value"]
        )
        rule["broken"] = rule["cost"] = 0
    return bool(name)


@way("figures")
def a_price_is_another(plan: Plan, dice: random.Random) -> bool:
    rule = plan["rules"][dice.choice(("turns", "families", "touches", "block size"))]
    rule["parameters"][next(iter(rule["parameters"]))] += 1
    return True


@way("figures")
def a_rule_that_is_always_kept_is_told_as_soft(plan: Plan, dice: random.Random) -> bool:
    plan["rules"][dice.choice(("minutes", "load", "blocks", "order"))]["hard"] = False
    return True


@way("figures")
def a_turn_is_taken_out_and_nothing_else_said(plan: Plan, dice: random.Random) -> bool:
    """The value of the week is then too high; times and letters are put right."""
    worth = next((one["value"] for one in plan["solver"]["stages"] if one["goal"] == "value"), 0)
    again = {one["combination"]: one["value_again"] for one in plan["combinations"]}
    singles = [
        (day, item)
        for day, item in works(plan)
        if sum(one["combination"] == item["combination"] for one in day["items"]) == 1
        and again[item["combination"]] > 0.005 * worth > 0  # evenness may spend 0.003 of it
    ]
    found = pick(dice, singles)
    if found:
        found[0]["items"].remove(found[1])
        letter(found[0])
        tally(plan)
    return bool(found)


@way("minutes", "sums", "load")
def a_day_of_the_file_has_other_minutes(plan: Plan, dice: random.Random) -> bool:
    day = pick(dice, [day for day in plan["days"] if day["seconds_free"]])
    if day:
        day["seconds_free"] += 60
        day["available_seconds"] += 60
    return bool(day)


# what the files say


@way("spans")
def a_span_ends_later_than_it_does(plan: Plan, dice: random.Random) -> bool:
    """Item and combination agree, and the week does not hold the end either way."""
    found = [one for one in plan["combinations"] if one["turn_by"] and one["turn_by"] > plan["last_day"]]
    one = pick(dice, found)
    if one:
        one["turn_by"] = shift(one["turn_by"], 7 * dice.randint(1, 3) + 1)
        for _, item in works(plan):
            if item["combination"] == one["combination"]:
                item["turn_by"] = one["turn_by"]
    return bool(one)


@way("coverage")
def what_is_left_is_expected_a_day_later(plan: Plan, dice: random.Random) -> bool:
    one = pick(dice, [one for one in plan["coverage"]["left"] if one["expected"]])
    if one:
        one["expected"] = shift(one["expected"], 1)
    return bool(one)


@way("file")
def a_day_is_called_a_concert(plan: Plan, dice: random.Random) -> bool:
    day = pick(dice, [day for day in plan["days"] if len(day["items"]) > 1 and not day["title"]])
    if day:
        day["title"] = "concert"
    return bool(day)


@way("file")
def the_plan_is_of_another_player(plan: Plan, _: random.Random) -> bool:
    plan["player"] += "-two"
    return True


@way("curriculum")
def other_notes_are_played(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[1]["notation"] += " 1q"
    return bool(found)


@way("curriculum")
def an_exercise_begins_at_another_tempo(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, [pair for pair in works(plan) if pair[1]["tempo_first"] > 45])
    if found:
        found[1]["tempo_first"] -= 1
    return bool(found)


@way("music")
def own_music_is_a_minute_shorter(plan: Plan, dice: random.Random) -> bool:
    items = [item for day in plan["days"] for item in day["items"] if item["family"] == "own music"]
    item = pick(dice, items)
    if item:
        item["seconds"] -= 60
        item["play_seconds"] = item["seconds"] * 3 // 5
        item["pause_seconds"] = item["seconds"] - item["play_seconds"]
        item["load"] = round(item["play_seconds"] / 60 * item["intensity"], 3)
        tally(plan)
    return bool(item)


@way("concert")
def range_comes_on_the_day_before_a_concert(plan: Plan, dice: random.Random) -> bool:
    eves = [day for day, after in pairwise(plan["days"]) if after["title"]]
    item = pick(dice, [item for day in eves for item in day["items"] if item["combination"]])
    if item:
        item["family"] = "range"
    return bool(item)


@way("tempo")
def a_tempo_is_a_mark_bolder_than_asked(plan: Plan, dice: random.Random) -> bool:
    """Everything that hangs on the tempo of the item is carried on, so that the mark alone is wrong."""
    found = pick(dice, [pair for pair in works(plan) if _can_be_bolder(pair[1])])
    if found:
        item = found[1]
        slower = item["tempo"]
        item["tempo"] = MARKS[MARKS.index(slower) + 1]
        clean = item["clean_tempo"]
        clean["success"] = round(
            success(clean["mean"], clean["sd"], notches(item["tempo"], item["tempo_goal"])), 3
        )
    return bool(found)


def _can_be_bolder(item: dict[str, Any]) -> bool:
    return bool(item["measure"] == "tempo" and 0 < (item["tempo"] or 0) < min(200, item["tempo_goal"] - 8))


@way("block size", "rhythm", "turns")
def more_breaches_are_told_than_their_cost_is_of(plan: Plan, dice: random.Random) -> bool:
    name = pick(dice, [name for name in ("block size", "rhythm", "turns") if plan["rules"][name]["broken"]])
    if name:
        plan["rules"][name]["broken"] += dice.randint(1, 5)
    return bool(name)
