"""The diary itself: batches, undo, damage, the daily copy, what goes wrong."""

from __future__ import annotations

import sqlite3
from datetime import date
from pathlib import Path

import pytest
from diary.some_ratings import FIVES, MONDAY, rating

from planner.diary.digest import diary_anchor, diary_digest
from planner.diary.store import Diary
from planner.errors import Busy, CannotWrite, DiaryTrouble

EARLIER = (rating(day=1, grade=2), rating(day=2, combination="x/a/1-2-3"))


def change(folder: Path, statement: str) -> None:
    """Changes the file behind the program's back."""
    connection = sqlite3.connect(folder / "diary.sqlite")
    connection.execute(statement)
    connection.commit()
    connection.close()


def test_a_stored_rating_comes_back_as_it_was(tmp_path: Path) -> None:
    given = rating(value=14.5, clean=108, limited=True, at=660)
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [given], "rate")
        assert diary.ratings("anna") == (given,)


def test_a_negative_zero_is_stored_as_zero(tmp_path: Path) -> None:
    # a column of SQLite keeps 0.0 but no sign for it
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(value=-0.0)], "rate")
        assert diary.ratings("anna") == (rating(value=0.0),)
        assert diary.damaged == ()


def test_what_is_stored_is_there_when_opened_again(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate")
    with Diary.open(tmp_path) as diary:
        assert diary.ratings("anna") == (rating(),)


def test_reading_a_diary_that_is_not_there_makes_no_file(tmp_path: Path) -> None:
    with Diary.open(tmp_path / "new") as diary:
        assert diary.ratings("anna") == ()
        assert diary.anchor("anna") is None
        assert diary.undo("anna") == ""
    assert list(tmp_path.iterdir()) == []


def test_storing_no_ratings_makes_no_batch(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        assert diary.add("anna", [], "rate") == 0
    assert list(tmp_path.iterdir()) == []


def test_players_in_one_diary_are_kept_apart(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(grade=5)], "rate")
        diary.add("ben", [rating(grade=1)], "rate")
        assert diary.ratings("anna") == (rating(grade=5),)


def test_one_impossible_rating_keeps_the_whole_batch_out(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        with pytest.raises(ValueError, match="the grade 9 is not 1 to 5"):
            diary.add("anna", [rating(), rating(day=8, grade=9)], "rate")
        assert diary.ratings("anna") == ()


def test_unseen_characters_do_not_get_into_the_diary(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("an\x1bna", [rating(combination="x/\u202ea/1\x07")], "rate\n")
        assert diary.ratings("anna") == (rating(combination="x/a/1"),)


def test_undo_takes_back_the_last_batch_alone(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate")
        diary.add("anna", [rating(day=8), rating(day=9)], "import old.csv")
        assert diary.undo("anna") == "2 ratings of 2026-09-08 to 2026-09-09 (import old.csv)"
        assert diary.ratings("anna") == (rating(),)


def test_undo_leaves_the_batches_of_others(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate")
        diary.add("ben", [rating()], "rate")
        diary.undo("anna")
        assert diary.ratings("ben") == (rating(),)


def test_undo_again_takes_back_the_batch_before(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate")
        diary.add("anna", [rating(day=8)], "rate")
        diary.undo("anna")
        assert diary.undo("anna") == "1 rating of 2026-09-07 (rate)"
        assert diary.undo("anna") == ""


def test_rows_taken_back_stay_in_the_file(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate")
        diary.undo("anna")
    with sqlite3.connect(tmp_path / "diary.sqlite") as connection:
        assert connection.execute("SELECT combination, undone FROM rating").fetchall() == [(FIVES, 1)]
    connection.close()


def test_the_digest_after_undo_is_the_one_before(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate")
        before = diary.digest("anna")
        diary.add("anna", [rating(grade=1)], "rate")
        changed = diary.digest("anna")
        diary.undo("anna")
        assert diary.digest("anna") == before != changed


def test_the_short_road_gives_the_same_digest(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(), rating(day=8, value=0.1)], "rate")
        diary.add("ben", [rating(day=9)], "rate")
        diary.add("anna", [rating(grade=2)], "rate")
        assert diary.digest("anna") == diary_digest(tmp_path, "anna")


def test_the_short_road_of_no_diary_is_the_digest_of_nothing(tmp_path: Path) -> None:
    assert diary_digest(tmp_path, "anna") == Diary.open(tmp_path).digest("anna")


def test_earlier_ratings_move_in_with_the_first_batch(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=8)], "rate", earlier=EARLIER, anchor=MONDAY)
        assert diary.ratings("anna") == (*EARLIER, rating(day=8))
        assert diary.anchor("anna") == diary_anchor(tmp_path, "anna") == MONDAY


def test_earlier_ratings_move_in_only_once(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=8)], "rate", earlier=EARLIER, anchor=MONDAY)
        diary.add("anna", [rating(day=9)], "rate", earlier=[rating(day=3)], anchor=date(2026, 9, 14))
        assert diary.ratings("anna") == (*EARLIER, rating(day=8), rating(day=9))
        assert diary.anchor("anna") == MONDAY


def test_undo_of_the_first_batch_empties_the_diary_of_a_player(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=8)], "rate", earlier=EARLIER, anchor=MONDAY)
        diary.undo("anna")
        assert diary.ratings("anna") == ()
        assert diary.anchor("anna") is None


def test_undo_of_the_second_batch_keeps_the_earlier_ratings(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=8)], "rate", earlier=EARLIER, anchor=MONDAY)
        diary.add("anna", [rating(day=9)], "rate")
        diary.undo("anna")
        assert diary.ratings("anna") == (*EARLIER, rating(day=8))


def test_a_damaged_row_is_named_and_the_rest_is_used(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=7), rating(day=8)], "rate")
    change(tmp_path, "UPDATE rating SET grade = 1 WHERE number = 2")
    with Diary.open(tmp_path) as diary:
        assert diary.ratings("anna") == (rating(day=7),)
        assert diary.damaged == (f"row 2 of the diary (2026-09-08, {FIVES}) is damaged and left out",)


def test_a_row_whose_player_is_damaged_is_still_named(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=7), rating(day=8)], "rate")
    change(tmp_path, "UPDATE rating SET player = 'anma' WHERE number = 1")
    with Diary.open(tmp_path) as diary:
        assert diary.ratings("anna") == (rating(day=8),)
        assert diary.damaged == (f"row 1 of the diary (2026-09-07, {FIVES}) is damaged and left out",)


def test_bytes_that_are_no_text_damage_their_row_alone(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=7), rating(day=8)], "rate")
    change(tmp_path, "UPDATE rating SET combination = CAST(X'FFFE00' AS TEXT) WHERE number = 1")
    with Diary.open(tmp_path) as diary:
        assert diary.ratings("anna") == (rating(day=8),)
    assert diary.digest("anna") == diary_digest(tmp_path, "anna")


def test_a_row_that_is_gone_is_noticed(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=7), rating(day=8)], "rate")
    change(tmp_path, "DELETE FROM rating WHERE number = 1")
    with Diary.open(tmp_path) as diary:
        diary.ratings("anna")
        assert diary.damaged == ("1 of the 2 ratings of entry 1 of the diary are gone",)


def test_a_damaged_anchor_is_named_and_left_out(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate", anchor=MONDAY)
    change(tmp_path, "UPDATE anchor SET monday = '2026-09-17'")
    with Diary.open(tmp_path) as diary:
        assert diary.anchor("anna") is None
        assert diary.damaged == ("the Monday stored for anna is damaged and left out",)


def test_a_held_diary_is_busy_and_loses_nothing(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate")
    holder = sqlite3.connect(tmp_path / "diary.sqlite", isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    with Diary.open(tmp_path, busy_seconds=0.05) as diary:
        with pytest.raises(Busy, match="another program holds the diary"):
            diary.add("anna", [rating(day=8)], "rate")
        assert diary.ratings("anna") == (rating(),)
    holder.close()


def test_a_file_that_is_no_diary_is_said_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "diary.sqlite").write_text("not a database, and long enough to be read as one" * 40)
    with (
        Diary.open(tmp_path) as diary,
        pytest.raises(DiaryTrouble, match="is damaged and cannot be read") as told,
    ):
        diary.ratings("anna")
    assert told.value.hint.startswith("there are no copies: move this file away")


def test_a_diary_of_a_newer_planner_is_not_touched(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate")
    change(tmp_path, "UPDATE schema_version SET version = 99")
    with Diary.open(tmp_path) as diary, pytest.raises(DiaryTrouble, match=r"newer planner \(version 99"):
        diary.add("anna", [rating()], "rate")
    with pytest.raises(DiaryTrouble, match=r"newer planner \(version 99"):
        diary_digest(tmp_path, "anna")


def test_a_folder_that_cannot_be_made_is_said_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with (
        Diary.open(tmp_path / "file" / "folder") as diary,
        pytest.raises(CannotWrite, match="cannot be made"),
    ):
        diary.add("anna", [rating()], "rate")


def test_a_diary_is_readable_by_its_owner_alone(tmp_path: Path) -> None:
    with Diary.open(tmp_path / "new") as diary:
        diary.add("anna", [rating()], "rate")
    assert (tmp_path / "new" / "diary.sqlite").stat().st_mode & 0o077 == 0


def test_every_connection_is_synced_in_full(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate")
        with diary._file.writing() as connection:
            settings = {
                name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
                for name in ("journal_mode", "synchronous", "foreign_keys")
            }
    # sqlite.org, pragma synchronous: 2 is FULL
    assert settings == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}


def test_the_short_road_may_count_earlier_days_alone(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=7)], "rate")
        before = diary.digest("anna")
        diary.add("anna", [rating(day=8)], "rate")
    assert diary_digest(tmp_path, "anna", before=date(2026, 9, 8)) == before != diary_digest(tmp_path, "anna")
