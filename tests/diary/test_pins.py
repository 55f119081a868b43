"""Pins in their file: what stands after every step, what undo takes back, what damage does."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from planner.diary.pins import Pin, change_pins, pins, pins_file, undo_pins
from planner.errors import CannotWrite

WEDNESDAY, THURSDAY = date(2026, 9, 9), date(2026, 9, 10)
STAIRS, FIVES = Pin(WEDNESDAY, "stairs/up/c-major"), Pin(THURSDAY, "fives/a/3-4-5")


def test_without_a_file_nothing_is_pinned(tmp_path: Path) -> None:
    assert pins(tmp_path, "mara") == ()


def test_reading_pins_makes_no_file(tmp_path: Path) -> None:
    pins(tmp_path, "mara")
    assert list(tmp_path.iterdir()) == []


def test_pins_stand_by_day(tmp_path: Path) -> None:
    change_pins(tmp_path, "mara", pinned=[FIVES])
    change_pins(tmp_path, "mara", pinned=[STAIRS])
    assert pins(tmp_path, "mara") == (STAIRS, FIVES)


def test_a_pin_taken_away_stands_no_more(tmp_path: Path) -> None:
    change_pins(tmp_path, "mara", pinned=[FIVES, STAIRS])
    change_pins(tmp_path, "mara", taken_away=[FIVES])
    assert pins(tmp_path, "mara") == (STAIRS,)


def test_a_pin_taken_away_may_be_set_again(tmp_path: Path) -> None:
    change_pins(tmp_path, "mara", pinned=[FIVES])
    change_pins(tmp_path, "mara", taken_away=[FIVES])
    change_pins(tmp_path, "mara", pinned=[FIVES])
    assert pins(tmp_path, "mara") == (FIVES,)


def test_every_player_has_pins_of_their_own(tmp_path: Path) -> None:
    change_pins(tmp_path, "mara", pinned=[FIVES])
    assert pins(tmp_path, "../mara") == ()


def test_undo_takes_the_last_step_back(tmp_path: Path) -> None:
    change_pins(tmp_path, "mara", pinned=[FIVES])
    change_pins(tmp_path, "mara", pinned=[STAIRS])
    assert undo_pins(tmp_path, "mara", 0) == "the pin of stairs/up/c-major on 2026-09-09"
    assert pins(tmp_path, "mara") == (FIVES,)


def test_undo_of_a_pin_taken_away_brings_it_back(tmp_path: Path) -> None:
    change_pins(tmp_path, "mara", pinned=[FIVES])
    change_pins(tmp_path, "mara", taken_away=[FIVES])
    assert undo_pins(tmp_path, "mara", 0) == "the unpinning of fives/a/3-4-5 on 2026-09-10"
    assert pins(tmp_path, "mara") == (FIVES,)


def test_undo_goes_back_to_the_first_step_and_no_further(tmp_path: Path) -> None:
    change_pins(tmp_path, "mara", pinned=[FIVES])
    change_pins(tmp_path, "mara", pinned=[STAIRS])
    told = [undo_pins(tmp_path, "mara", 0) for _ in range(3)]
    assert told[2] == ""
    assert pins(tmp_path, "mara") == ()


def test_ratings_written_after_a_pin_are_undone_before_it(tmp_path: Path) -> None:
    # Batch 4 was the last when the pin was set; 5 came after it.
    change_pins(tmp_path, "mara", pinned=[FIVES], after_batch=4)
    assert undo_pins(tmp_path, "mara", 5) == ""
    assert undo_pins(tmp_path, "mara", 4) != ""


def test_a_step_that_is_undone_stays_in_the_file(tmp_path: Path) -> None:
    change_pins(tmp_path, "mara", pinned=[FIVES])
    undo_pins(tmp_path, "mara", 0)
    assert "fives/a/3-4-5" in pins_file(tmp_path, "mara").read_text(encoding="utf-8")


@pytest.mark.parametrize("damage", [lambda text: text[:-9], lambda text: text.replace("2026", "2027")])
def test_a_damaged_file_is_named_and_holds_no_pins(tmp_path: Path, damage: object) -> None:
    change_pins(tmp_path, "mara", pinned=[FIVES])
    path = pins_file(tmp_path, "mara")
    path.write_text(damage(path.read_text(encoding="utf-8")), encoding="utf-8")  # type: ignore[operator]
    told: list[str] = []
    assert pins(tmp_path, "mara", told.append) == ()
    assert [line.partition(" are ")[2] for line in told] == [
        "damaged and left out (pin again what should stay)"
    ]


def test_a_damaged_file_is_put_aside_before_it_is_written_again(tmp_path: Path) -> None:
    path = pins_file(tmp_path, "mara")
    path.parent.mkdir()
    path.write_text("half", encoding="utf-8")
    change_pins(tmp_path, "mara", pinned=[FIVES])
    assert (path.parent / "mara-1.damaged").read_text(encoding="utf-8") == "half"
    assert pins(tmp_path, "mara") == (FIVES,)


def test_a_pin_that_cannot_be_written_leaves_the_old_ones(tmp_path: Path) -> None:
    (tmp_path / "pins").write_text("a file where the folder belongs", encoding="utf-8")
    with pytest.raises(CannotWrite, match="pins cannot be made"):
        change_pins(tmp_path, "mara", pinned=[FIVES])
