"""A real day cut to any number of minutes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from functools import cache
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from horizon.sample_weeks import MONDAY, Item, Plan, day_of, sample_week, small_player, small_week
from hypothesis import given
from hypothesis import strategies as st

from planner.brass.tempo import SET_UP_SECONDS
from planner.horizon import cut
from planner.horizon.cut import cut_day
from planner.need import days

FRAME = ("warm-up", "warm-down")
# 45 minutes; 40 with own music; 60 with an own warm-up of 12 and own music; 10 with one block; 15; a first
# hearing in two goes.
DAYS = {"tobias": 0, "ruben": 0, "ingrid": 1, "pia": 0, "jonah": 3, "mara": 0}
some_minutes = st.integers(1, 90)
some_day = st.sampled_from(sorted(DAYS))


@cache
def week_of(name: str) -> Plan:
    """The week of a sample player, or of Mara who has never played anything."""
    if name != "mara":
        return sample_week(name)
    with TemporaryDirectory() as folder:
        return small_week(small_player(Path(folder)), MONDAY)


def day_for(name: str) -> dict[str, Any]:
    """A day of one of them."""
    return dict(day_of(week_of(name), MONDAY + timedelta(days=DAYS[name])))


@pytest.fixture(autouse=True, scope="module")
def planned_before() -> None:
    """Every week is planned before the first test, so that no test takes the time for it."""
    for name in DAYS:
        week_of(name)


def groups(items: Sequence[Item]) -> list[list[Item]]:
    """What may be left out: the goes of a combination together, or a piece of own music."""
    found: dict[str, list[Item]] = {}
    for item in items:
        if item["family"] not in FRAME:
            found.setdefault(item["combination"] or item["id"], []).append(item)
    return list(found.values())


def rank(group: Sequence[Item]) -> tuple[bool, bool, float, str]:
    """What is kept first: combinations before own music, turns that are wanted, then need."""
    return not group[0]["combination"], not group[0]["wanted"], -group[0]["need"], group[0]["id"]


def seconds(items: Sequence[Item], *, closed: bool) -> int:
    """How long these items take in this order; `closed`: a warm-down follows.

    45 seconds at least stand before another exercise; the last item of a day has no pause. The second go of a
    combination is not played where nothing stands between the two.
    """
    order = [one for one, before in zip(items, [None, *items], strict=False) if not _again(one, before)]
    total = 0
    for one, other in zip(order, [*order[1:], None], strict=True):
        if not one["combination"]:
            total += one["seconds"]
        elif other is None and not closed:
            total += one["play_seconds"] + one["breath_pauses_seconds"]
        else:
            another = other is None or other["exercise"] != one["exercise"]
            pause = max(45, one["pause_seconds"]) if another else one["pause_seconds"]
            total += one["play_seconds"] + one["breath_pauses_seconds"] + pause
    return total


def _again(item: Item, before: Item | None) -> bool:
    return before is not None and bool(item["combination"]) and item["combination"] == before["combination"]


@given(some_day, some_minutes)
def test_a_cut_day_is_never_longer_than_its_minutes(name: str, minutes: int) -> None:
    cut, _ = cut_day(day_for(name), minutes)
    assert sum(item["seconds"] for item in cut["items"]) <= 60 * minutes


@given(some_day, some_minutes)
def test_a_cut_day_opens_with_its_warm_up(name: str, minutes: int) -> None:
    cut, _ = cut_day(day_for(name), minutes)
    assert (cut["items"][0]["family"], cut["items"][0]["at"]) == ("warm-up", 0)


@given(some_day, some_minutes)
def test_what_stays_stays_in_its_order(name: str, minutes: int) -> None:
    day = day_for(name)
    kept = [item["id"] for item in cut_day(day, minutes)[0]["items"]]
    assert kept == [item["id"] for item in day["items"] if item["id"] in kept]


@given(some_day, some_minutes)
def test_an_id_names_the_same_item_before_and_after(name: str, minutes: int) -> None:
    day = day_for(name)
    before = {item["id"]: item for item in day["items"]}
    same = ("combination", "exercise", "articulation", "tempo", "go", "play_seconds")
    for item in cut_day(day, minutes)[0]["items"]:
        if item["combination"]:
            assert [item[field] for field in same] == [before[item["id"]][field] for field in same]


@given(some_day, some_minutes)
def test_what_is_kept_and_what_is_left_out_are_the_whole_day(name: str, minutes: int) -> None:
    day = day_for(name)
    cut, out = cut_day(day, minutes)
    assert sorted([*out, *(item["id"] for item in cut["items"])]) == sorted(i["id"] for i in day["items"])


@given(some_day, some_minutes)
def test_the_sums_of_a_cut_day_are_right(name: str, minutes: int) -> None:
    cut, _ = cut_day(day_for(name), minutes)
    items = cut["items"]
    assert cut["seconds_used"] == sum(item["seconds"] for item in items)
    assert all(one["at"] + one["seconds"] == other["at"] for one, other in pairwise(items))
    for item in items:
        assert item["seconds"] == item["play_seconds"] + item["breath_pauses_seconds"] + item["pause_seconds"]


@given(some_day, some_minutes)
def test_the_load_of_a_cut_day_is_that_of_what_stays(name: str, minutes: int) -> None:
    cut, _ = cut_day(day_for(name), minutes)
    added = cut["playing_load"] + sum(item["load"] for item in cut["items"])
    assert cut["load"] == pytest.approx(added, abs=0.02)


@given(some_day, some_minutes)
def test_a_second_go_stays_only_with_the_first(name: str, minutes: int) -> None:
    items = cut_day(day_for(name), minutes)[0]["items"]
    first = {item["combination"] for item in items if item["go"] == 1}
    assert all(item["combination"] in first for item in items if item["go"] == 2)


@given(some_day, some_minutes)
def test_a_second_go_is_left_out_only_where_nothing_is_left_between(name: str, minutes: int) -> None:
    day = day_for(name)
    kept = cut_day(day, minutes)[0]["items"]
    ids = {item["id"] for item in kept}
    for group in groups(day["items"]):
        if len(group) == 2 and group[0]["id"] in ids and group[1]["id"] not in ids:
            assert [item for item in kept if item["block"] == group[0]["block"]][-1]["id"] == group[0]["id"]


@given(some_day, some_minutes)
def test_no_item_of_a_cut_day_follows_itself(name: str, minutes: int) -> None:
    cut, _ = cut_day(day_for(name), minutes)
    names = [item["combination"] or item["id"] for item in cut["items"]]
    assert all(one != other for one, other in pairwise(names))


@given(some_day, some_minutes)
def test_another_exercise_of_a_cut_day_begins_after_its_set_up(name: str, minutes: int) -> None:
    cut, out = cut_day(day_for(name), minutes)
    for one, other in pairwise(cut["items"] if out else ()):
        if one["combination"] and other["exercise"] != one["exercise"]:
            assert one["pause_seconds"] >= 45


def test_a_combination_left_alone_in_its_block_is_played_once() -> None:
    # Mara's bells, two combinations in two goes each, here a minute of playing a go. Five minutes are three
    # of warm-up and two more: one combination fits, and its second go would follow the first.
    day = day_for("mara")
    bells = [item | {"play_seconds": 60} for item in day["items"] if item["exercise"] == "bells"]
    assert [item["go"] for item in bells] == [1, 1, 2, 2]
    cut, _ = cut_day(day | {"items": [day["items"][0], *bells], "seconds_used": 900}, 5)
    assert [(item["family"], item["go"]) for item in cut["items"]] == [("warm-up", 1), ("arpeggios", 1)]


@given(some_day, some_minutes)
def test_what_is_needed_most_stays(name: str, minutes: int) -> None:
    # Whatever is left out would not have fitted beside all that comes before it in need.
    day = day_for(name)
    cut, out = cut_day(day, minutes)
    framed = sum(item["seconds"] for item in cut["items"] if item["family"] in FRAME)
    closing = [item for item in day["items"] if item["family"] == "warm-down" and item["id"] not in out]
    ranked = sorted(groups(day["items"]), key=rank)
    for place, group in enumerate(ranked):
        if group[0]["id"] in out:
            better = [one for one in ranked[:place] if one[0]["id"] not in out]
            ids = {item["id"] for one in [*better, group] for item in one}
            trial = [item for item in day["items"] if item["id"] in ids]
            blocks = {item["block"] for item in trial if item["combination"]}
            too_long = framed + seconds(trial, closed=bool(closing)) > 60 * minutes
            assert too_long or (minutes < 15 and len(blocks) > 1)


@given(some_day, st.integers(1, 14))
def test_below_fifteen_minutes_there_is_one_block(name: str, minutes: int) -> None:
    cut, out = cut_day(day_for(name), minutes)
    assert len({item["block"] for item in cut["items"] if item["combination"]}) <= 1 or not out


@pytest.mark.parametrize("name", DAYS)
def test_a_day_that_fits_anyway_is_not_touched(name: str) -> None:
    day = day_for(name)
    minutes = -(-day["seconds_used"] // 60)
    assert cut_day(day, minutes) == (day, ())


@pytest.mark.parametrize(
    ("minutes", "up", "down"),
    # Rule 2 by the minutes there are: below 15 three of warm-up alone, then 4 and 2, 6 and 2.
    [(1, 60, 0), (3, 180, 0), (14, 180, 0), (15, 240, 120), (21, 240, 120), (22, 360, 120)],
)
def test_the_warm_up_shrinks_with_the_minutes(minutes: int, up: int, down: int) -> None:
    cut, _ = cut_day(day_for("tobias"), minutes)
    framed = {item["family"]: item["seconds"] for item in cut["items"] if item["family"] in FRAME}
    assert (framed["warm-up"], framed.get("warm-down", 0)) == (up, down)


@pytest.mark.parametrize(
    ("minutes", "up"),
    # From 30 minutes on the player's own, 12 minutes, but no more than a third of the day.
    [(30, 600), (35, 700), (36, 720), (40, 720)],
)
def test_an_own_warm_up_keeps_its_minutes_where_they_fit(minutes: int, up: int) -> None:
    day = day_for("ingrid")
    assert day["seconds_used"] > 60 * minutes
    assert cut_day(day, minutes)[0]["items"][0]["seconds"] == up


def test_a_cut_concert_day_is_all_warm_up() -> None:
    day = day_for("ingrid")
    warm_up = day["items"][0]
    cut, _ = cut_day(day | {"items": [warm_up], "seconds_used": warm_up["seconds"]}, 5)
    assert [(item["family"], item["seconds"]) for item in cut["items"]] == [("warm-up", 300)]


def test_a_cut_day_says_so() -> None:
    assert cut_day(day_for("tobias"), 20)[0]["notes"] == ["cut to 20 minutes"]


def test_own_music_goes_before_any_combination() -> None:
    cut, out = cut_day(day_for("ruben"), 20)
    music = [item["id"] for item in day_for("ruben")["items"] if item["family"] == "own music"]
    assert set(music) <= set(out)
    assert any(item["combination"] for item in cut["items"])


@pytest.mark.parametrize("minutes", [1, 14, 15, 21, 22, 29, 30, 90])
def test_the_frame_of_a_cut_day_has_the_steps_of_the_rule(minutes: int) -> None:
    # cut.py keeps its own copy for the short road of `planner today`; the rule's home is need/days.py
    up, down = next((u, d) for least, u, d in cut.FRAME if minutes >= least)
    steps = (
        next(seconds for least, seconds in days.WARM_UP_STEPS if minutes >= least),
        next((seconds for least, seconds in days.WARM_DOWN_STEPS if minutes >= least), 0),
    )
    assert (up, down) == steps


def test_a_cut_day_uses_the_set_up_and_the_short_day_of_the_rules() -> None:
    assert (cut.SET_UP_SECONDS, cut.SHORT_DAY_MINUTES) == (SET_UP_SECONDS, days.SHORT_DAY_MINUTES)
