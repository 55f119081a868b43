"""The metronome scale, notches, beats and meters.

Conventions: tempos are beats per minute of a named beat; a notch is 1/16 octave (4.43 %, the mean step of the
scale); all eighths of a meter are equally long: the grouping sets accents and click, never the length.
Seconds of an item and of a breath stand in `timing.py`; its names can be had from here as well.
"""

from __future__ import annotations

import math
import re
from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Final, Literal

from planner.brass.timing import (
    SET_UP_SECONDS,
    Timing,
    item_timing,
    lowest_mark_for_breath,
    passes_in_breath,
    whole_seconds,
)

__all__ = [
    "EIGHTHS_IN_BEAT",
    "MARKS",
    "SET_UP_SECONDS",
    "BadMeter",
    "Beat",
    "Meter",
    "Timing",
    "eighths_per_minute",
    "groupings",
    "item_timing",
    "lowest_mark_for_breath",
    "mark_at_or_above",
    "mark_at_or_below",
    "nearest_mark",
    "next_mark",
    "notches",
    "parse_meter",
    "passes_in_breath",
    "quarter_beside",
    "tempo_at",
    "whole_seconds",
]

Beat = Literal["eighth", "quarter", "dotted quarter", "half"]

EIGHTHS_IN_BEAT: Final[dict[Beat, int]] = {"eighth": 1, "quarter": 2, "dotted quarter": 3, "half": 4}

# The 39 marks of the common metronome: by 2 to 60, by 3 to 72, by 4 to 120, by 6 to 144, by 8 to 208.
# Horn list archive, music.memphis.edu, msg29183 and msg29184 derive the same scale.
MARKS: Final[tuple[int, ...]] = (
    *range(40, 60, 2),
    *range(60, 72, 3),
    *range(72, 120, 4),
    *range(120, 144, 6),
    *range(144, 209, 8),
)
NOTCHES_IN_OCTAVE: Final = 16
UNITS: Final = (1, 2, 4, 8, 16)


class BadMeter(ValueError):
    """A meter or grouping that cannot be counted; `hint` says what to write."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Meter:
    """A meter and how its bar is counted; `grouping` is in units of the meter's own lower number.

    >>> Meter(5, 8, (2, 3)).eighths_per_bar, Meter(3, 4, (3,)).eighths_per_bar
    (Fraction(5, 1), Fraction(6, 1))
    """

    beats: int
    unit: int
    grouping: tuple[int, ...]

    def __post_init__(self) -> None:
        """BadMeter where the numbers are no meter or the groups do not add up to the bar."""
        if self.unit not in UNITS or not 1 <= self.beats <= 32:
            raise BadMeter(f"{self.text} is not a meter", "for example 4/4, 6/8 or 5/8")
        if min(self.grouping, default=0) < 1 or sum(self.grouping) != self.beats:
            wrong = "+".join(str(group) for group in self.grouping)
            ways = groupings(self.beats)[:3] or ((self.beats,),)
            usual = " or ".join("+".join(str(part) for part in way) for way in ways)
            raise BadMeter(f"accents {wrong} do not fill a bar of {self.text}", f"for example {usual}")

    @property
    def text(self) -> str:
        """As it is written: "5/8"."""
        return f"{self.beats}/{self.unit}"

    @property
    def grouping_text(self) -> str:
        """The accents as they are spoken of: "2+3"."""
        return "+".join(str(group) for group in self.grouping)

    @property
    def eighths_per_bar(self) -> Fraction:
        """How many eighths a bar lasts."""
        return Fraction(self.beats * 8, self.unit)


def parse_meter(text: str, grouping: tuple[int, ...] | None = None) -> Meter:
    """A meter as it is written ("5/8"); without `grouping` the usual one; BadMeter otherwise.

    >>> parse_meter("7/8").grouping, parse_meter("7/8", (3, 2, 2)).grouping_text
    ((2, 2, 3), '3+2+2')
    """
    match = re.fullmatch(r" *([0-9]{1,2}) */ *([0-9]{1,2}) *", text)
    if match is None:
        raise BadMeter(f'"{text}" is not a meter', "for example 4/4, 6/8 or 5/8")
    beats, unit = int(match[1]), int(match[2])
    return Meter(beats, unit, usual_grouping(beats, unit) if grouping is None else tuple(grouping))


def usual_grouping(beats: int, unit: int) -> tuple[int, ...]:
    """How a bar is counted when nobody says otherwise.

    Eighths and shorter: 6, 9, 12 in threes, even numbers in twos, odd ones in twos with the three last.
    Quarters and longer: up to four in one group, 5 as 3+2, 6, 9, 12 in threes, longer bars in fours.
    """
    if beats <= 3 or (unit <= 4 and beats == 4):
        return (beats,)
    if beats % 3 == 0:
        return (3,) * (beats // 3)
    if unit >= 8:
        return (2,) * (beats // 2) if beats % 2 == 0 else (2,) * ((beats - 3) // 2) + (3,)
    fours = (beats - 2) // 4
    rest = beats - 4 * fours
    return (4,) * fours + ((3, 2) if rest == 5 else (rest,))


@cache
def groupings(beats: int) -> tuple[tuple[int, ...], ...]:
    """Every way to count a bar in twos and threes, in order.

    >>> groupings(7)
    ((2, 2, 3), (2, 3, 2), (3, 2, 2))
    """
    if beats == 0:
        return ((),)
    return tuple((first, *rest) for first in (2, 3) if first <= beats for rest in groupings(beats - first))


def notches(tempo: float, goal: float) -> float:
    """How far a tempo lies above (positive) or below (negative) a goal of the same beat, in notches."""
    return NOTCHES_IN_OCTAVE * math.log2(tempo / goal)


def tempo_at(level: float, goal: float) -> float:
    """The tempo (or seconds held) so many notches above a goal, below it for a negative level.

    >>> tempo_at(-16, 120), tempo_at(8, 100) == 100 * 2**0.5
    (60.0, True)
    """
    return float(goal * 2.0 ** (level / NOTCHES_IN_OCTAVE))


def nearest_mark(bpm: float) -> int:
    """The mark nearest in ratio; 40 and 208 bound it."""
    place = bisect_left(MARKS, bpm)
    if place in (0, len(MARKS)):
        return MARKS[min(place, len(MARKS) - 1)]
    below, above = MARKS[place - 1], MARKS[place]
    return above if bpm * bpm >= below * above else below


def mark_at_or_below(bpm: float) -> int:
    """The highest mark that is not faster; 40 where all are faster."""
    return MARKS[max(bisect_right(MARKS, bpm) - 1, 0)]


def mark_at_or_above(bpm: float) -> int | None:
    """The lowest mark that is not slower; None above 208."""
    place = bisect_left(MARKS, bpm)
    return MARKS[place] if place < len(MARKS) else None


def next_mark(bpm: float) -> int | None:
    """The next faster mark; None from 208 on."""
    place = bisect_right(MARKS, bpm)
    return MARKS[place] if place < len(MARKS) else None


def eighths_per_minute(tempo: float | Fraction, beat: Beat) -> Fraction:
    """How many eighths a minute a tempo of this beat makes.

    >>> eighths_per_minute(72, "dotted quarter")
    Fraction(216, 1)
    """
    return Fraction(tempo) * EIGHTHS_IN_BEAT[beat]


def quarter_beside(tempo: float, beat: Beat) -> Fraction | None:
    """The quarter's tempo to print beside an eighth above the scale (208); None where it is not needed."""
    return Fraction(tempo) / 2 if beat == "eighth" and tempo > MARKS[-1] else None
