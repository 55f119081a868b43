"""What was told, and what is pinned, goes into every copy of the diary and comes back with it."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from diary.some_ratings import rating

from planner.diary.backup import KEPT, by_hand, daily, restore
from planner.diary.pins import Pin, change_pins, pins, pins_file, undo_pins
from planner.diary.store import Diary
from planner.diary.told import Stretch, Telling, take_back, tell, tellings
from planner.diary.told_copies import beside
from planner.errors import DiaryTrouble

DAY = date(2026, 10, 12)
TELLING = Telling(DAY, 1, (Stretch("missed", date(2026, 10, 5), date(2026, 10, 11)),))
PIN, OTHER = Pin(DAY, "scales/a/d-major"), Pin(DAY, "scales/a/e-major")


def missed_beside(copy: Path) -> Path:
    """The file of missed stretches beside a copy."""
    return beside(copy)[0]


def pins_beside(copy: Path) -> Path:
    """The file of pins beside a copy."""
    return beside(copy)[1]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A diary with one rating and one missed week told."""
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=7)], "rate")
    tell(tmp_path, "anna", TELLING)
    return tmp_path


def test_a_copy_by_hand_has_what_was_told_beside_it(folder: Path) -> None:
    assert missed_beside(by_hand(folder, DAY)).is_file()


def test_the_copy_of_the_day_has_it_too(folder: Path) -> None:
    copy = daily(folder, DAY)
    assert copy is not None
    assert missed_beside(copy).is_file()


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
    missed_beside(copy).unlink()
    restore(folder, copy, DAY)
    assert tellings(folder, "anna") == (TELLING,)


def test_a_damaged_copy_is_named(folder: Path) -> None:
    copy = by_hand(folder, DAY)
    missed_beside(copy).write_text("{", encoding="utf-8")
    with pytest.raises(DiaryTrouble, match=r"missed\.json is damaged"):
        restore(folder, copy, DAY)


def test_without_anything_told_a_copy_stands_alone(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=7)], "rate")
    assert not missed_beside(by_hand(tmp_path, DAY)).exists()


# --- pins


def test_restoring_a_copy_brings_the_pins_back(folder: Path) -> None:
    change_pins(folder, "anna", pinned=(PIN,), after_batch=1)
    copy = by_hand(folder, DAY)
    undo_pins(folder, "anna", 0)
    change_pins(folder, "anna", pinned=(OTHER,), after_batch=1)
    restore(folder, copy, DAY)
    assert pins(folder, "anna") == (PIN,)


def test_the_copy_of_the_day_has_the_pins_of_every_player(folder: Path) -> None:
    for player in ("anna", "ben"):
        change_pins(folder, player, pinned=(PIN,))
    copy = daily(folder, DAY)
    assert copy is not None
    for player in ("anna", "ben"):
        pins_file(folder, player).unlink()
    restore(folder, copy, DAY)
    assert [pins(folder, player) for player in ("anna", "ben")] == [(PIN,), (PIN,)]


def test_what_a_restore_replaces_keeps_its_pins_too(folder: Path) -> None:
    copy = by_hand(folder, DAY)
    change_pins(folder, "anna", pinned=(PIN,))
    kept = restore(folder, copy, DAY)
    assert kept is not None
    assert pins_beside(kept).is_file()


def test_a_copy_from_before_any_pin_leaves_the_pins_of_now(folder: Path) -> None:
    copy = by_hand(folder, DAY)
    change_pins(folder, "anna", pinned=(PIN,))
    restore(folder, copy, DAY)
    assert pins(folder, "anna") == (PIN,)


def test_a_damaged_copy_of_pins_is_named(folder: Path) -> None:
    change_pins(folder, "anna", pinned=(PIN,))
    copy = by_hand(folder, DAY)
    pins_beside(copy).write_text('{"format": "planner.pins-copy/1"}', encoding="utf-8")
    with pytest.raises(DiaryTrouble, match=r"pins\.json is damaged"):
        restore(folder, copy, DAY)


def test_bytes_that_are_no_text_do_not_keep_a_copy_from_being_made(folder: Path) -> None:
    change_pins(folder, "anna", pinned=(PIN,))
    pins_file(folder, "anna").write_bytes(b"\xff\x00damaged")
    copy = by_hand(folder, DAY)
    pins_file(folder, "anna").unlink()
    restore(folder, copy, DAY)
    assert pins_file(folder, "anna").read_bytes() == b"\xff\x00damaged"


def test_an_old_copy_takes_its_pins_along_when_it_goes(folder: Path) -> None:
    change_pins(folder, "anna", pinned=(PIN,))
    copies = [daily(folder, DAY + timedelta(days=n)) for n in range(KEPT + 1)]
    assert copies[0] is not None
    assert not pins_beside(copies[0]).exists()
