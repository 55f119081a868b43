"""What the coverage views are made from: the shelf with its last turns and the notes it touches."""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

import pytest
from horizon.sample_weeks import MONDAY, ROOT, items, sample_request, sample_week

from planner.horizon.covered import Shelved, coverage_json, covered
from planner.paths import find_curriculum

NOWHERE = Path("no such folder")
NAME = "jonah"


@cache
def shelf(day: date = MONDAY) -> dict[str, Shelved]:
    """Jonah's shelf by combination."""
    player = sample_request(NAME).player
    curriculum = find_curriculum(player.curriculum, ROOT / "sample_profiles" / f"{NAME}.toml")
    return {one.combination: one for one in covered(NOWHERE, player, curriculum, MONDAY, day)}


def test_the_shelf_is_what_the_week_plans_from() -> None:
    assert set(shelf()) == {one["combination"] for one in sample_week(NAME)["combinations"]}


def test_a_combination_was_met_on_the_day_of_its_last_rating() -> None:
    last = {rating.combination: rating.day for rating in sample_request(NAME).ratings}
    assert {name: one.last_met for name, one in shelf().items()} == {name: last.get(name) for name in shelf()}


def test_a_rating_after_the_day_is_not_met_yet() -> None:
    early = min(rating.day for rating in sample_request(NAME).ratings)
    met = [one.last_met for one in shelf(early).values() if one.last_met]
    assert met
    assert set(met) == {early}


def test_a_combination_touches_the_cells_of_its_own_notes() -> None:
    # Dinner bell is B flat, D, F of B flat major: on the trombone positions 1, 4 and 1.
    # trombone slide positions: common practice, no source
    assert set(shelf()["dinner-bell/a/b-flat-major"].touched) == {("B-flat major", 1), ("B-flat major", 4)}


def test_coverage_names_the_days_on_which_a_combination_is_planned() -> None:
    plan = sample_week(NAME)
    found = {
        one["combination"]: one["planned"] for one in coverage_json(plan, [*shelf().values()])["combinations"]
    }
    days: dict[str, list[str]] = {name: [] for name in shelf()}
    for day, item in items(plan):
        if item["combination"] and item["go"] == 1:
            days[item["combination"]].append(day)
    assert found == days


@pytest.mark.parametrize("field", ["player", "first_day", "last_day", "coverage"])
def test_coverage_repeats_the_head_of_the_plan(field: str) -> None:
    assert coverage_json(sample_week(NAME), [*shelf().values()])[field] == sample_week(NAME)[field]
