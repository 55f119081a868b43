"""Ways of breaking the days of a plan: their frame, their items, what comes after what."""

from __future__ import annotations

import random

from checker.breaking import Plan, letter, pick, tally, way, works

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


@way("states")
def a_warm_up_is_told_as_wanted(plan: Plan, dice: random.Random) -> bool:
    day = pick(dice, [day for day in plan["days"] if day["items"]])
    if day:
        day["items"][0]["wanted"] = True
    return bool(day)


@way("states", "times", "load", "rest")
def a_place_of_a_cycle_is_left_out(plan: Plan, dice: random.Random) -> bool:
    found = pick(dice, [pair for pair in works(plan) if len(pair[1]["fingerings"]) > 1])
    if found:
        found[1]["fingerings"].pop()
    return bool(found)
