"""What is written out for other programs: pieces, one exercise for one instrument each.

Conventions: pitches are written; lengths are in eighths (Fraction); the passages of a piece come one after
the other, each played `passes` times. How a passage is printed (accidentals, beams, slurs, fingerings) is
engrave/score.py's part. No file access, nothing outside the standard library.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from planner.brass.figures import Note, Passage
from planner.brass.instruments import Instrument
from planner.brass.tempo import Beat, Meter, eighths_per_minute


@dataclass(frozen=True, slots=True)
class Piece:
    """One exercise as it is played: `tempo` in the beat a minute, each passage `passes` times.

    `articulation` is drawn in where the notation has no slurs of its own.
    """

    title: str
    instrument: Instrument
    meter: Meter
    passages: tuple[Passage, ...]
    tempo: int
    beat: Beat
    passes: int
    articulation: str = ""

    @property
    def eighths_per_minute(self) -> Fraction:
        """The tempo in eighths a minute, whatever the beat."""
        return Fraction(eighths_per_minute(self.tempo, self.beat))


def bars(passage: Passage, meter: Meter) -> Iterator[tuple[Note, ...]]:
    """The notes of each bar. A figure fills whole bars and no note crosses a bar line."""
    bar: list[Note] = []
    filled = Fraction(0)
    for note in passage.notes:
        bar.append(note)
        filled += note.eighths
        if filled == meter.eighths_per_bar:
            yield tuple(bar)
            bar, filled = [], Fraction(0)
    assert not bar, "a figure fills whole bars"


def group_starts(meter: Meter) -> tuple[Fraction, ...]:
    """Where the groups of a bar begin, in eighths; the bar alone where its grouping is a single one."""
    unit = Fraction(8, meter.unit)
    starts, at = [], Fraction(0)
    for size in meter.grouping:
        starts.append(at)
        at += size * unit
    return tuple(starts)
