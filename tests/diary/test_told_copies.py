"""What was told goes into every copy of the diary and comes back with it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from diary.some_ratings import rating

from planner.diary.backup import by_hand, daily, restore
from planner.diary.store import Diary
from planner.diary.told import Stretch, Telling, take_back, tell, tellings
from planner.diary.told_copies import told_copy
from planner.errors import DiaryTrouble

DAY = date(2026, 10, 12)
TELLING = Telling(DAY, 1, (Stretch("missed", date(2026, 10, 5), date(2026, 10, 11)),))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A diary with one rating and one missed week told."""
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=7)], "rate")
    tell(tmp_path, "anna", TELLING)
    return tmp_path


def test_a_copy_by_hand_has_what_was_told_beside_it(folder: Path) -> None:
    assert told_copy(by_hand(folder, DAY)).is_file()


def test_the_copy_of_the_day_has_it_too(folder: Path) -> None:
    copy = daily(folder, DAY)
    assert copy is not None
    assert told_copy(copy).is_file()


def test_restoring_a_copy_brings_back_what_was_told(folder: Path) -> None:
    copy = by_hand(folder, DAY)
    take_back(folder, "anna")
    restore(folder, copy, DAY)
    assert tellings(folder, "anna") == (TELLING,)


def test_restoring_takes_away_what_was_told_afterwards(folder: Path) -> None:
    copy = by_hand(folder, DAY)
    tell(folder, "ben", TELLING)
    restore(folder, copy, DAY)
    assert tellings(folder, "ben") == ()


def test_an_older_copy_leaves_what_is_told_now(folder: Path) -> None:
    copy = by_hand(folder, DAY)
    told_copy(copy).unlink()
    restore(folder, copy, DAY)
    assert tellings(folder, "anna") == (TELLING,)


def test_a_damaged_copy_is_named(folder: Path) -> None:
    copy = by_hand(folder, DAY)
    told_copy(copy).write_text("{", encoding="utf-8")
    with pytest.raises(DiaryTrouble, match=r"missed\.json is damaged"):
        restore(folder, copy, DAY)


def test_without_anything_told_a_copy_stands_alone(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=7)], "rate")
    assert not told_copy(by_hand(tmp_path, DAY)).exists()
