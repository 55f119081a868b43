"""Pins that stand and pins that clash: each clash named in one line with its numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from horizon.sample_weeks import DAILY, day_of, planned, request_from, sample_request, small_player
from horizon.test_calendar import CONCERT, MON, SUN, THU, TUE, WED, WEEKDAYS

from planner.diary.pins import Pin
from planner.errors import DoesNotFit
from planner.horizon.pinned import clash_of, possible_days
from planner.horizon.week import Request, week_of
from planner.plan.build import week_problem

FIVES, STAIRS, BELLS, GULLS = "fives/a/3-4-5", "stairs/up/c-major", "bells/up/c-major", "gulls/a/1"
BRACES = '[[limit]]\ntitle = "new braces"\nfrom = 2026-09-09\nuntil = 2026-09-09\nwithout = ["range"]\n'


def request(folder: Path, *pins: Pin, minutes: str = DAILY, more: str = "", curriculum: str = "") -> Request:
    """Mara's week of 7 September with these pins."""
    path = small_player(folder, minutes=minutes, more=more, curriculum=curriculum)
    return replace(request_from(path, MON, SUN, MON), pins=pins)


def clash(found: Request) -> str:
    """The line that names the first clash of the pins, "" where they can stand."""
    week, shelf = week_of(found)
    clashing = clash_of(week, week_problem(week), shelf)
    return "" if clashing is None else clashing.message


def test_a_pinned_combination_stands_on_its_day(tmp_path: Path) -> None:
    plan = planned(request(tmp_path, Pin(THU, GULLS)))
    pinned = [item["combination"] for item in day_of(plan, THU)["items"] if item["pinned"]]
    assert set(pinned) == {GULLS}


def test_a_plan_names_its_pins(tmp_path: Path) -> None:
    plan = planned(request(tmp_path, Pin(THU, GULLS), Pin(MON, FIVES)))
    assert plan["pins"] == [
        {"date": "2026-09-07", "combination": FIVES},
        {"date": "2026-09-10", "combination": GULLS},
    ]


def test_nothing_else_is_called_pinned(tmp_path: Path) -> None:
    plan = planned(request(tmp_path, Pin(THU, GULLS)))
    pinned = {
        (day["date"], item["combination"]) for day in plan["days"] for item in day["items"] if item["pinned"]
    }
    assert pinned == {("2026-09-10", GULLS)}


@pytest.mark.parametrize("day", [MON - timedelta(days=1), SUN + timedelta(days=1)])
def test_a_pin_outside_the_days_planned_changes_nothing(tmp_path: Path, day: date) -> None:
    assert planned(request(tmp_path, Pin(day, GULLS))) == planned(request(tmp_path))


def test_a_combination_can_be_pinned_on_every_day_of_a_small_shelf(tmp_path: Path) -> None:
    plan = planned(request(tmp_path, *(Pin(day, FIVES) for day in WEEKDAYS)))
    assert all(any(item["combination"] == FIVES for item in day["items"]) for day in plan["days"])


# --- what an exercise comes after


LED = """
[curriculum]
id = "small"
title = "Small"
weeks = 60
"""
EXERCISE = """
[[exercise]]
id = "{name}"
title = "{name}"
family = "scales"
measure = "tempo"
weeks = [1]
meter = "4/4"
tempo = {{ beat = "quarter", first = 60, goal = 120 }}
articulations = ["tongued"]
keys = ["C", "F"]
after = {after}
[[exercise.pattern]]
name = "up"
degrees = "1e 2 3 4 5 6 7 8"
"""
CHAIN = LED + "".join(
    EXERCISE.format(name=name, after=after)
    for name, after in (("one", "[]"), ("two", '["one"]'), ("three", '["two"]'))
)


def first_days(found: Request) -> dict[str, str]:
    """The first day of every exercise in the plan of a request."""
    days: dict[str, str] = {}
    for day in planned(found)["days"]:
        for item in day["items"]:
            days.setdefault(item["exercise"], day["date"])
    return days


def test_what_leads_to_a_pinned_exercise_comes_before_it(tmp_path: Path) -> None:
    days = first_days(request(tmp_path, Pin(WED, "three/up/c-major"), curriculum=CHAIN))
    assert [days[name] for name in ("one", "two", "three")] == ["2026-09-07", "2026-09-08", "2026-09-09"]


def test_a_pin_before_what_leads_to_it_is_named(tmp_path: Path) -> None:
    found = request(tmp_path, Pin(TUE, "three/up/c-major"), curriculum=CHAIN)
    assert clash(found) == "three on Tuesday 8 Sep comes after two, which has no room before that day"


# --- clashes

NOT_WEDNESDAY = (
    f"{FIVES} cannot stand on Wednesday 9 Sep: on the day of a concert or audition there is only a warm-up"
)
NOT_TUESDAY = (
    f"{FIVES} cannot stand on Tuesday 8 Sep: it is new, and in the church tomorrow: nothing new, no range, "
    "a light day"
)


@pytest.mark.parametrize(
    ("pins", "more", "minutes", "line"),
    [
        (
            [Pin(THU, FIVES)],
            "",
            "monday=45",
            f"{FIVES} cannot stand on Thursday 10 Sep: the day has no free minutes",
        ),
        (
            [Pin(WED, FIVES)],
            CONCERT,
            DAILY,
            NOT_WEDNESDAY,
        ),
        (
            [Pin(TUE, FIVES)],
            CONCERT,
            DAILY,
            NOT_TUESDAY,
        ),
        (
            [Pin(WED, GULLS)],
            BRACES,
            DAILY,
            f'{GULLS} cannot stand on Wednesday 9 Sep: limit "new braces" until 2026-09-09: without range',
        ),
        (
            [Pin(TUE, GULLS), Pin(WED, "gulls/a/2")],
            "",
            DAILY,
            "range work cannot be pinned on two days running, on Tuesday 8 Sep and Wednesday 9 Sep",
        ),
        (
            [Pin(MON, "oldest/tune/c-major")],
            "",
            DAILY,
            "oldest/tune/c-major cannot be pinned: no exercise of the curriculum has it",
        ),
        (
            [Pin(MON, FIVES), Pin(MON, STAIRS)],
            "",
            "monday=14",
            "Monday 7 Sep holds at most 1 block, its pins make 2: fives, stairs",
        ),
        (
            [Pin(MON, FIVES), Pin(MON, STAIRS), Pin(MON, BELLS)],
            "blocks_a_day = 2",
            DAILY,
            "Monday 7 Sep holds at most 2 blocks, its pins make 3: bells, fives, stairs",
        ),
    ],
    ids=[
        "no minutes",
        "a concert",
        "new before a concert",
        "a limit",
        "range",
        "unknown",
        "a short day",
        "blocks",
    ],
)
def test_a_pin_that_blocks_is_named_in_one_line(
    tmp_path: Path, pins: Sequence[Pin], more: str, minutes: str, line: str
) -> None:
    # `blocks_a_day` belongs above the first table, which `more` may open.
    assert clash(request(tmp_path, *pins, more=more, minutes=minutes)) == line


def test_minutes_that_do_not_carry_the_pins_are_told(tmp_path: Path) -> None:
    # Ten minutes hold a warm-up of 3, so 7 for exercises.
    pins = [Pin(MON, name) for name in ("fives/a/1-2-3", FIVES, "fives/a/5-6-7")]
    line = clash(request(tmp_path, *pins, minutes="monday=10"))
    assert line.startswith("Monday 7 Sep has 7:00 for exercises, its pins need ")


def test_a_block_that_would_be_too_long_is_told(tmp_path: Path) -> None:
    pins = [Pin(MON, name) for name in ("fives/a/1-2-3", FIVES, "fives/a/5-6-7")]
    line = clash(request(tmp_path, *pins, more="minutes_a_block = 3\n"))
    assert line.startswith("the pins of fives on Monday 7 Sep need ")
    assert line.endswith(", a block has at most 3:00")


def test_load_that_the_lip_has_no_room_for_is_told(tmp_path: Path) -> None:
    pins = [Pin(MON, name) for name in (GULLS, "gulls/a/2", FIVES)]
    line = clash(request(tmp_path, *pins, more="load_per_minute = 0.2\n"))
    assert line.startswith("the pins of Monday 7 Sep are ")
    assert "the lip has room for " in line


def test_the_same_on_two_days_running_is_refused_for_what_is_kept_up() -> None:
    found = sample_request("tobias")
    name = next(wish.id for wish in week_of(found)[0].wishes if wish.state == "kept up")
    assert clash(replace(found, pins=(Pin(MON, name), Pin(TUE, name)))) == (
        f"{name} is kept up and cannot be pinned on two days running, on Monday 7 Sep and Tuesday 8 Sep"
    )


def test_a_week_with_a_pin_that_blocks_is_not_planned(tmp_path: Path) -> None:
    with pytest.raises(DoesNotFit, match="only a warm-up") as raised:
        planned(request(tmp_path, Pin(WED, FIVES), more=CONCERT))
    assert raised.value.hint == f"planner unpin {FIVES} 2026-09-09"


def test_the_days_on_which_a_combination_can_be_pinned_are_told(tmp_path: Path) -> None:
    # New: not on the two days before the concert of Wednesday, and on the day itself only a warm-up.
    week, shelf = week_of(request(tmp_path, more=CONCERT))
    assert possible_days(week, shelf, FIVES) == tuple(WEEKDAYS[3:])


def test_pins_that_can_stand_have_a_plan_that_holds_them(tmp_path: Path) -> None:
    # Whatever passes the check of pins must be plannable; here a full day of them.
    pins = tuple(Pin(MON, name) for name in (FIVES, STAIRS, BELLS, GULLS))
    found = request(tmp_path, *pins)
    assert clash(found) == ""
    names = {item["combination"] for item in day_of(planned(found), MON)["items"]}
    assert names >= {pin.combination for pin in pins}


def test_on_the_first_day_back_pins_are_counted_as_slow_as_they_are_played(tmp_path: Path) -> None:
    # items that fit at their usual tempo and take hours at the slower one of that day
    week, shelf = week_of(request(tmp_path, Pin(MON, FIVES)))
    problem = week_problem(week)
    slow = replace(
        problem,
        days=(replace(problem.days[0], slow=True), *problem.days[1:]),
        candidates=tuple(replace(one, slow_seconds=10_000) for one in problem.candidates),
        block_seconds=20_000,
    )
    found = clash_of(week, slow, shelf)
    assert [clash_of(week, problem, shelf), found is not None and "its pins need" in found.message] == [
        None,
        True,
    ]
