"""A day as it was printed: it is kept, it comes before the plan, damage is passed over."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from planner.diary.plans import day_items, save_plan, standing_day
from planner.diary.printed import drop_printed, load_printed, same_letters, save_printed

MONDAY = date(2026, 9, 7)
BEFORE: dict[str, Any] = {"date": "2026-09-07", "items": [{"id": "B1", "combination": "up/a/c-major"}]}
NOW: dict[str, Any] = {"date": "2026-09-07", "items": [{"id": "B1", "combination": "up/a/d-major"}]}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a day that was printed before its plan changed."""
    save_printed(tmp_path, "anna", BEFORE)
    save_plan(tmp_path, "anna", {"first_day": "2026-09-07", "last_day": "2026-09-13", "days": [NOW]})
    return tmp_path


def test_a_printed_day_comes_before_its_plan(folder: Path) -> None:
    assert day_items(folder, "anna", MONDAY) == tuple(BEFORE["items"])


def test_the_plan_of_a_printed_day_is_there_to_compare(folder: Path) -> None:
    assert standing_day(folder, "anna", MONDAY) == NOW


def test_a_day_that_is_forgotten_has_its_plan_again(folder: Path) -> None:
    drop_printed(folder, "anna", MONDAY)
    assert day_items(folder, "anna", MONDAY) == tuple(NOW["items"])


def test_another_player_has_no_printed_day(folder: Path) -> None:
    assert load_printed(folder, "ben", MONDAY) is None


def test_a_damaged_printed_day_is_passed_over(folder: Path) -> None:
    path = folder / "plans" / "anna" / "printed_2026-09-07.json"
    path.write_text(path.read_text().replace("c-major", "e-major"))
    assert day_items(folder, "anna", MONDAY) == tuple(NOW["items"])


@pytest.mark.parametrize(
    ("field", "same"), [("combination", False), ("articulation", False), ("tempo", False), ("seconds", True)]
)
def test_letters_are_the_same_where_whoever_rates_means_the_same(field: str, same: bool) -> None:
    other = {"date": "2026-09-07", "items": [BEFORE["items"][0] | {field: "other"}]}
    assert same_letters(BEFORE, other) is same
