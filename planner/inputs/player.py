"""What a player file says, as frozen types. Reading and checking: `read.py`.

Conventions: minutes are minutes of the clock, pauses included; dates are plain dates, both ends
included; notes are written MIDI numbers of the player's own instrument; weekdays count from Monday = 0.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from planner.inputs.curriculum import Articulation, Family, Level


@dataclass(frozen=True, slots=True)
class SpecialDate:
    """One date or stretch that is not as usual.

    kind "free": no practice. "short": `minutes` instead of the usual. "concert", "audition": rule 4 eases
    the days around `first` (first == last for these two).
    """

    kind: Literal["free", "short", "concert", "audition"]
    first: date
    last: date
    title: str
    minutes: int | None


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit with an end: braces, illness, a clinician's cap. None or () where it says nothing."""

    title: str
    first: date
    until: date
    top_note: int | None
    minutes: int | None
    without: tuple[Family, ...]


@dataclass(frozen=True, slots=True)
class OwnMusic:
    """A piece of the player's own; `days` are weekdays, () means wherever it fits."""

    id: str
    title: str
    part: str
    minutes: int
    days: tuple[int, ...]
    band: tuple[int, int] | None
    until: date | None
    intensity: int


@dataclass(frozen=True, slots=True)
class OtherPlaying:
    """A rehearsal or lesson outside the plan: `on_the_lip` is the share of the minutes really played."""

    title: str
    days: tuple[int, ...]
    minutes: int
    on_the_lip: float
    intensity: int


@dataclass(frozen=True, slots=True)
class OwnWarmUp:
    """The player's own fixed warm-up, for which the program leaves the room."""

    title: str
    minutes: int


@dataclass(frozen=True, slots=True)
class Easing:
    """How the practice days after a break are eased; all four are common practice without a source.

    `shares`: per cent of the usual minutes, one for each practice day from the return on; the warm-up of
    these days is `warm_up_minutes` longer. On the first of them targets lie `notches` lower and the top note
    `semitones` lower; the range family stays out while a share is below 100.
    """

    shares: tuple[int, ...]
    warm_up_minutes: int
    notches: int
    semitones: int


@dataclass(frozen=True, slots=True)
class Missed:
    """A stretch that was missed, both ends included; `played` are days in it on which the diary has ratings.

    `easing` None: by the length of the break.
    """

    first: date
    last: date
    played: tuple[date, ...]
    easing: Easing | None


@dataclass(frozen=True, slots=True)
class Player:
    """One player.

    `minutes` holds seven numbers, Monday first. `low` and `high` bound the written range;
    `known_notes` replaces it where it is not empty. `breath_seconds` is one comfortable breath at
    mezzo-forte. `boldness` is the success probability a tempo target aims at. `history` is the path of a
    file of earlier ratings ("" where there is none). `starts` is the Monday of curriculum week 1. `missed`
    is no part of the file: it was told afterwards, and its days stand in `dates` as free. `goals` are own
    goals by exercise: marks of its beat, or seconds held.
    """

    id: str
    name: str
    instrument: str
    level: Level
    curriculum: str
    starts: date
    minutes: tuple[int, int, int, int, int, int, int]
    low: int
    high: int
    known_notes: tuple[int, ...]
    breath_seconds: float
    longest_position: int
    side: Literal["F", "B flat"]
    dates: tuple[SpecialDate, ...]
    limits: tuple[Limit, ...]
    music: tuple[OwnMusic, ...]
    playing: tuple[OtherPlaying, ...]
    warm_up: OwnWarmUp | None
    articulation_order: tuple[Articulation, ...]
    spans: Mapping[str, int]
    boldness: float
    blocks_a_day: int
    minutes_a_block: int
    families_a_day: int
    load_per_minute: float
    history: str
    missed: tuple[Missed, ...] = ()
    goals: Mapping[str, int] = field(default_factory=dict)
