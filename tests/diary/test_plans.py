"""Stored plans: the one stored last stands, damage is passed over, a cut routine goes with its plan."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from diary.some_ratings import FIVES, MONDAY

from planner.diary.files import safe_name
from planner.diary.plans import (
    KEPT,
    day_items,
    load_plan,
    load_today,
    planned_last,
    save_plan,
    save_today,
)


def plan(first: date = MONDAY, **fields: Any) -> dict[str, Any]:
    """A week with one item on every day."""
    week = [first + timedelta(days=number) for number in range(7)]
    item = {"id": "B1", "combination": FIVES, "articulation": "slurred", "tempo": 96}
    return {
        "first_day": week[0].isoformat(),
        "last_day": week[-1].isoformat(),
        "days": [{"date": day.isoformat(), "items": [item]} for day in week],
    } | fields


def only_file(folder: Path) -> Path:
    (path,) = folder.rglob("*_*.json")
    return path


def test_a_stored_plan_comes_back_as_it_was(tmp_path: Path) -> None:
    given = plan(name="Anna B♭", seed=0, share=0.1)
    save_plan(tmp_path, "anna", given)
    assert load_plan(tmp_path, "anna", MONDAY) == given


@pytest.mark.parametrize(("days", "held"), [(-1, False), (0, True), (6, True), (7, False)])
def test_a_plan_stands_for_its_days_alone(tmp_path: Path, days: int, held: bool) -> None:
    save_plan(tmp_path, "anna", plan())
    assert (load_plan(tmp_path, "anna", MONDAY + timedelta(days=days)) is not None) is held


def test_no_plan_is_there_where_nothing_was_stored(tmp_path: Path) -> None:
    assert load_plan(tmp_path, "anna", MONDAY) is None
    assert day_items(tmp_path, "anna", MONDAY) is None


def test_the_plan_stored_last_stands(tmp_path: Path) -> None:
    save_plan(tmp_path, "anna", plan(seed=1))
    save_plan(tmp_path, "anna", plan(MONDAY + timedelta(days=2), seed=2))
    save_plan(tmp_path, "anna", plan(seed=3))
    found = load_plan(tmp_path, "anna", MONDAY + timedelta(days=3))
    assert found is not None
    assert found["seed"] == 3


def test_plans_of_two_players_are_kept_apart(tmp_path: Path) -> None:
    save_plan(tmp_path, "anna", plan(seed=1))
    assert load_plan(tmp_path, "ben", MONDAY) is None


def test_older_plans_for_the_same_days_are_cleared_away(tmp_path: Path) -> None:
    for seed in range(KEPT + 4):
        save_plan(tmp_path, "anna", plan(seed=seed))
    assert len(list((tmp_path / "plans" / "anna").iterdir())) == KEPT + 1


def test_the_file_of_a_plan_is_json_by_itself(tmp_path: Path) -> None:
    save_plan(tmp_path, "anna", plan(seed=7))
    assert json.loads(only_file(tmp_path).read_text(encoding="utf-8"))["content"]["seed"] == 7


def test_every_changed_byte_of_a_plan_is_noticed(tmp_path: Path) -> None:
    save_plan(tmp_path, "anna", plan())
    path = only_file(tmp_path)
    raw = path.read_bytes()
    for place in range(0, len(raw), 7):
        path.write_bytes(raw[:place] + bytes([raw[place] ^ 1]) + raw[place + 1 :])
        assert load_plan(tmp_path, "anna", MONDAY) is None, f"byte {place}"


def test_a_plan_cut_short_is_passed_over(tmp_path: Path) -> None:
    save_plan(tmp_path, "anna", plan())
    path = only_file(tmp_path)
    path.write_bytes(path.read_bytes()[:-20])
    assert load_plan(tmp_path, "anna", MONDAY) is None


def test_a_player_id_never_leads_out_of_the_folder(tmp_path: Path) -> None:
    save_plan(tmp_path, "../../anna", plan(seed=1))
    assert [path.name for path in tmp_path.iterdir()] == ["plans"]
    assert load_plan(tmp_path, "../../anna", MONDAY) == plan(seed=1)


@pytest.mark.parametrize(
    ("one", "other"), [("Anna", "anna"), ("a/b", "a_2fb"), ("x" * 200, "x" * 201), ("", "_")]
)
def test_two_ids_never_share_a_file_name(one: str, other: str) -> None:
    assert safe_name(one).casefold() != safe_name(other).casefold()
    assert max(len(safe_name(one)), len(safe_name(other))) <= 100


def test_a_cut_routine_stands_before_the_whole_day(tmp_path: Path) -> None:
    save_plan(tmp_path, "anna", plan())
    save_today(tmp_path, "anna", MONDAY, {"date": "2026-09-07", "items": [{"id": "C1"}]})
    assert day_items(tmp_path, "anna", MONDAY) == ({"id": "C1"},)
    assert day_items(tmp_path, "anna", MONDAY + timedelta(days=1)) == tuple(plan()["days"][1]["items"])


def test_a_cut_routine_falls_with_the_plan_it_was_cut_from(tmp_path: Path) -> None:
    save_plan(tmp_path, "anna", plan())
    save_today(tmp_path, "anna", MONDAY, {"items": []})
    save_plan(tmp_path, "anna", plan(seed=2))
    assert load_today(tmp_path, "anna", MONDAY) is None


def test_the_last_time_a_combination_was_planned_is_found(tmp_path: Path) -> None:
    save_plan(tmp_path, "anna", plan(MONDAY))
    later = plan(MONDAY + timedelta(days=7))
    later["days"][2]["items"] = [{"id": "B1", "combination": FIVES, "articulation": "tongued"}]
    for day in later["days"][3:]:
        day["items"] = []
    save_plan(tmp_path, "anna", later)
    found = planned_last(tmp_path, "anna", FIVES, MONDAY + timedelta(days=12))
    assert found is not None
    assert found["articulation"] == "tongued"


def test_a_plan_of_days_to_come_was_not_planned_last(tmp_path: Path) -> None:
    save_plan(tmp_path, "anna", plan(MONDAY + timedelta(days=7)))
    assert planned_last(tmp_path, "anna", FIVES, MONDAY) is None


def test_an_item_that_a_later_plan_took_out_was_not_planned_last(tmp_path: Path) -> None:
    first = plan()
    first["days"][1]["items"] = [first["days"][1]["items"][0] | {"tempo": 100}]
    save_plan(tmp_path, "anna", first)
    changed = plan(MONDAY + timedelta(days=2))
    for day in changed["days"]:
        day["items"] = []
    save_plan(tmp_path, "anna", changed)
    found = planned_last(tmp_path, "anna", FIVES, MONDAY + timedelta(days=4))
    assert found is not None
    assert found["tempo"] == 100  # Tuesday's, the last one that was not replaced
