"""A player file: from its table to the frozen type, every fault of it found.

Defaults that a file may leave out stand here as named constants; the rules that cross words are one short
function each.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import cast

from planner.brass.instruments import INSTRUMENTS, Instrument, NotOnInstrumentError, fingerings, positions
from planner.brass.keys import BadName, Naming, parse_pitch
from planner.brass.tubes import SLIDE_POSITIONS
from planner.inputs.dates import monday_of
from planner.inputs.fields import DEVICES
from planner.inputs.findings import Found, known_word
from planner.inputs.player import OwnWarmUp, Player
from planner.inputs.player_lists import Reading, dates_of, limits_of, music_of, playing_of
from planner.inputs.schema import BOLDNESS, WEEKDAYS, MinutesTable, PlayerTable, SpansTable
from planner.inputs.tables import sound_part
from planner.inputs.text import shown

BLOCKS_A_DAY = 6
MINUTES_A_BLOCK = 12
FAMILIES_A_DAY = 3
LOAD_PER_MINUTE = 1.25
WARM_UP_MINUTES = 8
WARM_UP_TITLE = "My warm-up"
HIGHEST_GOAL = 400

SevenMinutes = tuple[int, int, int, int, int, int, int]


@dataclass(frozen=True, slots=True)
class Compass:
    """What the player plays, in written MIDI numbers; `known` is () where only the range is said."""

    low: int
    high: int
    known: tuple[int, ...]


def player_of(table: Mapping[str, object], folder: Path, monday: date, found: Found) -> Player | None:
    """The player in a file's table; None, with everything that is wrong in `found`, where it is faulty.

    Relative dates count from `monday`; the file of ratings is looked for from `folder`, where the player
    file lies.
    """
    one = sound_part(PlayerTable, table, found, monday)
    instrument = _instrument(one, found)
    reading = Reading(monday, lambda name, below: _note(name, one.naming or "english", below))
    minutes = _minutes(one, found)
    compass = _compass(one, instrument, reading, found)
    dates = dates_of(one.date, reading, found)
    limits = limits_of(one.limit, reading, found)
    music = music_of(one.music, reading, found)
    playing = playing_of(one.playing, reading, found)
    spans, goals = _spans(one, found), _goals(one, found)
    for rule in RULES:
        rule(one, found)
    _check_slide(one, instrument, found)
    for place, limit in enumerate(limits):
        if compass and limit.top_note is not None and limit.top_note < compass.low:
            found.add(("limit", place, "top_note"), "the top note lies below everything the player plays")
    if found.findings or instrument is None or compass is None or minutes is None:
        return None
    level = one.level or "beginner"
    return Player(
        id=one.id or "",
        name=one.name or "",
        instrument=instrument.id,
        level=level,
        curriculum=one.curriculum or "",
        starts=one.starts or monday,
        minutes=minutes,
        low=compass.low,
        high=compass.high,
        known_notes=compass.known,
        breath_seconds=one.breath_seconds or instrument.default_breath_seconds(level),
        longest_position=one.longest_position or max(positions(instrument)),
        side="B flat" if one.side == "B flat" else "F",
        dates=dates,
        limits=limits,
        music=music,
        playing=playing,
        warm_up=_warm_up(one),
        articulation_order=tuple(one.articulation_order or ()),
        spans=spans,
        boldness=one.boldness or BOLDNESS["usual"],
        blocks_a_day=one.blocks_a_day or BLOCKS_A_DAY,
        minutes_a_block=one.minutes_a_block or MINUTES_A_BLOCK,
        families_a_day=one.families_a_day or FAMILIES_A_DAY,
        load_per_minute=one.load_per_minute or LOAD_PER_MINUTE,
        history=str(folder / one.ratings) if one.ratings else "",
        goals=goals,
    )


def _instrument(one: PlayerTable, found: Found) -> Instrument | None:
    if one.instrument is None:
        return None
    if one.instrument not in INSTRUMENTS:
        found.add(("instrument",), *known_word("an instrument", one.instrument, INSTRUMENTS))
    return INSTRUMENTS.get(one.instrument)


def _note(name: str | None, naming: Naming, found: Found) -> int | None:
    """A written note's MIDI number; None where there is none."""
    if name is None:
        return None
    try:
        return parse_pitch(name, naming).midi
    except BadName as trouble:
        found.add((), trouble.message, trouble.hint)
        return None


def _minutes(one: PlayerTable, found: Found) -> SevenMinutes | None:
    """Minutes from Monday to Sunday; a day left out has none."""
    if one.minutes is None:
        return None
    record = sound_part(MinutesTable, one.minutes, found.under("minutes"))
    minutes = tuple(getattr(record, day) or 0 for day in WEEKDAYS)
    if not isinstance(one.minutes, Mapping):
        return None
    if not any(minutes) and not any(map(record.has, WEEKDAYS)):
        found.add(("minutes",), "no weekday is named", "for example minutes = { monday = 30, thursday = 30 }")
    elif not any(minutes) and all(getattr(record, day) is not None for day in WEEKDAYS if record.has(day)):
        found.add(("minutes",), "no weekday has any minutes", "a pause is a [[date]] of kind free")
    return cast("SevenMinutes", minutes)


def _compass(
    one: PlayerTable, instrument: Instrument | None, reading: Reading, found: Found
) -> Compass | None:
    """Known notes, else the range, else the range usual for the level; every note is on the instrument."""
    if instrument is None or one.level is None:
        return None
    if one.known_notes is not None:
        return _known(one.known_notes, instrument, reading, found)
    if one.range is None:
        return Compass(*instrument.range_at(one.level), ())
    notes = _playable("range", one.range, instrument, reading, found)
    if len(one.range) != 2:
        found.add(
            ("range",), "a range is its lowest and its highest note", 'for example range = ["G3", "G5"]'
        )
    elif len(notes) == 2 and notes[0] >= notes[1]:
        found.add(("range",), "the lowest note of the range comes first", 'for example range = ["G3", "G5"]')
    return Compass(notes[0], notes[1], ()) if len(notes) == 2 and notes[0] < notes[1] else None


def _known(names: list[str], instrument: Instrument, reading: Reading, found: Found) -> Compass | None:
    notes = _playable("known_notes", names, instrument, reading, found)
    if not names:
        found.add(("known_notes",), "known_notes is empty", 'for example known_notes = ["C4", "D4", "E4"]')
    if len(set(notes)) < len(notes):
        found.add(("known_notes",), "a note stands in known_notes twice")
    return Compass(min(notes), max(notes), tuple(sorted(set(notes)))) if notes else None


def _playable(
    word: str, names: list[str], instrument: Instrument, reading: Reading, found: Found
) -> list[int]:
    """The notes of a list that can be read and that the instrument has."""
    notes = []
    for place, name in enumerate(names):
        note = reading.note(name, found.under(word, place))
        try:
            if note is not None:
                notes.append(fingerings(instrument, note).written)
        except NotOnInstrumentError as trouble:
            found.add((word, place), trouble.message, trouble.hint)
    return notes


def _spans(one: PlayerTable, found: Found) -> Mapping[str, int]:
    if one.spans is None:
        return {}
    record = sound_part(SpansTable, one.spans, found.under("spans"))
    return {} if record.kept_up_weeks is None else {"kept_up_weeks": record.kept_up_weeks}


def _goals(one: PlayerTable, found: Found) -> Mapping[str, int]:
    """Own goals by exercise; that the curriculum has it is seen when that is read for the player."""
    if one.goals is None:
        return {}
    if not isinstance(one.goals, Mapping):
        found.add(("goals",), "goals should be a table", "for example goals = { clock-stairs = 132 }")
        return {}
    sound: dict[str, int] = {}
    for name, goal in one.goals.items():
        if isinstance(goal, bool) or not isinstance(goal, int) or not 1 <= goal <= HIGHEST_GOAL:
            said = f"{shown(goal)} is no goal: a metronome mark, or seconds held, from 1 to {HIGHEST_GOAL}"
            found.add(("goals", name), said)
        else:
            sound[name] = goal
    return sound


def _warm_up(one: PlayerTable) -> OwnWarmUp | None:
    if one.warm_up is None:
        return None
    return OwnWarmUp(one.warm_up_title or WARM_UP_TITLE, one.warm_up_minutes or WARM_UP_MINUTES)


def _check_starts(one: PlayerTable, found: Found) -> None:
    """Week 1 of the curriculum begins on a Monday."""
    if one.starts is not None and one.starts.weekday() != 0:
        hint = f"the Monday of that week is {monday_of(one.starts)}"
        found.add(
            ("starts",), f"{one.starts} is a {WEEKDAYS[one.starts.weekday()].title()}, not a Monday", hint
        )


def _check_one_compass(one: PlayerTable, found: Found) -> None:
    """A list of known notes stands instead of a range."""
    if one.has("range") and one.has("known_notes"):
        found.add(("range",), "either range or known_notes, not both", word=True)


def _check_warm_up(one: PlayerTable, found: Found) -> None:
    """Title and minutes of a warm-up belong to an own one."""
    for word in ("warm_up_title", "warm_up_minutes"):
        if one.has(word) and not one.has("warm_up"):
            found.add((word,), f"{word} belongs to an own warm-up", 'add warm_up = "mine"', word=True)


def _check_articulation_order(one: PlayerTable, found: Found) -> None:
    """Each articulation stands in the order once."""
    words = one.articulation_order or []
    for place, word in enumerate(words):
        if word in words[:place]:
            found.add(("articulation_order", place), f"{word} stands in the list already")


def _check_paths(one: PlayerTable, found: Found) -> None:
    """Other files lie beside the player file or below it."""
    for word, path in (("curriculum", one.curriculum), ("ratings", one.ratings)):
        if path is not None and not stays_below(path):
            hint = "name a file in the same folder or below it, with / between folders"
            found.add((word,), f"{shown(path)} is no file in the folder of the player file", hint)


def stays_below(path: str) -> bool:
    """Whether a path written in a file stays in its folder on every system: no root, drive or "..".

    >>> stays_below("ratings/autumn.csv"), stays_below("../x.csv"), stays_below("/x.csv"), stays_below("C:x")
    (True, False, False, False)
    """
    parts = path.split("/")
    devices = any(part.split(".")[0].strip().lower() in DEVICES for part in parts)
    return not any(mark in path for mark in "\\:") and not devices and "" not in parts and ".." not in parts


def _check_slide(one: PlayerTable, instrument: Instrument | None, found: Found) -> None:
    """The longest position is a matter of the slide, the side a matter of the double horn."""
    if instrument is None:
        return
    if one.longest_position is not None and not instrument.is_slide:
        found.add(
            ("longest_position",), f"{instrument.name} has no slide", "take longest_position out", word=True
        )
    if instrument.is_slide and (one.longest_position or 1) > SLIDE_POSITIONS:
        found.add(("longest_position",), f"a slide has {SLIDE_POSITIONS} positions")
    if one.side is not None and instrument.mechanism != "double horn":
        found.add(("side",), f"{instrument.name} has one side only", "take side out", word=True)


RULES: tuple[Callable[[PlayerTable, Found], None], ...] = (
    _check_starts,
    _check_one_compass,
    _check_warm_up,
    _check_articulation_order,
    _check_paths,
)
"""The rules of a player file by itself; the others need the instrument or the range."""
