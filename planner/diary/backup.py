"""Copies of a diary, dated: one a day by itself before the first change, more by hand, and the way back.

    <folder>/backups/2026-09-07.sqlite                      by itself; the last `KEPT` stay
    <folder>/backups/2026-09-07-by-hand-1.sqlite            planner diary backup
    <folder>/backups/2026-09-07-before-restore-1.sqlite     what a restore has replaced
    <folder>/backups/2026-09-07.missed.json                 beside each: what was told of missed stretches
    <folder>/backups/2026-09-07.pins.json                   beside each: the pins

Copies are made through SQLite's own backup, so that they are whole also while others write. A copy
holds every player of the folder. Standard library only.
"""

from __future__ import annotations

import os
import re
import sqlite3
import tempfile
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

from planner.diary.digest import connect_to_read, version_of
from planner.diary.files import COPIES, DIARY_FILE, give_name, make_folder, reason
from planner.diary.told_copies import beside, copy_told, restore_told
from planner.diary.trouble import holds_something, in_words
from planner.errors import Busy, CannotWrite, DiaryTrouble, NoInput, PlannerError

KEPT = 14
"""Copies made by themselves that are kept, the newest."""

_COPY = re.compile(r"[^.].*\.sqlite")
_BY_ITSELF = re.compile(r"\d{4}-\d\d-\d\d\.sqlite")
_BESIDE = ("-wal", "-shm", "-journal")


def daily(folder: Path, today: date) -> Path | None:
    """The copy of the day; None where there is nothing to copy or today's copy stands already."""
    path = backup_folder(folder) / f"{today.isoformat()}.sqlite"
    if path.exists() or not holds_something(folder / DIARY_FILE):
        return None
    made = _copy(folder / DIARY_FILE, path)
    for old in _by_itself(folder)[:-KEPT]:
        old.unlink(missing_ok=True)
        for path_beside in beside(old):
            path_beside.unlink(missing_ok=True)
    if made:
        copy_told(folder, path)
    return path if made else None


def by_hand(folder: Path, today: date, why: str = "by-hand") -> Path:
    """A further copy, which is never taken away by itself; `NoInput` where there is no diary."""
    if not holds_something(folder / DIARY_FILE):
        raise NoInput(f"there is no diary in {folder} yet")
    number = 1
    while True:
        path = backup_folder(folder) / f"{today.isoformat()}-{why}-{number}.sqlite"
        if not path.exists() and _copy(folder / DIARY_FILE, path):
            copy_told(folder, path)
            return path
        number += 1


def backups(folder: Path) -> tuple[Path, ...]:
    """The copies there are, by name: the oldest first; `DiaryTrouble` where the folder cannot be read."""
    place = backup_folder(folder)
    try:
        return tuple(sorted(path for path in place.iterdir() if _COPY.fullmatch(path.name)))
    except (FileNotFoundError, NotADirectoryError):
        return ()
    except OSError as trouble:
        raise DiaryTrouble(f"the backups in {place} cannot be read: {reason(trouble)}") from trouble


def backup_folder(folder: Path) -> Path:
    """Where the copies of a diary folder lie."""
    return folder / COPIES


def find(folder: Path, name: str) -> Path:
    """The copy of that name or day, or the file at that path; `NoInput` where there is none."""
    for path in backups(folder):
        if name in (path.name, path.stem):
            return path
    if _is_file(Path(name)):
        return Path(name)
    known = ", ".join(path.stem for path in backups(folder)) or "none yet"
    raise NoInput(f"there is no backup {name!r}", f"there are: {known}")


def _is_file(path: Path) -> bool:
    """Whether a file is there; a name that no file can have is none."""
    try:
        return path.is_file()
    except OSError:
        return False


def restore(folder: Path, copy: Path, today: date, busy_seconds: float = 10.0) -> Path | None:
    """Puts a copy in the place of the diary, whole or not at all.

    What stood there is copied aside first (the path is returned; None where there was no diary). Raises
    `DiaryTrouble` for a copy that is damaged, and leaves the diary as it is.
    """
    _check(copy)
    path = folder / DIARY_FILE
    make_folder(folder)
    with in_words(path):
        kept = _set_aside(folder, today) if path.exists() else None
        # where no diary stands, one that comes up half-way would count as a damaged one
        if path.exists() or not _copy(copy, path):
            _transfer(copy, path, busy_seconds)
    restore_told(folder, copy)
    return kept


def _set_aside(folder: Path, today: date) -> Path:
    """A copy of the diary as it is; one that is no database any more is moved away instead."""
    path = folder / DIARY_FILE
    try:
        kept = by_hand(folder, today, "before-restore")
        _check(kept)
    except DiaryTrouble:
        kept = _move_away(path, backup_folder(folder) / f"{today.isoformat()}-unreadable")
    return kept


def _move_away(path: Path, stem: Path) -> Path:
    make_folder(stem.parent)
    number = 1
    while (place := stem.with_name(f"{stem.name}-{number}.damaged")).exists():
        number += 1
    for ending in ("", *_BESIDE):
        beside = path.with_name(path.name + ending)
        if beside.exists():
            beside.rename(place.with_name(place.name + ending))
    return place


def _check(copy: Path) -> None:
    """`DiaryTrouble` where the file is no whole diary that this program can read."""
    try:
        with in_words(copy):
            connection = connect_to_read(copy)
            try:
                found = connection.execute("PRAGMA integrity_check").fetchall()
                version = version_of(connection, copy)
            finally:
                connection.close()
    except (Busy, CannotWrite) as trouble:
        raise DiaryTrouble(f"{copy} cannot be read as a diary", "the diary was not changed") from trouble
    if found != [("ok",)] or version == 0:
        raise DiaryTrouble(f"{copy} is damaged or no diary", "the diary was not changed")


def _by_itself(folder: Path) -> list[Path]:
    return [path for path in backups(folder) if _BY_ITSELF.fullmatch(path.name)]


def _copy(source: Path, target: Path) -> bool:
    """Copies under another name first; False where another program has made the target meanwhile."""
    make_folder(target.parent)
    with in_words(source):
        handle, name = tempfile.mkstemp(prefix=".", suffix=".part", dir=target.parent)
        os.close(handle)
        temporary = Path(name)
        try:
            _transfer(source, temporary, 10.0)
            _make_single(temporary)
            return give_name(temporary, target)
        finally:
            for ending in ("", *_BESIDE):
                temporary.with_name(temporary.name + ending).unlink(missing_ok=True)


def _transfer(source: Path, target: Path, busy_seconds: float) -> None:
    """All pages of one database into another, in one transaction of the target."""
    reader = connect_to_read(source, busy_seconds)
    writer = sqlite3.connect(target, timeout=busy_seconds, isolation_level=None)
    try:
        reader.backup(writer, progress=_patience(target, busy_seconds), sleep=0.05)
    finally:
        writer.close()
        reader.close()


def _make_single(copy: Path) -> None:
    """Takes the mark of the write-ahead log off a copy, so that it stays one file when it is looked into."""
    connection = sqlite3.connect(copy, isolation_level=None)
    try:
        connection.execute("PRAGMA journal_mode = DELETE").fetchall()
    finally:
        connection.close()


def _patience(target: Path, busy_seconds: float) -> Callable[[int, int, int], None]:
    """Ends a backup that waits for a lock; by itself it would wait for ever."""
    until = time.monotonic() + busy_seconds

    def step(status: int, _left: int, _pages: int) -> None:
        if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED) and time.monotonic() > until:
            raise Busy(f"another program holds the diary {target}", "try again in a moment; nothing was lost")

    return step


def in_a_word(trouble: PlannerError | OSError) -> str:
    """Why a copy could not be made, for a warning."""
    return trouble.message if isinstance(trouble, PlannerError) else reason(trouble)
