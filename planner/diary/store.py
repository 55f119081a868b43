"""The diary: every rating as a row in one database, keyed by player. Nothing in it is ever destroyed.

What is stored at one go is a batch, and `undo` takes back the last batch of a player: its rows stay,
marked. A row that fails its checksum is named in `damaged` and left out; the rest is used.
Raises `DiaryTrouble`, `Busy` or `CannotWrite`, one line each. SQLAlchemy is imported with the first use.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.diary import backup
from planner.diary.database import Database
from planner.diary.files import DIARY_FILE
from planner.diary.rating import Rating
from planner.diary.rows import (
    Anchor,
    Batch,
    Row,
    checked,
    damage,
    digest_of,
    holding,
    is_sound,
    row_of,
    sealed,
    undone,
)
from planner.diary.text import stripped
from planner.errors import PlannerError

if TYPE_CHECKING:
    from types import TracebackType

    from sqlalchemy import Connection, Select, Table

HISTORY = "history"
"""The source of the batch that takes in a player's file of earlier ratings before the first own batch."""

_ONE_AT_A_TIME = 500
"""Rows sent to the database together."""


class Diary:
    """An open diary; use it in a `with` block. Reading makes no file; the first change makes it.

    `today`, where given, is the day of the clock: before the first change of a day a copy is made.
    `busy_seconds` is how long to wait for another program. `damaged` and `warnings` hold lines for the
    user, gathered while the diary is open.
    """

    def __init__(self, folder: Path, today: date | None = None, busy_seconds: float = 10.0) -> None:
        self.folder = folder
        self.warnings: tuple[str, ...] = ()
        self._today = today
        self._damaged: dict[str, None] = {}
        self._file = Database(folder / DIARY_FILE, busy_seconds, self._before_upgrade)

    @classmethod
    def open(cls, folder: Path, today: date | None = None, busy_seconds: float = 10.0) -> Diary:
        """The diary of a folder, which need not exist yet."""
        return cls(folder, today, busy_seconds)

    def __enter__(self) -> Diary:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Closes the file."""
        self._file.close()

    @property
    def damaged(self) -> tuple[str, ...]:
        """What was found damaged while reading, one line each; a damaged row is left out."""
        return tuple(self._damaged)

    def ratings(self, player_id: str) -> tuple[Rating, ...]:
        """What holds for a player, by day, order within the day and combination."""
        return holding(self._rows(player_id), stripped(player_id))

    def digest(self, player_id: str) -> str:
        """SHA-256 over what holds for a player."""
        return digest_of(self.ratings(player_id))

    def add(
        self,
        player_id: str,
        ratings: Iterable[Rating],
        source: str,
        *,
        earlier: Sequence[Rating] = (),
        anchor: date | None = None,
    ) -> int:
        """Stores ratings as one batch, all or none; the number of the batch (0 where there are none).

        `earlier` and `anchor` count only while nothing holds for the player: the ratings of the player's
        file of earlier ones go in first, and the Monday from which relative dates count is kept.
        Raises ValueError for an impossible rating.
        """
        player, fresh, old = stripped(player_id), _checked(ratings), _checked(earlier)
        if not fresh:
            return 0
        self._before_change()
        with self._file.writing() as connection:
            if not holding(_rows(connection, player), player):
                self._begin_player(connection, player, old, anchor)
            return self._store(connection, player, fresh, source)

    def undo(self, player_id: str) -> str:
        """Takes back the last batch of a player and says what it was; "" where there is none."""
        player = stripped(player_id)
        if not self._file.is_there():
            return ""
        self._before_change()
        with self._file.writing() as connection:
            rows = _rows(connection, player)
            live = [row for row in rows if _is_live(row, player)]
            batches = _batches(connection, player)
            sources = {batch.id: batch.source for batch in batches if is_sound(batch)}
            own = _own(rows, batches, player)
            if not own:
                return ""
            last = max(row.batch for row in own)
            taken = [row for row in own if row.batch == last]
            # With the first own batch the earlier ratings that came in before it go too.
            _mark(connection, live if len(taken) == len(own) else taken)
            if len(taken) == len(own):
                _forget_anchor(connection, player)
        return _described(taken, sources.get(last, ""))

    def last_batch(self, player_id: str) -> int:
        """The number of the batch that `undo` would take back; 0 where there is none."""
        player = stripped(player_id)
        if not self._file.is_there():
            return 0
        with self._file.reading() as connection:
            own = _own(_rows(connection, player), _batches(connection, player), player)
        return max((row.batch for row in own), default=0)

    def anchor(self, player_id: str) -> date | None:
        """The Monday from which the player's relative dates count, None where none is stored."""
        from sqlalchemy import select

        from planner.diary.schema import ANCHOR

        if not self._file.is_there():
            return None
        player = stripped(player_id)
        with self._file.reading() as connection:
            found = connection.execute(select(ANCHOR).where(ANCHOR.c.player == player)).all()
        if found and not is_sound(tuple(found[0])):
            self._damaged[f"the Monday stored for {player} is damaged and left out"] = None
            return None
        return date.fromisoformat(found[0].monday) if found else None

    def _rows(self, player_id: str) -> tuple[Row, ...]:
        if not self._file.is_there():
            return ()
        player = stripped(player_id)
        with self._file.reading() as connection:
            rows, batches = _rows(connection, player), _batches(connection, player)
        self._damaged |= dict.fromkeys(damage(rows, batches))
        return rows

    def _begin_player(
        self, connection: Connection, player: str, earlier: Sequence[Rating], anchor: date | None
    ) -> None:
        if earlier:
            self._store(connection, player, earlier, HISTORY)
        if anchor is not None:
            _put_anchor(connection, player, anchor)

    def _store(self, connection: Connection, player: str, ratings: Sequence[Rating], source: str) -> int:
        from planner.diary.schema import BATCH, RATING

        batch = _next(connection, BATCH, "id")
        first = _next(connection, RATING, "number")
        stored_on = "" if self._today is None else self._today.isoformat()
        heading = Batch(*sealed((batch, player, stripped(source), stored_on, len(ratings))))
        connection.execute(BATCH.insert(), heading._asdict())
        rows = [row_of(first + at, batch, player, rating)._asdict() for at, rating in enumerate(ratings)]
        for start in range(0, len(rows), _ONE_AT_A_TIME):
            connection.execute(RATING.insert(), rows[start : start + _ONE_AT_A_TIME])
        return batch

    def _before_change(self) -> None:
        """The copy of the day. That it could not be made is said, and does not stop a rating."""
        if self._today is None:
            return
        try:
            backup.daily(self.folder, self._today)
        except (PlannerError, OSError) as trouble:
            self.warnings += (f"the daily backup was not made: {backup.in_a_word(trouble)}",)

    def _before_upgrade(self) -> None:
        backup.by_hand(self.folder, self._today or date.min, "before-upgrade")


def _checked(ratings: Iterable[Rating]) -> list[Rating]:
    return [checked(rating) for rating in ratings]


def _rows_query(player: str) -> Select[Any]:
    """A player's rows, found by their player or by their batch: damage to one of them hides nothing."""
    from sqlalchemy import or_, select

    from planner.diary.schema import BATCH, RATING

    batches = select(BATCH.c.id).where(BATCH.c.player == player)
    return select(RATING).where(or_(RATING.c.player == player, RATING.c.batch.in_(batches)))


def _rows(connection: Connection, player: str) -> tuple[Row, ...]:
    return tuple(Row(*found) for found in connection.execute(_rows_query(player)))


def _batches(connection: Connection, player: str) -> tuple[Batch, ...]:
    from sqlalchemy import or_, select

    from planner.diary.schema import BATCH, RATING

    used = select(RATING.c.batch).where(RATING.c.player == player)
    query = select(BATCH).where(or_(BATCH.c.player == player, BATCH.c.id.in_(used)))
    return tuple(Batch(*found) for found in connection.execute(query.order_by(BATCH.c.id)))


def _next(connection: Connection, table: Table, column: str) -> int:
    """The next free number; the transaction holds the write lock, and rows are never taken away."""
    from sqlalchemy import func, select

    return int(connection.execute(select(func.max(table.c[column]))).scalar() or 0) + 1


def _is_live(row: Row, player: str) -> bool:
    return is_sound(row) and not row.undone and row.player == player


def _own(rows: Iterable[Row], batches: Iterable[Batch], player: str) -> list[Row]:
    """The live rows that are not of the file of earlier ratings: what `undo` may take back."""
    earlier = {batch.id for batch in batches if is_sound(batch) and batch.source == HISTORY}
    return [row for row in rows if _is_live(row, player) and row.batch not in earlier]


def _mark(connection: Connection, rows: Iterable[Row]) -> None:
    from sqlalchemy import update

    from planner.diary.schema import RATING

    for row in rows:
        marked = undone(row)
        change = update(RATING).where(RATING.c.number == row.number)
        connection.execute(change.values(undone=marked.undone, crc=marked.crc))


def _put_anchor(connection: Connection, player: str, monday: date) -> None:
    from planner.diary.schema import ANCHOR

    _forget_anchor(connection, player)
    connection.execute(ANCHOR.insert(), Anchor(*sealed((player, monday.isoformat())))._asdict())


def _forget_anchor(connection: Connection, player: str) -> None:
    from sqlalchemy import delete

    from planner.diary.schema import ANCHOR

    connection.execute(delete(ANCHOR).where(ANCHOR.c.player == player))


def _described(rows: Sequence[Row], source: str) -> str:
    """What a batch was: "5 ratings of 2026-09-07 (rate)"."""
    days = sorted({row.day for row in rows})
    when = days[0] if len(days) == 1 else f"{days[0]} to {days[-1]}"
    number = "1 rating" if len(rows) == 1 else f"{len(rows)} ratings"
    return f"{number} of {when}" + (f" ({source})" if source else "")
