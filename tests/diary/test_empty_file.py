"""An empty diary file is damage, never a new diary: what was in it has to be put back, not written over."""

from __future__ import annotations

import signal
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from diary.some_ratings import rating

from planner.diary.backup import by_hand, restore
from planner.diary.digest import diary_anchor, diary_digest
from planner.diary.store import Diary
from planner.errors import DiaryTrouble

DAY = date(2026, 9, 8)
ROOT = Path(__file__).resolve().parents[2]

# Stops at the first statement that would make a table in a new diary, as a kill would.
KILLED = """
import os, signal, sys
from datetime import date
from pathlib import Path
from planner.diary import migrations
from planner.diary.rating import Rating
from planner.diary.store import Diary

migrations.bring_up = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
with Diary.open(Path(sys.argv[1])) as diary:
    diary.add("anna", [Rating(date(2026, 9, 7), "x/a/1", "slurred", 96, None, 4, None)], "rate")
"""


@pytest.fixture
def emptied(tmp_path: Path) -> Path:
    """A folder whose diary has become a file of no bytes, with one copy from before."""
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=7)], "rate")
    by_hand(tmp_path, DAY)
    (tmp_path / "diary.sqlite").write_bytes(b"")
    return tmp_path


def test_an_empty_file_is_read_as_damage(emptied: Path) -> None:
    with Diary.open(emptied) as diary, pytest.raises(DiaryTrouble, match="damaged: the file is empty"):
        diary.ratings("anna")


def test_the_short_road_refuses_it_too(emptied: Path) -> None:
    for read in (diary_digest, diary_anchor):
        with pytest.raises(DiaryTrouble, match="damaged: the file is empty"):
            read(emptied, "anna")


def test_nothing_is_written_into_an_empty_file(emptied: Path) -> None:
    with Diary.open(emptied, DAY) as diary, pytest.raises(DiaryTrouble, match="damaged: the file is empty"):
        diary.add("anna", [rating(day=8)], "rate")
    assert (emptied / "diary.sqlite").read_bytes() == b""


def test_the_newest_copy_is_named(emptied: Path) -> None:
    with pytest.raises(DiaryTrouble, match="damaged") as told:
        diary_digest(emptied, "anna")
    assert told.value.hint == "planner diary restore 2026-09-08-by-hand-1 puts the newest copy in its place"


def test_the_copy_can_be_put_in_its_place(emptied: Path) -> None:
    (copy,) = (emptied / "backups").glob("*.sqlite")
    restore(emptied, copy, DAY)
    with Diary.open(emptied) as diary:
        assert diary.ratings("anna") == (rating(day=7),)


def test_without_copies_it_says_how_to_begin_again(tmp_path: Path) -> None:
    (tmp_path / "diary.sqlite").write_bytes(b"")
    with pytest.raises(DiaryTrouble, match="damaged") as told:
        diary_digest(tmp_path, "anna")
    assert told.value.hint.startswith("there are no copies: move this file away")


def test_a_writer_killed_at_its_first_word_leaves_no_empty_file(tmp_path: Path) -> None:
    done = subprocess.run([sys.executable, "-c", KILLED, str(tmp_path)], cwd=ROOT, check=False)
    assert done.returncode == -signal.SIGKILL
    assert not (tmp_path / "diary.sqlite").exists()
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(day=8)], "rate")
        assert diary.ratings("anna") == (rating(day=8),)
