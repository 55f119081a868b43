"""What happened, from the player's own file until the diary begins, then from the diary alone."""

from __future__ import annotations

import sqlite3
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from diary.some_ratings import FIVES, MONDAY, rating

from planner.diary.history import history, read_history, record
from planner.diary.store import Diary
from planner.errors import BadData, NoInput

HEADING = "day,combination,articulation,tempo,clean,grade,value"


@pytest.fixture
def player(tmp_path: Path) -> Any:
    """A player with one earlier rating, 12 days before the Monday."""
    (tmp_path / "earlier.csv").write_text(f"{HEADING}\n-12,{FIVES},slurred,96,,4,\n")
    return SimpleNamespace(id="anna", history=str(tmp_path / "earlier.csv"))


def test_an_earlier_history_counts_from_the_monday(player: Any, tmp_path: Path) -> None:
    # 12 days before Monday 7 September is 26 August; before Monday 14 September 2 September
    days = [history(tmp_path / "diary", player, monday)[0].day for monday in (MONDAY, date(2026, 9, 14))]
    assert days == [date(2026, 8, 26), date(2026, 9, 2)]


def test_a_player_without_history_or_diary_has_no_ratings(tmp_path: Path) -> None:
    assert history(tmp_path, SimpleNamespace(id="anna", history=""), MONDAY) == ()


def test_the_later_line_of_a_history_holds(tmp_path: Path) -> None:
    path = tmp_path / "earlier.csv"
    path.write_text(f"{HEADING}\n-1,{FIVES},slurred,96,,2,\n-1,{FIVES},slurred,96,,5,\n")
    assert read_history(path, MONDAY) == (rating(day=6, grade=5),)


def test_the_first_own_rating_moves_the_history_in(player: Any, tmp_path: Path) -> None:
    folder = tmp_path / "diary"
    record(folder, player, [rating()], "rate", monday=MONDAY, today=MONDAY)
    Path(player.history).unlink()
    assert [one.day for one in history(folder, player, MONDAY)] == [date(2026, 8, 26), date(2026, 9, 7)]


def test_a_history_that_moved_in_keeps_its_days(player: Any, tmp_path: Path) -> None:
    folder = tmp_path / "diary"
    record(folder, player, [rating()], "rate", monday=MONDAY, today=MONDAY)
    later = history(folder, player, date(2026, 10, 5))
    assert [one.day for one in later] == [date(2026, 8, 26), date(2026, 9, 7)]


def test_undo_of_the_first_rating_leaves_the_file_of_earlier_ones(player: Any, tmp_path: Path) -> None:
    folder = tmp_path / "diary"
    before = history(folder, player, MONDAY)
    record(folder, player, [rating()], "rate", monday=MONDAY, today=MONDAY)
    with Diary.open(folder) as diary:
        diary.undo("anna")
    assert history(folder, player, MONDAY) == before


def test_a_damaged_row_is_told_while_the_rest_is_used(player: Any, tmp_path: Path) -> None:
    record(tmp_path, player, [rating(), rating(day=8)], "rate", monday=MONDAY, today=MONDAY)
    connection = sqlite3.connect(tmp_path / "diary.sqlite")
    connection.execute("UPDATE rating SET grade = 1 WHERE day = '2026-09-08'")
    connection.commit()
    connection.close()
    told: list[str] = []
    found = history(tmp_path, player, MONDAY, warn=told.append)
    assert [one.day for one in found] == [date(2026, 8, 26), date(2026, 9, 7)]
    assert told == [f"row 3 of the diary (2026-09-08, {FIVES}) is damaged and left out"]


def test_a_warning_goes_to_standard_error(
    player: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record(tmp_path, player, [rating()], "rate", monday=MONDAY, today=MONDAY)
    connection = sqlite3.connect(tmp_path / "diary.sqlite")
    connection.execute("DELETE FROM rating WHERE day = '2026-09-07'")
    connection.commit()
    connection.close()
    history(tmp_path, player, MONDAY)
    printed = capsys.readouterr()
    assert (printed.out, printed.err) == ("", "1 of the 1 ratings of entry 2 of the diary are gone\n")


def test_a_faulty_history_stores_nothing(player: Any, tmp_path: Path) -> None:
    Path(player.history).write_text(f"{HEADING}\n-12,{FIVES},slurred,96,,9,\n")
    with pytest.raises(BadData, match=r"earlier\.csv:2:39: the grade '9'"):
        record(tmp_path / "diary", player, [rating()], "rate", monday=MONDAY, today=MONDAY)
    assert not (tmp_path / "diary").exists()


def test_a_history_that_is_gone_is_no_input(player: Any, tmp_path: Path) -> None:
    Path(player.history).unlink()
    with pytest.raises(NoInput, match="there is no file"):
        history(tmp_path, player, MONDAY)
