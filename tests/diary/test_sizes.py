from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from planner.diary import sizes
from planner.diary.sizes import sizes_file, take_back, take_sizes, taken_sizes
from planner.errors import CannotWrite, DiaryTrouble

DAY = date(2026, 9, 7)
SOME = {"key": 2.5, "fresh": 1.25}


def take(folder: Path, found: dict[str, float] | None, after: str = "a") -> None:
    take_sizes(folder, "ada", found, day=DAY, after=after, ratings=212)


def test_nobody_has_sizes_of_their_own_at_first(tmp_path: Path) -> None:
    assert taken_sizes(tmp_path, "ada") is None


def test_sizes_that_were_taken_hold(tmp_path: Path) -> None:
    take(tmp_path, SOME)
    assert taken_sizes(tmp_path, "ada") == SOME


def test_sizes_hold_for_one_player_only(tmp_path: Path) -> None:
    take(tmp_path, SOME)
    assert taken_sizes(tmp_path, "bo") is None


def test_the_usual_ones_can_be_taken_again(tmp_path: Path) -> None:
    take(tmp_path, SOME)
    take(tmp_path, None)
    assert taken_sizes(tmp_path, "ada") is None


def test_the_last_step_can_be_taken_back(tmp_path: Path) -> None:
    take(tmp_path, SOME)
    take(tmp_path, None)
    assert take_back(tmp_path, "ada", "a") == "the usual sizes of 2026-09-07"
    assert taken_sizes(tmp_path, "ada") == SOME


def test_taking_back_says_what_it_was(tmp_path: Path) -> None:
    take(tmp_path, SOME)
    assert take_back(tmp_path, "ada", "a") == "the sizes fitted to 212 ratings on 2026-09-07"


def test_what_was_rated_since_comes_first(tmp_path: Path) -> None:
    take(tmp_path, SOME, after="before")
    assert take_back(tmp_path, "ada", "after") == ""
    assert taken_sizes(tmp_path, "ada") == SOME


def test_without_a_step_there_is_nothing_to_take_back(tmp_path: Path) -> None:
    assert take_back(tmp_path, "ada", "a") == ""


@pytest.mark.parametrize("place", [3, 40, 120, -2])
def test_a_changed_byte_is_found(tmp_path: Path, place: int) -> None:
    take(tmp_path, SOME)
    path = sizes_file(tmp_path, "ada")
    text = bytearray(path.read_bytes())
    text[place] ^= 1
    path.write_bytes(text)
    with pytest.raises(DiaryTrouble, match="damaged"):
        taken_sizes(tmp_path, "ada")


def test_a_damaged_file_stops_nobody_from_going_back(tmp_path: Path) -> None:
    sizes_file(tmp_path, "ada").parent.mkdir()
    sizes_file(tmp_path, "ada").write_text("{}")
    take(tmp_path, None)
    assert taken_sizes(tmp_path, "ada") is None


def test_a_step_that_cannot_be_written_leaves_the_old_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    take(tmp_path, SOME)

    def full(*_: object) -> None:
        raise CannotWrite("the disk is full")

    monkeypatch.setattr(sizes, "write_whole", full)
    with pytest.raises(CannotWrite, match="full"):
        take(tmp_path, None)
    assert taken_sizes(tmp_path, "ada") == SOME
