"""A rating as a row of the diary: its checksum, what of many rows holds, and the digest of that.

Both roads to the diary, `store.py` and the short one in `digest.py`, read rows through here, so that
they cannot differ. Standard library only.

A row is never changed but for its `undone` mark and never taken away. Of several sound rows for one
day, combination and articulation the one stored last holds; the others stay as history.
"""

from __future__ import annotations

import hashlib
import json
import math
import zlib
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, NamedTuple

from planner.diary.rating import Rating
from planner.diary.text import LONGEST, shown, stripped

VERSION = 1
"""The version of the tables this program writes; one row of `schema_version` says what a file holds."""

RATING_TABLE = "rating"
BATCH_TABLE = "batch"
ANCHOR_TABLE = "anchor"

ARTICULATIONS = ("slurred", "legato", "tongued", "staccato", "K", "double", "triple")
"""Those of a curriculum; own music has none ("")."""
GRADES = range(1, 6)
TEMPOS = range(20, 501)
"""Beats a minute that anybody could mean; the metronome scale itself is narrower (40 to 208)."""
HIGHEST_VALUE = 10_000.0


class Row(NamedTuple):
    """One row of the table of ratings, in the order of its columns; `crc` covers all the others."""

    number: int
    batch: int
    player: str
    day: str
    combination: str
    articulation: str
    tempo: int | None
    clean: int | None
    grade: int | None
    value: float | None
    limited: int
    at: int
    undone: int
    crc: int


class Batch(NamedTuple):
    """What was stored at one go: `size` ratings from `source`, on the day `stored_on` ("" where unknown)."""

    id: int
    player: str
    source: str
    stored_on: str
    size: int
    crc: int


class Anchor(NamedTuple):
    """The Monday from which a player's relative dates count."""

    player: str
    monday: str
    crc: int


def checksum(content: Sequence[Any]) -> int:
    """CRC32 over the content of a row: any change of one value is found, also of its kind (96 or "96")."""
    text = json.dumps(list(content), ensure_ascii=True, separators=(",", ":"), default=repr)
    return zlib.crc32(text.encode("ascii"))


def is_sound(row: Sequence[Any]) -> bool:
    """Whether the last value of the row is the checksum of the others."""
    return bool(row[-1] == checksum(row[:-1]))


def sealed(content: Sequence[Any]) -> tuple[Any, ...]:
    """The content with its checksum at the end."""
    return (*content, checksum(content))


def checked(rating: Rating) -> Rating:
    """The rating as it is stored: unseen characters taken out; ValueError where a value is impossible."""
    combination, articulation = stripped(rating.combination), stripped(rating.articulation)
    trouble = _trouble(replace(rating, combination=combination, articulation=articulation))
    if trouble:
        raise ValueError(trouble)
    value = None if rating.value is None else float(rating.value) + 0.0  # + 0.0: the file knows no -0.0
    return replace(rating, combination=combination, articulation=articulation, value=value)


def _trouble(rating: Rating) -> str:
    """What is impossible about a rating, "" for a good one."""
    if not rating.combination:
        return "the combination is missing"
    if len(rating.combination) > LONGEST:
        return f"the combination is longer than {LONGEST} characters"
    if rating.articulation not in ("", *ARTICULATIONS):
        return f"the articulation {shown(rating.articulation)!r} is not one of {', '.join(ARTICULATIONS)}"
    if rating.grade is not None and rating.grade not in GRADES:
        return f"the grade {rating.grade} is not 1 to 5"
    for tempo in (rating.tempo, rating.clean):
        if tempo is not None and tempo not in TEMPOS:
            return f"the tempo {shown(tempo)} is not {TEMPOS[0]} to {TEMPOS[-1]} beats a minute"
    if rating.value is not None and not (math.isfinite(rating.value) and 0 <= rating.value <= HIGHEST_VALUE):
        return f"the value {rating.value} is not 0 to {HIGHEST_VALUE:g}"
    return "" if 0 <= rating.at < 2**31 else f"the order {shown(rating.at)} within the day is out of range"


def row_of(number: int, batch: int, player: str, rating: Rating) -> Row:
    """The row that stores a checked rating."""
    return Row(
        *sealed(
            (
                number,
                batch,
                player,
                rating.day.isoformat(),
                rating.combination,
                rating.articulation,
                rating.tempo,
                rating.clean,
                rating.grade,
                rating.value,
                int(rating.limited),
                rating.at,
                0,
            )
        )
    )


def undone(row: Row) -> Row:
    """The same row marked as taken back."""
    return Row(*sealed((*row[:-2], 1)))


def rating_of(row: Row) -> Rating:
    """The rating of a sound row."""
    return Rating(
        day=date.fromisoformat(row.day),
        combination=row.combination,
        articulation=row.articulation,
        tempo=row.tempo,
        clean=row.clean,
        grade=row.grade,
        value=row.value,
        limited=bool(row.limited),
        at=row.at,
    )


def holding(rows: Iterable[Row], player: str) -> tuple[Rating, ...]:
    """What holds of a player's rows: sound, not taken back, the last of its kind; sorted by day and order."""
    last: dict[tuple[str, str, str], Row] = {}
    for row in sorted((row for row in rows if is_sound(row)), key=lambda row: row.number):
        if row.player == player and not row.undone:
            last[row.day, row.combination, row.articulation] = row
    return tuple(sorted(map(rating_of, last.values()), key=order))


def order(rating: Rating) -> tuple[date, int, str, str]:
    """The order in which ratings are given: day, order within the day, combination, articulation."""
    return rating.day, rating.at, rating.combination, rating.articulation


def digest_of(ratings: Iterable[Rating]) -> str:
    """SHA-256 over ratings that hold: the same after an entry and its undo, another after any change."""
    total = hashlib.sha256()
    for one in ratings:
        reached = (one.tempo, one.clean, one.grade, one.value)
        content = (one.day.isoformat(), one.combination, one.articulation, *reached, one.limited, one.at)
        total.update(json.dumps(content, separators=(",", ":")).encode("ascii") + b"\n")
    return total.hexdigest()


def damage(rows: Iterable[Row], batches: Iterable[Batch]) -> tuple[str, ...]:
    """The damaged rows by name, and batches of which rows are gone, one line each."""
    found = tuple(rows)
    lines = [_row_damage(row) for row in found if not is_sound(row)]
    held: dict[Any, int] = {}
    for row in found:
        held[row.batch] = held.get(row.batch, 0) + 1
    for batch in batches:
        lines += _batch_damage(batch, held.get(batch.id, 0))
    return tuple(lines)


def _row_damage(row: Row) -> str:
    place = f"{shown(row.day)}, {shown(row.combination)}"
    return f"row {shown(row.number)} of the diary ({place}) is damaged and left out"


def _batch_damage(batch: Batch, held: int) -> list[str]:
    name = f"entry {shown(batch.id)} of the diary"
    if not is_sound(batch):
        return [f"the heading of {name} is damaged; its ratings are used as far as they are sound"]
    if held < batch.size:
        return [f"{batch.size - held} of the {batch.size} ratings of {name} are gone"]
    return []
