"""Ways to break the JSON of a sound plan at a place of chance, each with the rules that may name it.

A way changes a copy of a plan in place and says whether it could; `None` stands for no place found. Totals
are carried on where a way is about something else, so that the rule it is about has to find it.
"""

from __future__ import annotations

import copy
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from checker.marks import MARKS, notches, success

Plan = dict[str, Any]
Change = Callable[[Plan, random.Random], bool]


@dataclass(frozen=True)
class Way:
    """A way of breaking a plan: its sentence, the rules of which one has to be named, the change."""

    name: str
    rules: frozenset[str]
    change: Change


WAYS: list[Way] = []


def way(*rules: str) -> Callable[[Change], Change]:
    """Enter a change into the table under its name."""

    def enter(change: Change) -> Change:
        WAYS.append(Way(change.__name__.replace("_", " "), frozenset(rules), change))
        return change

    return enter


def broken(plan: Plan, one: Way, dice: random.Random) -> Plan | None:
    """A broken copy of a plan; None where this way finds no place in it."""
    found = copy.deepcopy(plan)
    return found if one.change(found, dice) else None


def pick(dice: random.Random, found: Iterator[Any] | list[Any]) -> Any:
    """One of what is found; None of nothing."""
    every = list(found)
    return dice.choice(every) if every else None


def works(plan: Plan) -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    """Every item that is a combination, with its day."""
    for day in plan["days"]:
        for item in day["items"]:
            if item["combination"]:
                yield day, item


def tally(plan: Plan) -> None:
    """Times, seconds and loads of the days made to agree with their items again."""
    before = plan["before"]["load"]
    for day in plan["days"]:
        at = 0
        for item in day["items"]:
            item["at"], at = at, at + item["seconds"]
        day["seconds_used"] = at
        day["load"] = round(sum(item["load"] for item in day["items"]) + day["playing_load"], 3)
        day["load_two_days"] = round(before + day["load"], 3)
        before = day["load"]


def letter(day: dict[str, Any]) -> None:
    """Letters and numbers of a day's items in order again."""
    number, last, block = -1, None, 0
    for item in day["items"]:
        block = block + 1 if item["block"] == last else 1
        number += block == 1
        last = item["block"]
        item["id"] = f"{chr(65 + number)}{block}"
    for item in day["items"]:
        item["block"] = item["id"][0]


def shift(text: str, days: int) -> str:
    """An ISO date some days later."""
    return (date.fromisoformat(text) + timedelta(days=days)).isoformat()


# the shape


@way("shape")
def a_field_of_the_plan_is_gone(plan: Plan, dice: random.Random) -> bool:
    del plan[dice.choice(sorted(plan))]
    return True


@way("shape")
def a_field_of_an_item_is_gone(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        del found[1][dice.choice(sorted(found[1]))]
    return bool(found)


@way("shape")
def seconds_are_text(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[1]["seconds"] = str(found[1]["seconds"])
    return bool(found)


@way("shape")
def a_load_limit_is_null(plan: Plan, dice: random.Random) -> bool:
    dice.choice(plan["days"])["load_limit"] = None
    return True


@way("shape")
def the_format_is_another(plan: Plan, _: random.Random) -> bool:
    plan["format"] = "planner.plan/2"
    return True


@way("shape")
def a_state_is_no_word_of_the_plan(plan: Plan, dice: random.Random) -> bool:
    one = pick(dice, plan["combinations"])
    if one:
        one["state"] = "forgotten"
    return bool(one)


@way("shape")
def a_date_is_no_date(plan: Plan, dice: random.Random) -> bool:
    dice.choice(plan["days"])["date"] = "2026-02-30"
    return True


@way("shape")
def playing_is_below_zero(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[1]["play_seconds"] = -found[1]["play_seconds"]
    return bool(found)


# the calendar


@way("calendar")
def two_dates_are_swapped(plan: Plan, dice: random.Random) -> bool:
    if len(plan["days"]) < 2:
        return False
    one, two = dice.sample(plan["days"], 2)
    one["date"], two["date"] = two["date"], one["date"]
    return True


@way("calendar")
def a_day_is_left_out(plan: Plan, dice: random.Random) -> bool:
    if len(plan["days"]) < 2:
        return False
    plan["days"].pop(dice.randrange(len(plan["days"])))
    return True


@way("calendar")
def the_week_ends_a_day_later(plan: Plan, _: random.Random) -> bool:
    plan["last_day"] = shift(plan["last_day"], 1)
    return True


@way("calendar")
def the_day_before_is_two_days_before(plan: Plan, _: random.Random) -> bool:
    plan["before"]["date"] = shift(plan["before"]["date"], -1)
    return True


@way("minutes", "sums")
def all_days_lie_a_day_later(plan: Plan, _: random.Random) -> bool:
    """The weekdays are wrong: found where the minutes of the player's file differ from day to day."""
    if len({day["seconds_free"] for day in plan["days"]}) < 2:
        return False
    for day in plan["days"]:
        day["date"] = shift(day["date"], 1)
    plan["first_day"], plan["last_day"] = plan["days"][0]["date"], plan["days"][-1]["date"]
    plan["before"]["date"] = shift(plan["first_day"], -1)
    return True


# seconds


@way("times", "rest")
def an_item_is_longer(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        more = dice.randint(1, 60)
        found[1]["seconds"] += more
        found[1]["pause_seconds"] += more
        tally(plan)
    return bool(found)


@way("times")
def an_item_plays_longer_than_its_breaths(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[1]["play_seconds"] += 2
        found[1]["seconds"] += 2
        tally(plan)
    return bool(found)


@way("times")
def parts_do_not_make_the_whole(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[1]["pause_seconds"] += 1
    return bool(found)


@way("times")
def an_item_begins_at_another_second(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[1]["at"] += dice.choice((1, 7))
    return bool(found)


@way("rest")
def the_set_up_of_an_exercise_is_left_out(plan: Plan, dice: random.Random) -> bool:
    places = [
        item
        for day in plan["days"]
        for item, after in zip(day["items"], day["items"][1:], strict=False)
        if item["combination"] and item["exercise"] != after["exercise"] and item["pause_seconds"] == 45
    ]
    item = pick(dice, places)
    if item:
        item["seconds"] -= 20
        item["pause_seconds"] -= 20
        tally(plan)
    return bool(item)


@way("times")
def breaths_have_no_pause_between(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, [pair for pair in works(plan) if pair[1]["breath_pauses_seconds"]])
    if found:
        item = found[1]
        item["seconds"] -= item["breath_pauses_seconds"]
        item["breath_pauses_seconds"] = 0
        tally(plan)
    return bool(found)


@way("times", "rest", "load")
def a_round_is_added(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[1]["rounds"] += 1
    return bool(found)


@way("times")
def a_breath_is_shorter_than_its_notes(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[1]["breath_seconds"] = round(found[1]["breath_seconds"] * 0.9, 3)
    return bool(found)


@way("sums")
def the_seconds_of_a_day_are_forged(plan: Plan, dice: random.Random) -> bool:
    day = pick(dice, [day for day in plan["days"] if day["items"]])
    if day:
        day["seconds_used"] -= dice.randint(1, 50)
    return bool(day)


@way("minutes")
def a_day_has_fewer_minutes_than_it_uses(plan: Plan, dice: random.Random) -> bool:
    day = pick(dice, [day for day in plan["days"] if day["items"]])
    if day:
        day["seconds_free"] = day["seconds_used"] - 1
    return bool(day)


@way("sums")
def the_room_for_blocks_is_forged(plan: Plan, dice: random.Random) -> bool:
    day = pick(dice, [day for day in plan["days"] if day["items"]])
    if day:
        day["available_seconds"] += dice.choice((-1, 60)) if day["available_seconds"] else 60
    return bool(day)


# load


@way("load")
def an_item_weighs_less_than_it_does(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[1]["load"] = round(found[1]["load"] / 2, 3)
        tally(plan)
    return bool(found)


@way("sums")
def the_load_of_a_day_is_forged(plan: Plan, dice: random.Random) -> bool:
    day = pick(dice, [day for day in plan["days"] if day["items"]])
    if day:
        day["load"] = round(day["load"] * 0.8, 3)
    return bool(day)


@way("sums")
def the_load_of_two_days_is_forged(plan: Plan, dice: random.Random) -> bool:
    day = pick(dice, [day for day in plan["days"] if day["load_two_days"] > 1])
    if day:
        day["load_two_days"] = round(day["load_two_days"] - 1, 3)
    return bool(day)


@way("load")
def the_limit_of_a_day_is_above_the_rule(plan: Plan, dice: random.Random) -> bool:
    day = pick(dice, [day for day in plan["days"][:-1] if day["seconds_free"]])
    if day:
        day["load_limit"] = round(day["load_limit"] + 10, 3)
    return bool(day)


@way("load")
def the_limit_of_two_days_is_the_whole_of_both(plan: Plan, dice: random.Random) -> bool:
    numbers = [n for n in range(1, len(plan["days"])) if plan["days"][n]["load_limit"] > 1]
    number = pick(dice, numbers)
    if number:
        limits = [plan["days"][at]["load_limit"] for at in (number - 1, number)]
        plan["days"][number]["load_two_days_limit"] = round(sum(limits), 3) + 0.5
    return bool(number)


# the day


def _without(plan: Plan, dice: random.Random, family: str) -> bool:
    day = pick(dice, [day for day in plan["days"] if any(item["family"] == family for item in day["items"])])
    if day:
        day["items"] = [item for item in day["items"] if item["family"] != family]
        letter(day)
        tally(plan)
    return bool(day)


@way("frame")
def a_day_has_no_warm_up(plan: Plan, dice: random.Random) -> bool:
    return _without(plan, dice, "warm-up")


@way("frame")
def a_day_has_no_warm_down(plan: Plan, dice: random.Random) -> bool:
    return _without(plan, dice, "warm-down")


@way("frame")
def a_warm_up_is_a_minute_short(plan: Plan, dice: random.Random) -> bool:
    items = [day["items"][0] for day in plan["days"] if day["items"]]
    item = pick(dice, [item for item in items if item["family"] == "warm-up" and item["seconds"] > 60])
    if item:
        item["seconds"] -= 30
        item["play_seconds"] = item["seconds"] // 2
        item["pause_seconds"] = item["seconds"] - item["play_seconds"]
        item["load"] = round(item["seconds"] / 120, 3)
        tally(plan)
    return bool(item)


@way("frame")
def the_warm_down_comes_after_the_warm_up(plan: Plan, dice: random.Random) -> bool:
    day = pick(
        dice, [d for d in plan["days"] if len(d["items"]) > 2 and d["items"][-1]["family"] == "warm-down"]
    )
    if day:
        day["items"].insert(1, day["items"].pop())
        letter(day)
        tally(plan)
    return bool(day)


@way("once a day")
def a_combination_comes_in_two_blocks(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, [(d, i) for d, i in works(plan) if d["items"][-1]["family"] == "warm-down"])
    if found:
        day, item = found
        day["items"].insert(1, {**item, "block": "Z"})
        letter(day)
        tally(plan)
    return bool(found)


@way("once a day")
def a_combination_comes_three_times(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        day, item = found
        at = day["items"].index(item)
        day["items"][at:at] = [dict(item), dict(item)]
        letter(day)
        tally(plan)
    return bool(found)


@way("goes")
def a_new_one_comes_in_one_go(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, [(day, item) for day, item in works(plan) if item["go"] == 2])
    if found:
        found[0]["items"].remove(found[1])
        letter(found[0])
        tally(plan)
    return bool(found)


@way("routine")
def two_items_have_one_letter_and_number(plan: Plan, dice: random.Random) -> bool:
    day = pick(dice, [day for day in plan["days"] if len(day["items"]) > 2])
    if day:
        at = dice.randrange(1, len(day["items"]))
        day["items"][at]["id"] = day["items"][at - 1]["id"]
    return bool(day)


@way("limits")
def an_item_goes_above_the_highest_note(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[1]["highest"] = plan["highest"] + 1
    return bool(found)


@way("limits")
def an_item_goes_beyond_the_longest_position(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[1]["positions"].append(plan["longest_position"] + 1)
    return bool(found)


@way("limits")
def a_family_that_a_limit_leaves_out_is_played(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, works(plan))
    if found:
        found[0]["without"] = [found[1]["family"]]
    return bool(found)


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


# from day to day


@way("heavy")
def range_comes_the_day_after_range(plan: Plan, dice: random.Random) -> bool:
    days = plan["days"]
    found = [n for n, day in enumerate(days) if any(i["family"] == "range" for i in day["items"])]
    number = pick(dice, found)
    if number is None:
        return False
    if number:
        item = pick(dice, [i for i in days[number - 1]["items"] if i["combination"]])
        if item is None:
            return False
        item["family"] = "range"
    else:
        plan["before"]["heavy"] = True
    return True


@way("heavy")
def range_comes_on_the_day_of_a_rehearsal(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, [pair for pair in works(plan) if pair[0]["playing_load"]])
    if found:
        found[1]["family"] = "range"
    return bool(found)


@way("two days running")
def what_is_kept_up_was_played_the_day_before(plan: Plan, dice: random.Random) -> bool:
    practice = sum(day["seconds_free"] > 0 for day in plan["days"])
    full = len(plan["days"]) == 7 and practice
    if not full or len(plan["combinations"]) < 3 * (plan["capacity"]["items_per_week"] // practice):
        return False
    names = [item["combination"] for item in plan["days"][0]["items"] if item["state"] == "kept up"]
    if names:
        plan["before"]["combinations"].append(dice.choice(names))
    return bool(names)


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
    return item["measure"] == "tempo" and item["tempo"] and item["tempo"] < min(200, item["tempo_goal"] - 8)
