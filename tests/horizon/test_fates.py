"""Turns before and now, paired: every sum adds up, and agrees with what week --changes says of two plans."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.horizon.fates import (
    KEPT,
    LATER,
    MOVED,
    Place,
    Turn,
    first_week,
    paired,
    sunday_of,
    told_turns,
)
from planner.plan.difference import difference

MONDAY = date(2026, 9, 28)
THURSDAY = MONDAY + timedelta(days=3)
NAMES = ("candle", "bells", "stairs")
days = st.integers(0, 13).map(lambda n: MONDAY + timedelta(days=n))
rows = st.sets(st.tuples(days, st.sampled_from(NAMES))).map(sorted)


def turn(day: date, name: str) -> Turn:
    return Turn(day, name, "slurred", name.capitalize(), "in work")


def turns(row: list[tuple[date, str]]) -> list[Turn]:
    return [turn(day, name) for day, name in row]


def plan_of(row: list[tuple[date, str]], first: date) -> dict[str, Any]:
    """A plan of the week of `first` as JSON, with as much as a comparison reads."""
    dates = [first + timedelta(days=n) for n in range((sunday_of(first) - first).days + 1)]
    return {
        "first_day": first.isoformat(),
        "last_day": sunday_of(first).isoformat(),
        "days": [
            {
                "date": day.isoformat(),
                "seconds_free": 900,
                "notes": [],
                "items": [{"combination": name, "go": 1} for when, name in row if when == day],
            }
            for day in dates
        ],
        "combinations": [],
        "excluded": [],
        "pins": [],
        "coverage": {"left": []},
    }


@given(rows, rows)
def test_a_week_adds_up_as_the_changes_between_two_plans_do(
    before: list[tuple[date, str]], now: list[tuple[date, str]]
) -> None:
    week = first_week(turns(before), turns(now), (), THURSDAY)
    told = difference(plan_of(before, THURSDAY), plan_of(now, THURSDAY)).counts
    assert (week.stays, week.moved, week.new, week.gone) == (
        told["kept"],
        told["moved"],
        told["new"],
        told["dropped"],
    )


@given(rows, rows)
def test_no_turn_now_stands_for_two_before(
    before: list[tuple[date, str]], now: list[tuple[date, str]]
) -> None:
    after = [one for one in turns(now) if one.day >= THURSDAY]
    pairs = paired(told_turns(turns(before), ()), after, THURSDAY)
    taken = [(one.combination, place.day) for one, place in pairs.places.items()]
    assert sorted([*taken, *pairs.new]) == sorted((one.combination, one.day) for one in after)


@settings(max_examples=60)
@given(rows, rows)
def test_what_moved_is_in_its_week_and_what_is_later_in_a_later_one(
    before: list[tuple[date, str]], now: list[tuple[date, str]]
) -> None:
    pairs = paired(turns(before), turns(now), MONDAY)
    for one, place in pairs.places.items():
        if place.what == LATER:
            assert sunday_of(place.day) > sunday_of(one.day)
        elif place.what == MOVED and place.day > one.day:
            assert sunday_of(place.day) == sunday_of(one.day)


def test_a_turn_that_only_comes_next_week_is_later_not_moved() -> None:
    old = turn(THURSDAY, "bells")
    now = [turn(MONDAY + timedelta(days=8), "bells")]
    assert paired([old], now, THURSDAY).places == {old: Place(LATER, MONDAY + timedelta(days=8))}


def test_two_turns_of_one_combination_do_not_move_to_the_same_day() -> None:
    # Thu and Sat before, Fri now: by hand one moves, the other has no turn any more
    thursday, saturday = turn(THURSDAY, "bells"), turn(THURSDAY + timedelta(days=2), "bells")
    pairs = paired([thursday, saturday], [turn(THURSDAY + timedelta(days=1), "bells")], THURSDAY)
    assert pairs.places == {thursday: Place(MOVED, THURSDAY + timedelta(days=1))}


def test_a_missed_turn_never_takes_the_place_of_one_that_stays() -> None:
    missed, ahead = turn(MONDAY, "bells"), turn(THURSDAY, "bells")
    pairs = paired([missed, ahead], [ahead], THURSDAY)
    assert pairs.places == {ahead: Place(KEPT, THURSDAY)}


def test_a_combination_of_missed_days_is_told_once() -> None:
    had = [turn(MONDAY, "bells"), turn(MONDAY + timedelta(days=1), "bells"), turn(THURSDAY, "bells")]
    assert told_turns(had, {MONDAY, MONDAY + timedelta(days=1)}) == (had[0], had[2])


def test_what_was_missed_this_week_takes_no_day_from_a_turn_that_moves() -> None:
    friday = THURSDAY + timedelta(days=1)
    missed, ahead = turn(MONDAY, "bells"), turn(THURSDAY, "bells")
    pairs = paired([missed, ahead], [turn(friday, "bells")], THURSDAY)
    assert pairs.places == {ahead: Place(MOVED, friday)}
