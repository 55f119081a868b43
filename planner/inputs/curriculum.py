"""What a curriculum file says, as frozen types. Reading and checking: `read.py`.

Conventions: weeks count from 1; tempos are marks of the exercise's own beat per minute;
keys are line-of-fifths spellings, concert or written as `keys_are` says.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from planner.brass.figures import Figure
from planner.brass.keys import Key
from planner.brass.tempo import Beat, Meter

Family = Literal[
    "warm-up",
    "long tones",
    "flexibility",
    "scales",
    "arpeggios",
    "articulation",
    "range",
    "intervals",
    "etude",
    "own music",
    "warm-down",
]
Measure = Literal["tempo", "seconds", "top note", "bend", "band", "none"]
Articulation = Literal["slurred", "legato", "tongued", "staccato", "K", "double", "triple"]
Level = Literal["beginner", "intermediate", "advanced"]

LEVELS: tuple[Level, ...] = ("beginner", "intermediate", "advanced")


@dataclass(frozen=True, slots=True)
class TempoSpan:
    """From the first tempo to the goal: marks of `beat` per minute, first <= goal."""

    beat: Beat
    first: int
    goal: int


@dataclass(frozen=True, slots=True)
class HoldSpan:
    """Measure `seconds`: how long a tone is held at first and in the end, in seconds."""

    first: int
    goal: int


@dataclass(frozen=True, slots=True)
class Pattern:
    """One figure of an exercise; `source` is the notation as written in the file."""

    name: str
    figure: Figure
    source: str


@dataclass(frozen=True, slots=True)
class Exercise:
    """One exercise: its patterns, places, articulations and tempos.

    Partials: `cycle` neighbouring positions from each of `starts` (position s to s + cycle - 1).
    Degrees: one place a key of `keys`, in the order in which they are taught.
    `tempos` has one entry for every articulation. `hold` is set for measure "seconds" only.
    """

    id: str
    title: str
    purpose: str
    family: Family
    measure: Measure
    weeks: tuple[int, ...]
    meter: Meter
    patterns: tuple[Pattern, ...]
    passes: int
    rounds: int
    articulations: tuple[Articulation, ...]
    articulations_are: Literal["alternate", "each"]
    tempos: Mapping[Articulation, TempoSpan]
    hold: HoldSpan | None
    cycle: int
    starts: tuple[int, ...]
    keys: tuple[Key, ...]
    keys_are: Literal["concert", "written"]
    octave: int
    after: tuple[str, ...]
    instruments: tuple[str, ...]
    level: Level


KindOfTermDate = Literal["holiday", "half week", "concert", "assessment"]


@dataclass(frozen=True, slots=True)
class TermDate:
    """Days of one curriculum week that are not as usual, for everybody who works by the curriculum.

    "holiday" and "half week": no practice on `days` (weekdays, Monday = 0). "concert" and "assessment" are
    one day each: the rules of a concert and of an audition hold around them.
    """

    kind: KindOfTermDate
    week: int
    days: tuple[int, ...]
    title: str


@dataclass(frozen=True, slots=True)
class Curriculum:
    """A term's exercises and dates in the order of the file."""

    id: str
    title: str
    author: str
    licence: str
    weeks: int
    exercises: tuple[Exercise, ...]
    dates: tuple[TermDate, ...] = ()

    def exercise(self, exercise_id: str) -> Exercise:
        """The exercise with this id; KeyError where there is none."""
        for exercise in self.exercises:
            if exercise.id == exercise_id:
                return exercise
        raise KeyError(exercise_id)
