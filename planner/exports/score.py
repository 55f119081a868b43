"""What is written out for other programs: pieces, their bars and the beams in them.

Conventions: pitches are written; lengths are in eighths (Fraction); a piece is one exercise for one
instrument, its passages one after the other, each played `passes` times. No file access, nothing outside the
standard library.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from planner.brass.figures import Note, Passage
from planner.brass.instruments import Instrument
from planner.brass.notation import Slur
from planner.brass.tempo import Beat, Meter, eighths_per_minute

DOT = Fraction(3, 2)
TYPES: dict[Fraction, tuple[str, int]] = {
    Fraction(8): ("whole", 0),
    Fraction(12): ("whole", 1),
    Fraction(4): ("half", 0),
    Fraction(6): ("half", 1),
    Fraction(2): ("quarter", 0),
    Fraction(3): ("quarter", 1),
    Fraction(1): ("eighth", 0),
    Fraction(3, 2): ("eighth", 1),
    Fraction(1, 2): ("16th", 0),
    Fraction(3, 4): ("16th", 1),
}
"""Every length of the notation, as a note type and dots."""

BEAMS = {"eighth": 1, "16th": 2}


@dataclass(frozen=True, slots=True)
class Piece:
    """One exercise as it is played: `tempo` in the beat a minute, each passage `passes` times.

    `staccato` puts a dot on every note.
    """

    title: str
    instrument: Instrument
    meter: Meter
    passages: tuple[Passage, ...]
    tempo: int
    beat: Beat
    passes: int
    staccato: bool = False

    @property
    def eighths_per_minute(self) -> Fraction:
        """The tempo in eighths a minute, whatever the beat."""
        return Fraction(eighths_per_minute(self.tempo, self.beat))


Beam = tuple[str, ...]
"""begin, continue, end, forward hook or backward hook for each level of beams; empty without a beam."""


def articulated(passage: Passage, articulation: str) -> Passage:
    """The passage with a slur from rest to rest, where it is slurred and has no slur of its own."""
    if articulation != "slurred" or any(note.slur for note in passage.notes):
        return passage
    notes = list(passage.notes)
    for run in _runs(notes):
        if len(run) > 1:
            for number in run:
                where: Slur = "start" if number == run[0] else "end" if number == run[-1] else "inside"
                notes[number] = replace(notes[number], slur=where)
    return replace(passage, notes=tuple(notes))


def _runs(notes: Sequence[Note]) -> list[list[int]]:
    """The notes between rests and breaths, by their numbers."""
    runs: list[list[int]] = [[]]
    for number, note in enumerate(notes):
        if note.pitch is None:
            runs.append([])
            continue
        runs[-1].append(number)
        if note.breath:
            runs.append([])
    return runs


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
    """Where the groups of a bar begin, in eighths; one beat a group where the grouping is a single one."""
    unit = Fraction(8, meter.unit)
    sizes = meter.grouping if len(meter.grouping) > 1 else (1,) * meter.beats
    starts, at = [], Fraction(0)
    for size in sizes:
        starts.append(at)
        at += size * unit
    return tuple(starts)


def beams(bar: Sequence[Note], meter: Meter) -> tuple[Beam, ...]:
    """The beams of a bar's notes: eighths and shorter, joined within a group, never over a rest."""
    starts = group_starts(meter)
    groups: list[list[int]] = [[]]
    at, group = Fraction(0), -1
    for number, note in enumerate(bar):
        now = max(index for index, start in enumerate(starts) if start <= at)
        flagged = note.pitch is not None and TYPES[note.eighths][0] in BEAMS
        if now != group or not flagged:
            groups.append([])
            group = now
        if flagged:
            groups[-1].append(number)
        at += note.eighths
    found: list[Beam] = [()] * len(bar)
    for members in groups:
        if len(members) > 1:
            levels = [BEAMS[TYPES[bar[number].eighths][0]] for number in members]
            for place, number in enumerate(members):
                found[number] = tuple(_beam(levels, place, level) for level in range(1, levels[place] + 1))
    return tuple(found)


def _beam(levels: Sequence[int], place: int, level: int) -> str:
    """What one level of beams does at a note of its group."""
    before = place > 0 and levels[place - 1] >= level
    after = place + 1 < len(levels) and levels[place + 1] >= level
    if before and after:
        return "continue"
    if before or after:
        return "end" if before else "begin"
    return "backward hook" if place > 0 else "forward hook"
