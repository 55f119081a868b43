"""Days as they stand on the music stand: in the weeks of all the sample players."""

from __future__ import annotations

import string
from itertools import groupby, pairwise

import pytest
from horizon.sample_weeks import NAMES, Item, Plan, blocks, sample_request, sample_week

from planner.plan.layout import _letter

FRAME = ("warm-up", "warm-down", "own music")


@pytest.fixture(params=NAMES)
def week(request: pytest.FixtureRequest) -> Plan:
    """The week of one sample player."""
    return sample_week(request.param)


def played(week: Plan) -> list[Plan]:
    """The days with anything on them."""
    return [day for day in week["days"] if day["items"]]


def worked(day: Plan) -> list[list[Item]]:
    """The blocks of a day without warm-up, warm-down and own music."""
    return [block for block in blocks(day) if block[0]["family"] not in FRAME]


def test_every_item_begins_where_the_one_before_ends(week: Plan) -> None:
    for day in played(week):
        assert [day["items"][0]["at"]] == [0]
        assert all(one["at"] + one["seconds"] == other["at"] for one, other in pairwise(day["items"]))


def test_the_seconds_of_an_item_are_those_of_its_parts(week: Plan) -> None:
    for day in played(week):
        for item in day["items"]:
            parts = ("play_seconds", "breath_pauses_seconds", "pause_seconds")
            assert item["seconds"] == sum(item[part] for part in parts), item["id"]


def test_the_seconds_of_a_day_are_those_of_its_items(week: Plan) -> None:
    for day in week["days"]:
        assert day["seconds_used"] == sum(item["seconds"] for item in day["items"])


def test_a_day_holds_no_more_than_its_free_seconds(week: Plan) -> None:
    assert all(day["seconds_used"] <= day["seconds_free"] for day in week["days"])


def test_the_load_of_a_day_is_that_of_its_items_and_its_rehearsals(week: Plan) -> None:
    # Every load is rounded to three decimals, so the sum may be off by half of one for each.
    for day in week["days"]:
        added = day["playing_load"] + sum(item["load"] for item in day["items"])
        assert day["load"] == pytest.approx(added, abs=0.0005 * (len(day["items"]) + 2))


def test_two_days_are_the_load_of_this_one_and_the_one_before(week: Plan) -> None:
    loads = [week["before"]["load"], *(day["load"] for day in week["days"])]
    for (one, other), day in zip(pairwise(loads), week["days"], strict=True):
        assert day["load_two_days"] == pytest.approx(one + other, abs=0.0015)


def test_no_load_lies_above_its_limit(week: Plan) -> None:
    for day in week["days"]:
        assert day["load"] <= day["load_limit"]
        assert day["load_two_days"] <= day["load_two_days_limit"]


def test_no_combination_comes_twice_in_a_row(week: Plan) -> None:
    for day in played(week):
        names = [item["combination"] or item["id"] for item in day["items"]]
        assert all(one != other for one, other in pairwise(names))


def test_a_combination_stands_in_one_block_of_a_day(week: Plan) -> None:
    for day in played(week):
        homes = {(item["combination"], item["block"]) for item in day["items"] if item["combination"]}
        assert len(homes) == len({name for name, _ in homes})


def test_range_is_the_last_block_only_where_it_is_the_only_one(week: Plan) -> None:
    last = [day for day in played(week) if worked(day) and worked(day)[-1][0]["family"] == "range"]
    assert all(len(worked(day)) == 1 for day in last)


def test_a_block_is_one_exercise(week: Plan) -> None:
    for day in played(week):
        assert all(len({item["exercise"] for item in block}) == 1 for block in blocks(day))


def test_blocks_carry_the_letters_of_the_alphabet_in_order(week: Plan) -> None:
    for day in played(week):
        letters = [letter for letter, _ in groupby(day["items"], key=lambda item: item["block"])]
        assert letters == list(string.ascii_uppercase[: len(letters)])


def test_items_are_numbered_inside_their_block(week: Plan) -> None:
    for day in played(week):
        for block in blocks(day):
            assert [item["id"] for item in block] == [
                f"{block[0]['block']}{number}" for number, _ in enumerate(block, start=1)
            ]


def test_the_last_item_of_a_day_without_warm_down_has_no_pause(week: Plan) -> None:
    for day in played(week):
        last = day["items"][-1]
        assert last["family"] in ("warm-up", "warm-down") or last["pause_seconds"] == 0


def test_another_exercise_begins_after_at_least_45_seconds(week: Plan) -> None:
    for day in played(week):
        for one, other in pairwise(day["items"]):
            if one["combination"] and other["exercise"] != one["exercise"]:
                assert one["pause_seconds"] >= 44, one["id"]  # whole seconds of play and pause round up


def test_every_item_says_why_it_is_there(week: Plan) -> None:
    for day in played(week):
        assert all(item["reasons"] for item in day["items"] if item["combination"])


def test_both_goes_of_a_combination_are_played_alike(week: Plan) -> None:
    for day in played(week):
        for item in day["items"]:
            if item["go"] == 2:
                twin = next(one for one in day["items"] if one["combination"] == item["combination"])
                same = ("tempo", "target", "passes", "articulation", "play_seconds", "breath_pauses_seconds")
                assert [item[field] for field in same] == [twin[field] for field in same]


def test_no_block_is_longer_than_the_player_wants() -> None:
    for name in NAMES:
        most = sample_request(name).player.minutes_a_block * 60
        for day in played(sample_week(name)):
            assert all(sum(item["seconds"] for item in block) <= most for block in worked(day)), name


def test_no_day_has_more_blocks_than_the_player_wants() -> None:
    for name in NAMES:
        most = sample_request(name).player.blocks_a_day
        assert all(len(worked(day)) <= most for day in sample_week(name)["days"]), name


def test_after_the_letter_z_come_two_letters() -> None:
    assert [_letter(place) for place in (24, 25, 26, 27)] == ["Y", "Z", "AA", "AB"]


def test_after_the_letters_az_come_those_with_b() -> None:
    assert [_letter(place) for place in (51, 52)] == ["AZ", "BA"]
