"""What goes wrong with the diary's file, in words. Standard library only."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from planner.diary.files import reason
from planner.diary.rows import VERSION
from planner.errors import Busy, CannotWrite, DiaryTrouble, PlannerError

_RESTORE = "planner diary restore names the backups"


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
    """Whether the file is there and not empty: an empty one is a writer stopped before its first word."""
    try:
        return path.exists() and path.stat().st_size > 0
    except OSError as trouble:
        raise DiaryTrouble(f"the diary {path} cannot be read: {reason(trouble)}") from trouble


def damaged(path: Path) -> DiaryTrouble:
    """The error for a file that is no database, no diary, or one that is past reading."""
    return DiaryTrouble(f"the diary {path} is damaged and cannot be read", _RESTORE)


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
