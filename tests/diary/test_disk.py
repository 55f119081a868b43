"""A full disk and folders that may only be read: one line, and nothing lost."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from diary.some_ratings import rating

from planner.diary import backup, files, plans
from planner.diary.digest import diary_digest
from planner.diary.store import Diary
from planner.errors import CannotWrite, DiaryTrouble

ROOT = Path(__file__).resolve().parents[2]
NOBODY = 65534

MANY = [rating(combination=f"x/a/{number}") for number in range(3000)]

# The writer may make no file longer than the limit: as on a full disk, a write fails in the middle.
LIMITED_WRITER = """
import resource, signal, sys
from datetime import date
from pathlib import Path
from planner.diary.rating import Rating
from planner.diary.store import Diary
from planner.errors import PlannerError

signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), int(sys.argv[2])))
with Diary.open(Path(sys.argv[1])) as diary:
    for number in range(400):
        try:
            one = Rating(date(2026, 9, 7), f"x/a/{number}", "slurred", 96, None, 4, None)
            diary.add("anna", [one], "rate")
        except PlannerError as error:
            print(type(error).__name__, len(error.lines()))
            break
        print("stored", number)
"""


@contextmanager
def read_only_folder() -> Iterator[Path]:
    """A folder with a diary in which nothing may be written, also where the tests run as root."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with Diary.open(folder) as diary:
            diary.add("anna", [rating()], "rate")
        folder.chmod(0o555)
        (folder / "diary.sqlite").chmod(0o444)
        user = os.geteuid()
        if user == 0:
            os.seteuid(NOBODY)
        try:
            yield folder
        finally:
            os.seteuid(user)
            folder.chmod(0o755)


def test_writing_into_a_read_only_folder_is_one_line() -> None:
    with (
        read_only_folder() as folder,
        Diary.open(folder) as diary,
        pytest.raises(CannotWrite, match=r"the diary .* cannot be reached: permission denied") as told,
    ):
        diary.add("anna", [rating(day=8)], "rate")
    assert len(told.value.lines()) == 1


def test_a_diary_in_a_read_only_folder_can_be_read() -> None:
    with read_only_folder() as folder, Diary.open(folder) as diary:
        assert diary.ratings("anna") == (rating(),)
        assert diary.digest("anna") == diary_digest(folder, "anna")


def test_copies_that_cannot_be_listed_are_said_in_one_line() -> None:
    with read_only_folder() as folder:
        user = os.geteuid()
        os.seteuid(os.getuid())
        folder.chmod(0o755)
        (folder / "backups").mkdir(mode=0o000)
        os.seteuid(user)
        with pytest.raises(DiaryTrouble, match=r"the backups in .* cannot be read: permission denied"):
            backup.backups(folder)
        os.seteuid(os.getuid())
        (folder / "backups").rmdir()


def test_saving_a_plan_into_a_read_only_folder_is_one_line() -> None:
    plan = {"first_day": "2026-09-07", "last_day": "2026-09-13"}
    with read_only_folder() as folder, pytest.raises(CannotWrite, match="cannot be made: permission denied"):
        plans.save_plan(folder, "anna", plan)


def test_a_database_that_cannot_grow_keeps_what_it_had(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate")
        with diary._file.writing() as connection:
            connection.exec_driver_sql("PRAGMA max_page_count = 12")
        # SQLite answers SQLITE_FULL here, as it does when the disk has no room
        with pytest.raises(DiaryTrouble, match="the disk is full; nothing was stored") as told:
            diary.add("anna", MANY, "rate")
        assert len(told.value.lines()) == 1
        assert diary.ratings("anna") == (rating(),)


def test_nothing_told_as_stored_is_lost_when_files_cannot_grow(tmp_path: Path) -> None:
    command = [sys.executable, "-c", LIMITED_WRITER, str(tmp_path), str(256 * 1024)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    *stored, last = done.stdout.splitlines()
    assert last == "DiaryTrouble 1"
    with Diary.open(tmp_path) as diary:
        there = {one.combination for one in diary.ratings("anna")}
        assert diary.damaged == ()
    assert {f"x/a/{line.split()[1]}" for line in stored} <= there


def test_a_plan_that_cannot_be_written_leaves_the_old_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "plan.json"
    files.write_whole(path, "the old plan")

    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(CannotWrite, match="no space left on device"):
        files.write_whole(path, "the new plan")
    assert path.read_text() == "the old plan"
    assert [one.name for one in tmp_path.iterdir()] == ["plan.json"]


def test_a_file_is_synced_before_and_its_folder_after_the_rename(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    steps: list[str] = []
    sync, rename = os.fsync, Path.replace

    def synced(handle: int) -> None:
        steps.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file")
        sync(handle)

    def renamed(path: Path, target: Path) -> Path:
        steps.append("rename")
        return rename(path, target)

    monkeypatch.setattr(os, "fsync", synced)
    monkeypatch.setattr(Path, "replace", renamed)
    files.write_whole(tmp_path / "plan.json", "a plan")
    assert steps == ["file", "rename", "folder"]


def test_ctrl_c_while_a_file_is_written_leaves_nothing_lying_about(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(_: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", stopped)
    with pytest.raises(KeyboardInterrupt, match=r"^$"):
        files.write_whole(tmp_path / "plan.json", "{}")
    assert list(tmp_path.iterdir()) == []
