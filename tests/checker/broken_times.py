"""Ways of breaking the shape of a plan, its calendar, its seconds and its load."""

from __future__ import annotations

import random

from checker.breaking import Plan, pick, shift, tally, way, works

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
