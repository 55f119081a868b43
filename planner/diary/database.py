"""The open file of a diary: how it is connected, locked and brought to the version of this program.

Every change runs in one transaction that takes the write lock at its beginning (BEGIN IMMEDIATE): a
transaction that reads first and asks for the lock later fails as soon as two programs do it at once.
The write-ahead log with synchronous=FULL keeps every acknowledged change over a kill and a power cut.
SQLAlchemy is imported when a file is opened, not before.
"""

from __future__ import annotations

import os
import sqlite3
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from planner.diary.digest import connect_to_read, lossy, version_of
from planner.diary.files import give_name, make_folder
from planner.diary.rows import VERSION
from planner.diary.trouble import holds_something, in_words

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine


class Database:
    """One diary file. Nothing is made on the disk before the first `writing`.

    `before_upgrade` is called before the tables of an older version are changed.
    """

    def __init__(self, path: Path, busy_seconds: float, before_upgrade: Callable[[], object]) -> None:
        self.path = path
        self._busy_seconds = busy_seconds
        self._before_upgrade = before_upgrade
        self._reader: Engine | None = None
        self._writer: Engine | None = None

    def is_there(self) -> bool:
        """Whether the file holds anything."""
        return holds_something(self.path)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A transaction that sees one state of the diary, whatever others write meanwhile."""
        with in_words(self.path):
            if self._reader is None:
                self._bring_up_to_read()
                self._reader = _engine(lambda: connect_to_read(self.path, self._busy_seconds), "BEGIN")
            with self._reader.begin() as connection:
                yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction that holds the write lock from its beginning; an error inside takes it back whole."""
        with in_words(self.path):
            if self._writer is None:
                self._writer = self._open_to_write()
            with self._writer.begin() as connection:
                yield connection

    def close(self) -> None:
        """Closes the file; it is opened again when it is used again."""
        for engine in (self._reader, self._writer):
            if engine is not None:
                engine.dispose()
        self._reader = self._writer = None

    def _bring_up_to_read(self) -> None:
        """An older file is upgraded before it is read."""
        connection = connect_to_read(self.path, self._busy_seconds)
        try:
            version = version_of(connection, self.path)
        finally:
            connection.close()
        if version < VERSION and self._writer is None:
            self._writer = self._open_to_write()

    def _open_to_write(self) -> Engine:
        if not holds_something(self.path):
            _begin(self.path)
        os.close(os.open(self.path, os.O_RDWR))  # SQLite itself would say less clearly that it may not
        engine = _engine(self._connect, "BEGIN IMMEDIATE")
        try:
            self._check_version(engine)
        except BaseException:
            engine.dispose()
            raise
        return engine

    def _connect(self) -> sqlite3.Connection:
        connection = sqlite3.connect(self.path, timeout=self._busy_seconds, isolation_level=None)
        connection.text_factory = lossy
        for setting in ("foreign_keys = ON", "synchronous = FULL", "fullfsync = ON"):
            connection.execute(f"PRAGMA {setting}")
        _use_log(connection, self._busy_seconds)
        return connection

    def _check_version(self, engine: Engine) -> None:
        with engine.begin() as connection:
            raw = connection.connection.driver_connection
            assert isinstance(raw, sqlite3.Connection)
            version = version_of(raw, self.path)
            if version == VERSION:
                return
            if version:
                self._before_upgrade()
            from planner.diary.migrations import bring_up

            bring_up(connection, version)


def _begin(path: Path) -> None:
    """A new diary with its tables, made under another name: a kill leaves a whole diary or none at all."""
    from planner.diary.migrations import bring_up

    make_folder(path.parent)
    handle, name = tempfile.mkstemp(prefix=".", suffix=".part", dir=path.parent)
    os.close(handle)
    temporary = Path(name)
    try:
        engine = _engine(lambda: sqlite3.connect(temporary, isolation_level=None), "BEGIN IMMEDIATE")
        with engine.begin() as connection:
            bring_up(connection, 0)
        engine.dispose()
        give_name(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)


def _use_log(connection: sqlite3.Connection, busy_seconds: float) -> None:
    """Turns the write-ahead log on, waiting for a program that does the same: here SQLite does not wait."""
    until = time.monotonic() + busy_seconds
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL").fetchall()
        except sqlite3.OperationalError as trouble:
            if trouble.sqlite_errorcode != sqlite3.SQLITE_BUSY or time.monotonic() > until:
                raise
            time.sleep(0.01)
        else:
            return


def _engine(connect: Callable[[], sqlite3.Connection], begin: str) -> Engine:
    """An engine with one connection, whose transactions begin with the given words."""
    from sqlalchemy import create_engine, event
    from sqlalchemy.pool import StaticPool

    engine = create_engine("sqlite://", creator=connect, poolclass=StaticPool)

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        connection.exec_driver_sql(begin)

    return engine
