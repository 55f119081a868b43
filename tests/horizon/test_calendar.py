"""Weeks of all kinds for one small player; every plan here has passed the checker, which `plan_week` asks."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from horizon.sample_weeks import (
    DAILY,
    MONDAY,
    Plan,
    blocks,
    day_of,
    items,
    small_player,
    small_week,
)

WEEKDAYS = [MONDAY + timedelta(days=n) for n in range(7)]
MON, TUE, WED, THU, FRI, SAT, SUN = WEEKDAYS
SUNDAY_BEFORE = MON - timedelta(days=1)
ONE_COMBINATION = """
[curriculum]
id = "small"
title = "One"
weeks = 1

[[exercise]]
id = "stairs"
title = "Stairs"
family = "scales"
measure = "tempo"
weeks = [1]
meter = "4/4"
tempo = { beat = "quarter", first = 60, goal = 120 }
articulations = ["tongued"]
keys = ["C"]
[[exercise.pattern]]
name = "up"
degrees = "1e 2 3 4 5 6 7 8"
"""
BAND = '[[playing]]\ntitle = "Band"\ndays = ["sunday"]\nminutes = 120\non_the_lip = 0.55\nintensity = 3\n'
CONCERT = '[[date]]\nkind = "concert"\ndate = 2026-09-09\ntitle = "in the church"\n'
FREE_WEEK = '[[date]]\nkind = "free"\nfrom = 2026-09-07\nto = 2026-09-13\ntitle = "by the sea"\n'
FROM_THURSDAY = '[[limit]]\ntitle = "sore lip"\nfrom = 2026-09-10\nuntil = 2026-09-20\n'


def families(plan: Plan, day: date) -> list[str]:
    """The families of a day in playing order."""
    return [item["family"] for item in day_of(plan, day)["items"]]


def rated(folder: Path, *days: date) -> str:
    """A file of earlier ratings, every combination clean on each of the days; the line that names it."""
    known = [
        *((f"fives/a/{cycle}", "slurred", 96) for cycle in ("1-2-3", "3-4-5", "5-6-7")),
        *((f"stairs/up/{key}-major", "tongued", 80) for key in ("c", "f", "b-flat", "g")),
        *((f"bells/up/{key}-major", "tongued", 80) for key in ("c", "e-flat")),
        *((f"gulls/a/{position}", "slurred", 66) for position in (1, 2)),
    ]
    lines = [f"{day},{name},{way},{tempo},{tempo},," for day in days for name, way, tempo in known]
    text = "day,combination,articulation,tempo,clean,grade,value\n" + "\n".join(lines) + "\n"
    (folder / "mara.csv").write_text(text, encoding="utf-8")
    return 'ratings = "mara.csv"\n'


# --- from any day of the week


def test_a_plan_made_on_wednesday_runs_to_sunday(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path), WED)
    assert [day["date"] for day in plan["days"]] == [day.isoformat() for day in WEEKDAYS[2:]]


def test_a_plan_made_on_sunday_is_that_day_alone(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path), SUN)
    assert [day["date"] for day in plan["days"]] == ["2026-09-13"]


def test_a_plan_from_a_day_without_minutes_is_an_empty_day(tmp_path: Path) -> None:
    # Ratings are there, no practice day is left in the week: nothing to plan, and no fault.
    path = small_player(tmp_path, minutes="monday=45", more=rated(tmp_path, MON))
    assert [day["items"] for day in small_week(path, SUN)["days"]] == [[]]


# --- borders of the calendar


def test_the_week_over_the_year_border_is_one_week(tmp_path: Path) -> None:
    # 2026 has 53 ISO weeks; the last runs from 28 December to 3 January.
    assert date(2026, 12, 28).isocalendar()[:2] == (2026, 53)
    plan = small_week(small_player(tmp_path, starts="2026-12-28"), date(2026, 12, 28))
    assert [plan["first_day"], plan["last_day"]] == ["2026-12-28", "2027-01-03"]


def test_the_week_after_week_53_is_the_next_of_the_curriculum(tmp_path: Path) -> None:
    path = small_player(tmp_path, starts="2026-12-28")
    weeks = [small_week(path, first)["curriculum_week"] for first in (date(2026, 12, 28), date(2027, 1, 4))]
    assert weeks == [1, 2]


def test_an_item_met_in_december_is_in_the_january_plan_with_its_year(tmp_path: Path) -> None:
    path = small_player(tmp_path, starts="2026-12-28", more=rated(tmp_path, date(2026, 12, 31)))
    plan = small_week(path, date(2027, 1, 4))
    first = next(item for _, item in items(plan) if item["combination"] == "bells/up/c-major")
    assert any("31 Dec 2026" in reason for reason in first["reasons"])


def test_the_twenty_ninth_of_february_is_a_day_like_others(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path, starts="2028-02-28"), date(2028, 2, 28))
    assert day_of(plan, date(2028, 2, 29))["items"]


def test_the_first_of_march_follows_the_leap_day(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path, starts="2028-02-28"), date(2028, 2, 28))
    assert [day["date"] for day in plan["days"]][1:3] == ["2028-02-29", "2028-03-01"]


# --- from one week to the next


def test_monday_is_lighter_after_a_sunday_with_the_band(tmp_path: Path) -> None:
    # Sunday: 120 minutes x 0.55 x 3 = 198, its limit too, for there is no own practice. Monday's limit is
    # 1.25 x 45 = 56.25. Both days together: 0.9 x (198 + 56.25) = 228.825.
    path = small_player(tmp_path, minutes=DAILY.replace("sunday=45", "sunday=0"), more=BAND)
    monday = day_of(small_week(path, MON), MON)
    assert monday["load_two_days_limit"] == 228.825
    assert monday["load"] <= 228.825 - 198


def test_sundays_band_is_counted_in_mondays_two_days(tmp_path: Path) -> None:
    path = small_player(tmp_path, minutes=DAILY.replace("sunday=45", "sunday=0"), more=BAND)
    monday = day_of(small_week(path, MON), MON)
    assert monday["load_two_days"] == pytest.approx(198 + monday["load"], abs=0.0015)


def test_range_on_sunday_keeps_range_out_of_monday(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path, starts="2026-08-31", more=rated(tmp_path, SUNDAY_BEFORE)), MON)
    assert plan["before"]["heavy"]
    assert "range" not in families(plan, MON)


def test_without_sundays_range_it_stands_on_monday(tmp_path: Path) -> None:
    earlier = rated(tmp_path, SUNDAY_BEFORE - timedelta(days=2))
    plan = small_week(small_player(tmp_path, starts="2026-08-31", more=earlier), MON)
    assert "range" in families(plan, MON)


def test_range_never_stands_on_two_days_running(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path), MON)
    heavy = ["range" in families(plan, day) for day in WEEKDAYS]
    assert any(heavy)
    assert not any(one and other for one, other in pairwise(heavy))


# --- concerts


def test_a_concert_day_is_a_warm_up_of_twelve_minutes(tmp_path: Path) -> None:
    day = day_of(small_week(small_player(tmp_path, more=CONCERT), MON), WED)
    assert [(item["family"], item["seconds"]) for item in day["items"]] == [("warm-up", 720)]


@pytest.mark.parametrize("day", [MON, TUE], ids=["two days before", "the day before"])
def test_nothing_new_stands_so_close_before_a_concert(tmp_path: Path, day: date) -> None:
    plan = small_week(small_player(tmp_path, more=CONCERT), MON)
    assert families(plan, day) == ["warm-up", "warm-down"]


@pytest.mark.parametrize("day", [MON, TUE, WED, THU])
def test_no_range_stands_around_a_concert(tmp_path: Path, day: date) -> None:
    more = rated(tmp_path, SUNDAY_BEFORE - timedelta(days=3)) + CONCERT
    plan = small_week(small_player(tmp_path, starts="2026-08-31", more=more), MON)
    assert "range" not in families(plan, day)


@pytest.mark.parametrize(
    ("day", "limit"),
    # 1.25 x 45 = 56.25; the day before and the day after three fifths of it.
    [(MON, 56.25), (TUE, 33.75), (WED, 56.25), (THU, 33.75), (FRI, 56.25)],
)
def test_the_load_limit_around_a_concert_is_eased(tmp_path: Path, day: date, limit: float) -> None:
    assert day_of(small_week(small_player(tmp_path, more=CONCERT), MON), day)["load_limit"] == limit


# --- short days and none


def test_a_day_of_ten_minutes_is_a_warm_up_and_one_block(tmp_path: Path) -> None:
    day = day_of(small_week(small_player(tmp_path, minutes="monday=10"), MON), MON)
    assert len(blocks(day)) == 2
    assert day["items"][0]["family"] == "warm-up"


def test_a_day_of_ten_minutes_takes_no_longer(tmp_path: Path) -> None:
    day = day_of(small_week(small_player(tmp_path, minutes="monday=10"), MON), MON)
    assert sum(item["seconds"] for item in day["items"]) <= 600


def test_a_day_of_fifteen_minutes_opens_and_closes_gently(tmp_path: Path) -> None:
    day = day_of(small_week(small_player(tmp_path, minutes="monday=15"), MON), MON)
    ends = [day["items"][0], day["items"][-1]]
    assert [(item["family"], item["seconds"]) for item in ends] == [("warm-up", 240), ("warm-down", 120)]


def test_a_day_of_fifteen_minutes_has_room_for_several_blocks(tmp_path: Path) -> None:
    day = day_of(small_week(small_player(tmp_path, minutes="monday=15"), MON), MON)
    assert len(blocks(day)) > 3


def test_an_empty_day_between_others_stays_empty(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path, minutes="monday=45, wednesday=45"), MON)
    tuesday = day_of(plan, TUE)
    assert (tuesday["items"], tuesday["seconds_free"], tuesday["load"]) == ([], 0, 0.0)


def test_a_free_week_has_seven_empty_days(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path, more=FREE_WEEK), MON)
    assert [day["items"] for day in plan["days"]] == [[]] * 7


def test_a_free_week_says_why_nothing_has_its_turn(tmp_path: Path) -> None:
    left = small_week(small_player(tmp_path, more=FREE_WEEK), MON)["coverage"]["left"]
    assert {one["reason"] for one in left} == {"no practice day"}


def test_what_a_free_week_leaves_is_expected_on_the_monday_after(tmp_path: Path) -> None:
    left = small_week(small_player(tmp_path, more=FREE_WEEK), MON)["coverage"]["left"]
    assert {one["expected"] for one in left} == {"2026-09-14"}


def test_a_player_who_wants_one_block_a_day_gets_one(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path, more="blocks_a_day = 1\n"), MON)
    assert [len(blocks(day)) for day in plan["days"]] == [3] * 7


# --- a limit that begins in the middle of the week


def test_minutes_of_a_limit_hold_from_its_first_day(tmp_path: Path) -> None:
    path = small_player(tmp_path, more=FROM_THURSDAY + "minutes = 10\n")
    plan = small_week(path, MON)
    assert [day["seconds_free"] // 60 for day in plan["days"]] == [45, 45, 45, 10, 10, 10, 10]


def test_a_family_left_out_by_a_limit_stands_only_before_it(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path, more=FROM_THURSDAY + 'without = ["flexibility"]\n'), MON)
    with_it = [day for day in WEEKDAYS if "flexibility" in families(plan, day)]
    assert with_it == [MON, TUE, WED]


def test_a_top_note_of_a_limit_holds_from_its_first_day(tmp_path: Path) -> None:
    # Written C5 is MIDI 72; the scale of C major goes up to it, that of F major to F5.
    plan = small_week(small_player(tmp_path, more=FROM_THURSDAY + 'top_note = "C5"\n'), MON)
    top = {day: max(item["highest"] for item in day_of(plan, day)["items"]) for day in WEEKDAYS}
    assert [day for day in WEEKDAYS if top[day] > 72] == [MON, TUE, WED]


def test_what_a_limit_bars_all_week_is_excluded_with_its_title(tmp_path: Path) -> None:
    limit = FROM_THURSDAY.replace("2026-09-10", "2026-09-07") + 'without = ["range"]\n'
    excluded = small_week(small_player(tmp_path, more=limit), MON)["excluded"]
    barred = {one["combination"] for one in excluded if "sore lip" in one["reason"]}
    assert barred == {"gulls/a/1", "gulls/a/2"}


def test_what_a_limit_bars_from_thursday_is_not_excluded(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path, more=FROM_THURSDAY + 'without = ["range"]\n'), MON)
    assert plan["excluded"] == []


# --- little or nothing to plan


def test_a_first_hearing_meets_every_combination(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path), MON)
    met = {item["combination"] for _, item in items(plan)} - {""}
    assert met == {one["combination"] for one in plan["combinations"]}
    assert len(met) == 11


def test_a_first_hearing_has_nothing_but_new_combinations(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path), MON)
    assert {one["state"] for one in plan["combinations"]} == {"new"}
    assert plan["ratings_from"] == "none"


def test_a_first_hearing_takes_each_in_two_goes(tmp_path: Path) -> None:
    # 11 new combinations, at most 25: two goes each, with something between.
    monday = day_of(small_week(small_player(tmp_path), MON), MON)
    goes: dict[str, list[int]] = {}
    for item in monday["items"]:
        if item["combination"]:
            goes.setdefault(item["combination"], []).append(item["go"])
    assert set(map(tuple, goes.values())) == {(1, 2)}


def test_a_shelf_of_one_combination_is_played_in_one_go(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path, curriculum=ONE_COMBINATION), MON)
    assert [item["go"] for item in day_of(plan, MON)["items"] if item["combination"]] == [1]


def test_a_shelf_of_one_combination_comes_every_day(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path, curriculum=ONE_COMBINATION), MON)
    assert [day["items"][1]["combination"] for day in plan["days"]] == ["stairs/up/c-major"] * 7


def test_an_empty_shelf_leaves_a_warm_up_and_a_warm_down(tmp_path: Path) -> None:
    # Mara's curriculum begins three weeks later.
    plan = small_week(small_player(tmp_path, starts="2026-09-28"), MON)
    assert [families(plan, day) for day in WEEKDAYS] == [["warm-up", "warm-down"]] * 7


def test_an_empty_shelf_wants_no_turn(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path, starts="2026-09-28"), MON)
    assert (plan["coverage"]["wanted"], plan["combinations"], plan["curriculum_week"]) == (0, [], -2)


def test_a_range_too_narrow_for_anything_says_so_for_each(tmp_path: Path) -> None:
    plan = small_week(small_player(tmp_path, more='known_notes = ["C4"]\n'), MON)
    assert plan["combinations"] == []
    assert len(plan["excluded"]) == 11
    assert all(one["reason"] for one in plan["excluded"])
