"""Copies of the diary: one a day by itself, more by hand, and the way back."""

from __future__ import annotations

import sqlite3
from datetime import date, timedelta
from pathlib import Path

import pytest
from diary.some_ratings import rating

from planner.diary.backup import KEPT, backups, by_hand, daily, find, restore
from planner.diary.store import Diary
from planner.errors import Busy, DiaryTrouble, NoInput

DAY = date(2026, 9, 7)


def store(folder: Path, day: int, today: date | None = None) -> None:
    with Diary.open(folder, today) as diary:
        diary.add("anna", [rating(day=day)], "rate")


def days_in(folder: Path) -> list[int]:
    with Diary.open(folder) as diary:
        return [one.day.day for one in diary.ratings("anna")]


def days_of_copy(path: Path) -> list[str]:
    connection = sqlite3.connect(path)
    found = connection.execute("SELECT day FROM rating ORDER BY number").fetchall()
    connection.close()
    return [day for (day,) in found]


def test_the_first_write_of_a_day_copies_what_was_before(tmp_path: Path) -> None:
    store(tmp_path, 6, today=date(2026, 9, 6))
    store(tmp_path, 7, today=DAY)
    store(tmp_path, 8, today=DAY)
    (copy,) = backups(tmp_path)
    assert copy.name == "2026-09-07.sqlite"
    assert days_of_copy(copy) == ["2026-09-06"]


def test_the_very_first_write_has_nothing_to_copy(tmp_path: Path) -> None:
    store(tmp_path, 7, today=DAY)
    assert backups(tmp_path) == ()


def test_a_copy_is_one_file_by_itself(tmp_path: Path) -> None:
    store(tmp_path, 7)
    copy = by_hand(tmp_path, DAY)
    connection = sqlite3.connect(copy)
    assert connection.execute("PRAGMA journal_mode").fetchall() == [("delete",)]
    assert [path.name for path in copy.parent.iterdir()] == [copy.name]
    connection.close()


def test_the_last_fourteen_daily_copies_stay(tmp_path: Path) -> None:
    store(tmp_path, 7)
    for number in range(KEPT + 3):
        daily(tmp_path, DAY + timedelta(days=number))
    names = [path.stem for path in backups(tmp_path)]
    assert names == [(DAY + timedelta(days=number)).isoformat() for number in range(3, 17)]


def test_copies_by_hand_are_never_taken_away(tmp_path: Path) -> None:
    store(tmp_path, 7)
    copy = by_hand(tmp_path, date(2020, 1, 1))
    for number in range(KEPT + 3):
        daily(tmp_path, DAY + timedelta(days=number))
    assert copy in backups(tmp_path)


def test_two_copies_by_hand_on_one_day_have_two_names(tmp_path: Path) -> None:
    store(tmp_path, 7)
    names = [by_hand(tmp_path, DAY).name for _ in range(2)]
    assert names == ["2026-09-07-by-hand-1.sqlite", "2026-09-07-by-hand-2.sqlite"]


def test_no_diary_means_nothing_to_copy_by_hand(tmp_path: Path) -> None:
    with pytest.raises(NoInput, match="there is no diary"):
        by_hand(tmp_path, DAY)


def test_a_copy_that_cannot_be_made_is_a_warning(tmp_path: Path) -> None:
    store(tmp_path, 6)
    (tmp_path / "backups").write_text("a file where the folder should be")
    with Diary.open(tmp_path, DAY) as diary:
        diary.add("anna", [rating(day=7)], "rate")
        (warning,) = diary.warnings
    assert warning.startswith("the daily backup was not made: ")
    assert days_in(tmp_path) == [6, 7]


def test_restoring_brings_back_the_copied_ratings(tmp_path: Path) -> None:
    store(tmp_path, 7)
    copy = by_hand(tmp_path, DAY)
    store(tmp_path, 8)
    restore(tmp_path, copy, DAY)
    assert days_in(tmp_path) == [7]


def test_what_a_restore_replaces_can_be_restored_again(tmp_path: Path) -> None:
    store(tmp_path, 7)
    copy = by_hand(tmp_path, DAY)
    store(tmp_path, 8)
    kept = restore(tmp_path, copy, DAY)
    assert kept is not None
    restore(tmp_path, kept, DAY)
    assert days_in(tmp_path) == [7, 8]


def test_a_restored_diary_is_written_to_as_before(tmp_path: Path) -> None:
    store(tmp_path, 7)
    restore(tmp_path, by_hand(tmp_path, DAY), DAY)
    store(tmp_path, 8)
    assert days_in(tmp_path) == [7, 8]


def test_an_open_diary_sees_what_was_restored(tmp_path: Path) -> None:
    store(tmp_path, 7)
    copy = by_hand(tmp_path, DAY)
    store(tmp_path, 8)
    with Diary.open(tmp_path) as diary:
        diary.ratings("anna")
        restore(tmp_path, copy, DAY)
        assert [one.day.day for one in diary.ratings("anna")] == [7]


def test_a_copy_goes_into_a_folder_without_a_diary(tmp_path: Path) -> None:
    store(tmp_path / "old", 7)
    kept = restore(tmp_path / "new", by_hand(tmp_path / "old", DAY), DAY)
    assert kept is None
    assert days_in(tmp_path / "new") == [7]


def test_a_restore_that_fails_leaves_no_half_diary_where_none_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store(tmp_path / "old", 7)
    copy = by_hand(tmp_path / "old", DAY)

    def full(*_: object) -> None:
        raise sqlite3.OperationalError("disk I/O error")

    monkeypatch.setattr("planner.diary.backup._patience", full)
    with pytest.raises(DiaryTrouble, match="disk I/O error"):
        restore(tmp_path / "new", copy, DAY)
    assert list((tmp_path / "new").iterdir()) == []


def test_a_name_that_no_file_can_have_is_no_backup(tmp_path: Path) -> None:
    with pytest.raises(NoInput, match="there is no backup"):
        find(tmp_path, "a" * 300)


def test_a_file_that_is_no_copy_is_refused_and_changes_nothing(tmp_path: Path) -> None:
    store(tmp_path, 7)
    other = tmp_path / "letter.sqlite"
    other.write_text("Dear conductor, " * 500)
    with pytest.raises(DiaryTrouble, match="damaged and cannot be read"):
        restore(tmp_path, other, DAY)
    assert days_in(tmp_path) == [7]


def test_a_database_of_something_else_is_refused(tmp_path: Path) -> None:
    connection = sqlite3.connect(tmp_path / "other.sqlite")
    connection.execute("CREATE TABLE recipe (name TEXT)")
    connection.commit()
    connection.close()
    with pytest.raises(DiaryTrouble, match="is damaged and cannot be read"):
        restore(tmp_path, tmp_path / "other.sqlite", DAY)


def test_a_half_copied_backup_is_refused(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(combination=f"x/a/{number}") for number in range(500)], "rate")
    copy = by_hand(tmp_path, DAY)
    raw = copy.read_bytes()
    copy.write_bytes(raw[: len(raw) // 2])
    with pytest.raises(DiaryTrouble, match="damaged"):
        restore(tmp_path, copy, DAY)
    assert len(days_in(tmp_path)) == 500


def test_a_diary_past_reading_is_moved_aside_by_a_restore(tmp_path: Path) -> None:
    store(tmp_path, 7)
    copy = by_hand(tmp_path, DAY)
    (tmp_path / "diary.sqlite").write_bytes(b"overwritten by a sync program " * 300)
    kept = restore(tmp_path, copy, DAY)
    assert kept is not None
    assert kept.read_bytes().startswith(b"overwritten")
    assert days_in(tmp_path) == [7]


def test_a_held_diary_is_not_restored_over(tmp_path: Path) -> None:
    store(tmp_path, 7)
    copy = by_hand(tmp_path, DAY)
    store(tmp_path, 8)
    holder = sqlite3.connect(tmp_path / "diary.sqlite", isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    with pytest.raises(Busy, match="another program holds the diary"):
        restore(tmp_path, copy, DAY, busy_seconds=0.1)
    holder.close()
    assert days_in(tmp_path) == [7, 8]


def test_a_copy_is_found_by_its_day(tmp_path: Path) -> None:
    store(tmp_path, 6)
    store(tmp_path, 7, today=DAY)
    assert find(tmp_path, "2026-09-07").name == "2026-09-07.sqlite"


def test_a_copy_that_is_not_there_names_those_that_are(tmp_path: Path) -> None:
    store(tmp_path, 7)
    by_hand(tmp_path, DAY)
    with pytest.raises(NoInput, match="there is no backup 'monday'") as told:
        find(tmp_path, "monday")
    assert told.value.hint == "there are: 2026-09-07-by-hand-1"
