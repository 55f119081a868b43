"""What a new plan changes: every turn in one of four kinds, each with the cause that the two plans show."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.plan.difference import Difference, difference

MONDAY = date(2026, 9, 7)
NAMES = ("fives/a/1-2-3", "stairs/up/c-major", "bells/up/f-major")
ONE, OTHER = NAMES[:2]


def day(number: int) -> str:
    return (MONDAY + timedelta(days=number)).isoformat()


def plan(turns: dict[int, list[str]], first: int = 0, last: int = 6, **changes: Any) -> dict[str, Any]:
    """A plan that holds these combinations on these days, with what a comparison reads."""
    states = {
        name: {"state": "in work", "need": 400, "turn_by": day(3), "last_played": None} for name in NAMES
    }
    for name, fields in changes.pop("states", {}).items():
        states[name] = states[name] | fields
    minutes, notes = changes.pop("minutes", {}), changes.pop("notes", {})
    return {
        "first_day": day(first),
        "last_day": day(last),
        "days": [
            {
                "date": day(number),
                "seconds_free": 60 * minutes.get(number, 45),
                "notes": notes.get(number, []),
                "items": [{"combination": name} for name in ["", *turns.get(number, [])]],
            }
            for number in range(first, last + 1)
        ],
        "combinations": [{"combination": name, **fields} for name, fields in states.items()],
        "pins": [{"date": day(number), "combination": name} for number, name in changes.pop("pins", [])],
        "excluded": changes.pop("excluded", []),
        "coverage": {"left": changes.pop("left", [])},
        **changes,
    }


def told(found: Difference) -> dict[str, list[str]]:
    """Every kind with its turns as "combination was > now: reason"."""
    return {
        kind: [f"{one.combination} {one.was} > {one.now}: {one.reason}" for one in getattr(found, kind)]
        for kind in ("moved", "new", "dropped")
    }


def reason(before: dict[str, Any], after: dict[str, Any]) -> str:
    """The reason of the one change between two plans."""
    found = difference(before, after)
    [change] = [*found.moved, *found.new, *found.dropped]
    return change.reason


def test_a_plan_against_itself_is_kept_whole() -> None:
    one = plan({0: [ONE], 3: [ONE, OTHER]})
    found = difference(one, one)
    assert found.is_nothing
    assert found.counts == {"kept": 3, "moved": 0, "new": 0, "dropped": 0}


def test_a_turn_on_another_day_has_moved() -> None:
    found = difference(plan({0: [ONE]}), plan({2: [ONE]}))
    assert told(found) == {
        "moved": [f"{ONE} 2026-09-07 > 2026-09-09: to make room on Monday 7"],
        "new": [],
        "dropped": [],
    }


def test_of_more_turns_than_before_the_last_are_new() -> None:
    found = difference(plan({0: [ONE]}), plan({1: [ONE], 4: [ONE]}))
    assert [(one.was, one.now) for one in found.moved] == [(MONDAY, MONDAY + timedelta(days=1))]
    assert [one.now for one in found.new] == [MONDAY + timedelta(days=4)]


def test_only_days_that_both_plans_hold_are_compared() -> None:
    # Made on Wednesday: what was played on Monday is no change.
    found = difference(plan({0: [ONE], 3: [OTHER]}), plan({3: [OTHER]}, first=2))
    assert (found.is_nothing, found.first_day) == (True, MONDAY + timedelta(days=2))


MOVED = [
    ({"pins": [(2, ONE)]}, {}, "pinned on Wednesday 9"),
    ({"minutes": {0: 20}}, {}, "Monday 7 has 20 minutes, it had 45"),
    ({"notes": {0: ["town concert tomorrow"]}}, {}, "Monday 7: town concert tomorrow"),
    ({"pins": [(0, OTHER)]}, {}, f"{OTHER} is pinned on Monday 7"),
    ({"states": {ONE: {"last_played": day(0)}}}, {}, "played on Monday 7"),
    ({"states": {ONE: {"state": "kept up"}}}, {}, "kept up, it was in work"),
    (
        {"states": {ONE: {"turn_by": day(5)}}},
        {},
        "its turn is asked for by Saturday 12, it was Thursday 10",
    ),
    ({"states": {ONE: {"need": 700}}}, {}, "need 0.70, it was 0.40"),
    ({"states": {ONE: {"need": 449}}}, {}, "to make room on Monday 7"),
    ({}, {"pins": [(0, ONE)]}, "no longer pinned on Monday 7"),
]


@pytest.mark.parametrize(("after", "before", "words"), MOVED, ids=[words for _, _, words in MOVED])
def test_a_moved_turn_names_its_cause(after: dict[str, Any], before: dict[str, Any], words: str) -> None:
    assert reason(plan({0: [ONE]}, **before), plan({2: [ONE]}, **after)) == words


def test_a_pin_comes_before_every_other_cause() -> None:
    after = plan({2: [ONE]}, pins=[(2, ONE)], minutes={0: 20}, states={ONE: {"need": 900}})
    assert reason(plan({0: [ONE]}), after) == "pinned on Wednesday 9"


DROPPED = [
    ({"excluded": [{"combination": ONE, "reason": "above the level"}]}, "set aside: above the level"),
    ({"states": {ONE: {"last_played": day(0)}}}, "played on Monday 7"),
    (
        {"left": [{"combination": ONE, "reason": "no room beside what needs it more"}]},
        "no room beside what needs it more",
    ),
    ({"minutes": {0: 0}}, "Monday 7 has 0 minutes, it had 45"),
    ({}, "its place went to what needs it more"),
]


@pytest.mark.parametrize(("after", "words"), DROPPED, ids=[words for _, words in DROPPED])
def test_a_dropped_turn_names_its_cause(after: dict[str, Any], words: str) -> None:
    assert reason(plan({0: [ONE]}), plan({}, **after)) == words


@pytest.mark.parametrize(
    ("need", "words"), [(700, "need 0.70, it was 0.40"), (100, "there is room for it on Wednesday 9 now")]
)
def test_only_a_need_that_rose_brings_a_turn_in(need: int, words: str) -> None:
    assert reason(plan({}), plan({2: [ONE]}, states={ONE: {"need": need}})) == words


@pytest.mark.parametrize(
    ("need", "words"), [(700, "its place went to what needs it more"), (100, "need 0.10, it was 0.40")]
)
def test_only_a_need_that_fell_takes_a_turn_out(need: int, words: str) -> None:
    assert reason(plan({0: [ONE]}), plan({}, states={ONE: {"need": need}})) == words


def test_what_is_off_the_shelf_says_so() -> None:
    after = plan({})
    after["combinations"] = [one for one in after["combinations"] if one["combination"] != ONE]
    assert reason(plan({0: [ONE]}), after) == "no longer on the shelf"


def test_what_has_come_onto_the_shelf_says_so() -> None:
    before = plan({})
    before["combinations"] = [one for one in before["combinations"] if one["combination"] != ONE]
    assert reason(before, plan({0: [ONE]})) == "not on the shelf before"


def test_a_new_turn_without_a_cause_has_room_now() -> None:
    assert reason(plan({}), plan({4: [ONE]})) == "there is room for it on Friday 11 now"


WEEKS = st.dictionaries(st.integers(0, 6), st.lists(st.sampled_from(NAMES), unique=True))


@given(WEEKS, WEEKS)
def test_every_turn_of_both_plans_is_told_once(
    before: dict[int, list[str]], after: dict[int, list[str]]
) -> None:
    found = difference(plan(before), plan(after))
    all_of_them = [*found.kept, *found.moved, *found.new, *found.dropped]
    for turns, field in ((before, "was"), (after, "now")):
        stood = sorted((day(number), name) for number, names in turns.items() for name in names)
        days = [(getattr(one, field), one.combination) for one in all_of_them]
        assert sorted((when.isoformat(), name) for when, name in days if when) == stood


@given(WEEKS, WEEKS)
def test_every_change_has_a_reason(before: dict[int, list[str]], after: dict[int, list[str]]) -> None:
    found = difference(plan(before), plan(after))
    assert all(one.reason for one in (*found.moved, *found.new, *found.dropped))


@given(WEEKS, WEEKS)
def test_the_other_way_round_new_is_dropped(
    before: dict[int, list[str]], after: dict[int, list[str]]
) -> None:
    there, back = difference(plan(before), plan(after)), difference(plan(after), plan(before))
    assert {(one.combination, one.now) for one in there.new} == {
        (one.combination, one.was) for one in back.dropped
    }
    assert {(o.combination, o.was, o.now) for o in there.moved} == {
        (o.combination, o.now, o.was) for o in back.moved
    }
