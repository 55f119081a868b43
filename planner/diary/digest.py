"""The short road into a diary: what holds for a player as a digest, by the standard library alone.

`planner today` needs no more than this to know whether its stored plan still stands. The values are
those of `Diary.digest` and `Diary.anchor`.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from planner.diary.files import DIARY_FILE
from planner.diary.rows import (
    ANCHOR_TABLE,
    BATCH_TABLE,
    RATING_TABLE,
    VERSION,
    Anchor,
    Row,
    digest_of,
    holding,
    is_sound,
)
from planner.diary.trouble import damaged, holds_something, in_words, too_new

_HEAD = "schema_version"
_ROWS = f"""
    SELECT {", ".join(f'"{column}"' for column in Row._fields)} FROM {RATING_TABLE}
    WHERE player = ? OR batch IN (SELECT id FROM {BATCH_TABLE} WHERE player = ?)
"""  # noqa: S608 - names of our own tables and columns, no text from outside
_ANCHOR = f"SELECT player, monday, crc FROM {ANCHOR_TABLE} WHERE player = ?"  # noqa: S608 - the same


def diary_digest(folder: Path, player_id: str, before: date | None = None) -> str:
    """SHA-256 over the player's ratings that hold; that of no ratings where there is no diary.

    With `before` only the ratings of earlier days count: what a plan that begins on that day was made from.
    Raises `Busy` or `DiaryTrouble` where the diary cannot be read.
    """
    found = _read(folder, _ROWS, (player_id, player_id))
    held = holding((Row(*row) for row in found), player_id)
    return digest_of(rating for rating in held if before is None or rating.day < before)


def diary_anchor(folder: Path, player_id: str) -> date | None:
    """The Monday from which the player's relative dates count; None where none is stored or it is damaged."""
    found = [Anchor(*row) for row in _read(folder, _ANCHOR, (player_id,))]
    return date.fromisoformat(found[0].monday) if found and is_sound(found[0]) else None


def _read(folder: Path, query: str, parameters: Sequence[str]) -> list[Any]:
    path = folder / DIARY_FILE
    if not holds_something(path):
        return []
    with in_words(path):
        connection = connect_to_read(path)
        try:
            # Version 0: a writer was stopped before its tables were made.
            return connection.execute(query, parameters).fetchall() if version_of(connection, path) else []
        finally:
            connection.close()


def version_of(connection: sqlite3.Connection, path: Path) -> int:
    """The version of the tables, 0 where there are none; `DiaryTrouble` for one from a newer program."""
    tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master")}
    if not tables:
        return 0
    found = connection.execute("SELECT version FROM schema_version").fetchall() if _HEAD in tables else []
    version = found[0][0] if len(found) == 1 else None
    if not isinstance(version, int) or version < 1:
        raise damaged(path)
    if version > VERSION:
        raise too_new(path, version)
    return version


def connect_to_read(path: Path, busy_seconds: float = 10.0) -> sqlite3.Connection:
    """A connection that cannot change the file; also in a folder in which nothing may be written."""
    address = f"{path.resolve().as_uri()}?mode=ro"
    try:
        return _open(address, busy_seconds)
    except sqlite3.OperationalError as trouble:
        if trouble.sqlite_errorcode in _LOCKED or _has_log(path):
            raise
        # The write-ahead log wants a file of its own beside the diary. Where none can be made and none
        # is there, nobody writes: the file can be read as it stands.
        return _open(f"{address}&immutable=1", busy_seconds)


_LOCKED = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)


def _has_log(path: Path) -> bool:
    return path.with_name(path.name + "-wal").exists()


def _open(address: str, busy_seconds: float) -> sqlite3.Connection:
    connection = sqlite3.connect(address, uri=True, timeout=busy_seconds, isolation_level=None)
    connection.text_factory = lossy
    try:
        connection.execute("SELECT 1 FROM sqlite_master LIMIT 1").fetchall()
    except (sqlite3.Error, UnicodeDecodeError):
        connection.close()
        raise
    return connection


def lossy(raw: bytes) -> str:
    """Stored bytes as text, whatever they are: damage shows in a checksum, not as an error for all rows."""
    return raw.decode("utf-8", "replace")


def played_on(folder: Path, player_id: str, first: date, until: date) -> dict[date, frozenset[str]]:
    """The combinations played on each day from `first` to the day before `until`, rated or not."""
    found = _read(folder, _ROWS, (player_id, player_id))
    held = holding((Row(*row) for row in found), player_id)
    days: dict[date, set[str]] = {}
    for rating in held:
        if first <= rating.day < until:
            days.setdefault(rating.day, set()).add(rating.combination)
    return {day: frozenset(names) for day, names in days.items()}
