"""What goes wrong with the diary's file, in words. Standard library only."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from planner.diary.files import COPIES, DIARY_FILE, reason
from planner.diary.rows import VERSION
from planner.errors import Busy, CannotWrite, DiaryTrouble, PlannerError


@contextmanager
def in_words(path: Path) -> Iterator[None]:
    """Turns errors of the database and of the system inside the block into the planner's own."""
    try:
        yield
    except PlannerError:
        raise
    except OSError as trouble:
        raise CannotWrite(f"the diary {path} cannot be reached: {reason(trouble)}") from trouble
    except sqlite3.Error as trouble:
        raise _said(path, trouble) from trouble
    except Exception as trouble:
        inner = getattr(trouble, "orig", None)  # SQLAlchemy wraps the database's own error
        if isinstance(inner, sqlite3.Error):
            raise _said(path, inner) from trouble
        if isinstance(trouble, UnicodeDecodeError):  # SQLite's own message quotes damaged bytes
            raise damaged(path) from trouble
        raise


def holds_something(path: Path) -> bool:
    """Whether there is a diary; `DiaryTrouble` for an empty file: this program never leaves one behind."""
    try:
        size = path.stat().st_size if path.exists() else None
    except OSError as trouble:
        raise DiaryTrouble(f"the diary {path} cannot be read: {reason(trouble)}") from trouble
    if size == 0:
        raise DiaryTrouble(f"the diary {path} is damaged: the file is empty", _way_back(path))
    return size is not None


def damaged(path: Path) -> DiaryTrouble:
    """The error for a file that is no database, no diary, or one that is past reading."""
    return DiaryTrouble(f"the diary {path} is damaged and cannot be read", _way_back(path))


def _way_back(path: Path) -> str:
    """What to do about a damaged diary: the newest copy by its name, or how to begin again without one."""
    if path.name != DIARY_FILE:
        return "planner diary restore names the copies"
    copies = sorted(copy.stem for copy in (path.parent / COPIES).glob("[!.]*.sqlite"))
    if copies:
        return f"planner diary restore {copies[-1]} puts the newest copy in its place"
    return (
        "there are no copies: move this file away, then planner diary import takes in what was exported, "
        "or the next rating begins a new diary"
    )


def too_new(path: Path, version: int) -> DiaryTrouble:
    """The error for a file that a newer planner has written."""
    return DiaryTrouble(
        f"the diary {path} was written by a newer planner (version {version}, this one knows {VERSION})",
        "use the newer planner; nothing was changed",
    )


def _said(path: Path, trouble: sqlite3.Error) -> PlannerError:
    """The error of the database as one of ours; the low byte of its code is the kind."""
    code = getattr(trouble, "sqlite_errorcode", None)
    if code is None:
        return DiaryTrouble(f"the diary {path} cannot be used: {trouble}")
    kind = code & 0xFF
    if kind in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return Busy(f"another program holds the diary {path}", "try again in a moment; nothing was lost")
    if kind in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
        return CannotWrite(f"the diary {path} cannot be opened for writing: {trouble}", "nothing was stored")
    if kind == sqlite3.SQLITE_FULL:
        return DiaryTrouble(f"the disk is full; nothing was stored in {path}", "make room and try again")
    if kind in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return damaged(path)
    return DiaryTrouble(f"the diary {path} cannot be used: {trouble}; nothing was stored")
