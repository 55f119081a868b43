"""The lists of a player file: dates, limits, own music, other playing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from planner.inputs.exercise_file import OWN_IDS
from planner.inputs.fields import slug
from planner.inputs.findings import Found, tables_of
from planner.inputs.player import Limit, OtherPlaying, OwnMusic, SpecialDate
from planner.inputs.schema import (
    WEEKDAYS,
    DateTable,
    LimitTable,
    MusicTable,
    PlayingTable,
)
from planner.inputs.tables import sound_part
from planner.inputs.text import shown

MOST_TABLES = 400
"""A year of single dates fits."""

MUSIC_INTENSITY = 3
PLAYING_INTENSITY = 3
ON_THE_LIP = 0.55
"""Of a rehearsal's 120 minutes about 66 are played. common practice, no source"""

Item = TypeVar("Item")
Note = Callable[[str | None, Found], int | None]


@dataclass(frozen=True, slots=True)
class Reading:
    """What the lists need besides their tables: the Monday dates count from, and how notes are read."""

    monday: date
    note: Note


def dates_of(value: object, reading: Reading, found: Found) -> tuple[SpecialDate, ...]:
    """[[date]] tables, in the order of the file."""
    return _each("date", value, found, lambda table, below: _date(table, reading, below))


def limits_of(value: object, reading: Reading, found: Found) -> tuple[Limit, ...]:
    """[[limit]] tables, in the order of the file."""
    return _each("limit", value, found, lambda table, below: _limit(table, reading, below))


def music_of(value: object, reading: Reading, found: Found) -> tuple[OwnMusic, ...]:
    """[[music]] tables, in the order of the file; their ids are all different."""
    pieces = _each("music", value, found, lambda table, below: _music(table, reading, below))
    ids = [piece.id for piece in pieces]
    for place, word in enumerate(ids):
        if word in ids[:place]:
            found.add(
                ("music", place), f"a piece {shown(word)} stands above already", "give it an id of its own"
            )
    return pieces


def playing_of(value: object, reading: Reading, found: Found) -> tuple[OtherPlaying, ...]:
    """[[playing]] tables, in the order of the file."""
    return _each("playing", value, found, lambda table, below: _playing(table, reading, below))


def _each(word: str, value: object, found: Found, read: Callable[[object, Found], Item]) -> tuple[Item, ...]:
    below = found.under(word)
    tables = tables_of(word, value, below, MOST_TABLES)
    return tuple(read(table, below.under(place)) for place, table in enumerate(tables))


def _date(table: object, reading: Reading, found: Found) -> SpecialDate:
    record = sound_part(DateTable, table, found, reading.monday)
    for rule in DATE_RULES:
        rule(record, found)
    first = record.date or record.start or reading.monday
    return SpecialDate(
        kind=record.kind or "free",
        first=first,
        last=record.date or record.to or first,
        title=record.title or "",
        minutes=record.minutes if record.kind == "short" else None,
    )


def _check_date_or_stretch(record: DateTable, found: Found) -> None:
    """Either one date, or from and to."""
    stretch = record.has("from"), record.has("to")
    if record.has("date") and any(stretch):
        found.add(("date",), "either date, or from and to, not both", word=True)
    if not record.has("date") and not all(stretch):
        found.add((), "a date is missing", "write date = 2026-09-07, or from = ... and to = ...")


def _check_stretch(record: DateTable, found: Found) -> None:
    """A stretch ends on or after the day it begins."""
    if record.start and record.to and record.start > record.to:
        found.add(("to",), f"the stretch ends on {record.to}, before it begins on {record.start}")


def _check_one_day(record: DateTable, found: Found) -> None:
    """A concert and an audition are on one day."""
    if record.kind in ("concert", "audition") and record.start and record.to and record.start != record.to:
        found.add(
            ("from",), f"a date of kind {record.kind} is one day", "write date = ... instead of from and to"
        )


def _check_short(record: DateTable, found: Found) -> None:
    """A short date says its minutes; the other kinds have none."""
    if record.kind == "short" and not record.has("minutes"):
        found.add((), "'minutes' is missing in a date of kind short")
    if record.kind not in (None, "short") and record.minutes is not None:
        found.add(
            ("minutes",), f"a date of kind {record.kind} has no minutes", 'kind = "short" has', word=True
        )


def _limit(table: object, reading: Reading, found: Found) -> Limit:
    record = sound_part(LimitTable, table, found, reading.monday)
    for rule in LIMIT_RULES:
        rule(record, found)
    return Limit(
        title=record.title or "",
        first=record.start or reading.monday,
        until=record.until or reading.monday,
        top_note=reading.note(record.top_note, found.under("top_note")),
        minutes=record.minutes,
        without=tuple(record.without or ()),
    )


def _check_limit_ends(record: LimitTable, found: Found) -> None:
    """A limit ends on or after the day it begins."""
    if record.start and record.until and record.start > record.until:
        found.add(("until",), f"the limit ends on {record.until}, before it begins on {record.start}")


def _check_limit_says_something(record: LimitTable, found: Found) -> None:
    """A limit has a top note, minutes or families to leave out."""
    if not any(map(record.has, ("top_note", "minutes", "without"))):
        found.add((), "the limit says nothing", "give it top_note, minutes or without")


def _music(table: object, reading: Reading, found: Found) -> OwnMusic:
    record = sound_part(MusicTable, table, found, reading.monday)
    for rule in MUSIC_RULES:
        rule(record, found)
    band = record.band or ()
    number = int(found.base[-1]) + 1
    return OwnMusic(
        id=record.id or slug(record.title or "") or f"piece-{number}",
        title=record.title or "",
        part=record.part or "",
        minutes=record.minutes or 0,
        days=_days(record.days, found),
        band=(band[0], band[1]) if len(band) == 2 else None,
        until=record.until,
        intensity=record.intensity or MUSIC_INTENSITY,
    )


def _check_band(record: MusicTable, found: Found) -> None:
    """A tempo band is its lowest and its highest tempo."""
    if record.band is None:
        return
    if len(record.band) != 2 or record.band[0] > record.band[1]:
        found.add(("band",), "a band is two tempos, the lower one first", "for example band = [84, 92]")


def _check_music_id(record: MusicTable, found: Found) -> None:
    """A piece does not go by a name of the program's own."""
    name = record.id or slug(record.title or "")
    if name in OWN_IDS:
        found.add(("id",), f"{shown(name)} is what the program calls its own", "choose another id")


def _playing(table: object, reading: Reading, found: Found) -> OtherPlaying:
    record = sound_part(PlayingTable, table, found, reading.monday)
    if record.days == []:
        found.add(("days",), "days is empty", 'for example days = ["tuesday"]')
    share = record.on_the_lip
    return OtherPlaying(
        title=record.title or "",
        days=_days(record.days, found),
        minutes=record.minutes or 0,
        on_the_lip=ON_THE_LIP if share is None else share,
        intensity=record.intensity or PLAYING_INTENSITY,
    )


def _days(words: list[str] | None, found: Found) -> tuple[int, ...]:
    """Weekdays as numbers from Monday = 0, rising; each stands once."""
    for place, word in enumerate(words or ()):
        if word in (words or ())[:place]:
            found.add(("days", place), f"{word} stands in the list already")
    return tuple(sorted({WEEKDAYS.index(word) for word in words or ()}))


DATE_RULES: tuple[Callable[[DateTable, Found], None], ...] = (
    _check_date_or_stretch,
    _check_stretch,
    _check_one_day,
    _check_short,
)
LIMIT_RULES: tuple[Callable[[LimitTable, Found], None], ...] = (
    _check_limit_ends,
    _check_limit_says_something,
)
MUSIC_RULES: tuple[Callable[[MusicTable, Found], None], ...] = (_check_band, _check_music_id)
