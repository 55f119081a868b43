"""Minutes that stay free, with the reason the plan itself gives. Figures: made for each case, by hand."""

from __future__ import annotations

from typing import Any

import pytest
from show.sample_plan import item

from planner.show.unused import unused

MONDAY, TUESDAY = "2026-09-07", "2026-09-08"


def turn(name: str, seconds: int = 120, load: float = 3.0) -> dict[str, Any]:
    """One item of a combination."""
    return item("B1", combination=name, seconds=seconds, load=load)


def day(date: str, *items: dict[str, Any], free: int = 2400, used: int = 1200, **figures: Any) -> Any:
    """A day of 40 minutes, half of them used, with room for load, unless something else is said."""
    usual = {"load": 30.0, "load_limit": 50.0, "load_two_days": 30.0, "load_two_days_limit": 90.0}
    rest = {"seconds_free": free, "seconds_used": used, "notes": [], "without": [], "items": list(items)}
    return {"date": date, "title": ""} | usual | rest | figures


def plan(*days: Any, shelf: str = "ab", state: str = "in work") -> Any:
    """A plan whose shelf has these combinations."""
    combinations = [{"combination": name, "state": state} for name in shelf]
    before = {"date": "2026-09-06", "combinations": []}
    return {"days": list(days), "combinations": combinations, "before": before}


def told(*days: Any, **more: Any) -> str:
    """What is said of the first of these days."""
    return unused(plan(*days, **more), days[0])


# more than three minutes and more than a fifth: of 40 minutes more than 8
@pytest.mark.parametrize(("free", "left", "said"), [(2400, 480, False), (2400, 481, True), (600, 180, False)])
def test_only_a_good_part_of_a_day_is_explained(free: int, left: int, said: bool) -> None:
    assert bool(told(day(MONDAY, turn("a"), free=free, used=free - left))) is said


def test_a_day_at_its_load_limit_names_it() -> None:
    full = day(MONDAY, turn("a"), load=48.0)  # 2 left, b wants 3
    assert told(full, day(TUESDAY, turn("b"))) == (
        "20 of 40 minutes stay free: the load limit of the day is reached (48 of 50)"
    )


def test_load_kept_for_the_day_after_names_that_day() -> None:
    heavy = day(TUESDAY, turn("b"), load_two_days=88.0)
    assert told(day(MONDAY, turn("a")), heavy).endswith(
        "together with Tuesday the load limit of two days is reached (88 of 90)"
    )


def test_load_of_the_day_before_names_that_day() -> None:
    after_sunday = day(MONDAY, turn("a"), load_two_days=89.0)
    assert told(after_sunday, day(TUESDAY, turn("b"))).endswith(
        "together with Sunday the load limit of two days is reached (89 of 90)"
    )


def test_a_small_shelf_that_stands_there_whole_says_so() -> None:
    assert told(day(MONDAY, turn("a"), turn("b"))).endswith("all that is in scope stands on this day already")


def test_what_is_kept_up_does_not_stand_two_days_running() -> None:
    said = told(day(MONDAY, turn("a")), day(TUESDAY, turn("b")), state="kept up")
    assert said.endswith("what else is in scope stands on the day before or after, never two days running")


def test_a_day_under_a_quarter_of_an_hour_holds_one_block() -> None:
    short = day(MONDAY, turn("a"), free=600, used=240)
    assert told(short, day(TUESDAY, turn("b"))) == (
        "6 of 10 minutes stay free: a day under 15 minutes holds a warm-up and one block"
    )


def test_a_limit_that_leaves_out_families_is_named() -> None:
    limited = day(MONDAY, turn("a"), without=["range"])
    assert told(limited, day(TUESDAY, turn("b"))).endswith("range left out by a limit")


def test_items_longer_than_what_is_left_are_the_reason() -> None:
    # 20 minutes are left; b takes 20 and its set-up 45 seconds
    assert told(day(MONDAY, turn("a")), day(TUESDAY, turn("b", 1200))).endswith(
        "what else is in scope takes longer"
    )


def test_a_day_of_a_warm_up_alone_says_so() -> None:
    warm_up = item("A1", family="warm-up", seconds=480)
    assert told(day(MONDAY, warm_up, used=480)).endswith("the day holds a warm-up only")


def test_a_day_that_was_cut_explains_nothing() -> None:
    assert told(day(MONDAY, turn("a"), notes=["cut to 40 minutes"])) == ""


def test_a_day_without_practice_explains_nothing() -> None:
    assert told(day(MONDAY, free=0, used=0)) == ""
