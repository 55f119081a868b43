"""How hard a passage is, from its notes: lip work from 1 to 5, and a first guess of the clean tempo.

Every weight is a named constant with its reason; all of them are assumptions that the first ratings correct.
Heights are shares of the player's own written range, 0 at its low end and 1 at its top; a range of less than
an octave counts as an octave, so that five known notes are not called high. Notches: 1/16 octave of tempo.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from planner.brass.instrument_table import Instrument
from planner.brass.keys import Key
from planner.brass.passages import Note, Passage

SHORTEST_RANGE_SEMITONES: Final = 12
# Lip work: half the highest note, half the mean height; up to these shares it is 1, 2, 3, 4, above them 5.
# The middle of the range is light work (2), its upper third is work (3), work at the top is heavy (4, 5).
TOP_SHARE: Final = 0.5
INTENSITY_STEPS: Final = (0.3, 0.6, 0.8, 0.92)
# Jumps of more than a fifth ask more of the lip than their notes alone.
WIDE_JUMP_SEMITONES: Final = 7
WIDE_JUMP_SHARE: Final = 0.1

# First guess, in notches below the goal.
AT_BEST: Final = -1.0  # nothing new is quite at its goal
AT_WORST: Final = -14.0  # about half the goal tempo: a sensible first tempo for the hardest
START: Final = -2.0
PER_HEIGHT: Final = -4.0  # from the middle of the range to its top: high notes speak later
PER_SEMITONE_OF_INTERVAL: Final = -0.4  # mean interval above a whole tone: wider is less sure
PER_SKIPPED_PARTIAL: Final = -1.0  # mean number of partials passed over from note to note
PER_ACCIDENTAL: Final = -0.2  # sharps or flats in the signature of a scale: read and fingered more slowly
PER_FOREIGN_NOTE: Final = -2.0  # share of notes outside the signature
PER_CHANGE_A_SECOND: Final = -0.5  # fingering or slide changes above two a second
EASY_CHANGES_A_SECOND: Final = 2.0
PER_AWKWARD_CHANGE: Final = -3.0  # share of changes with fingers in contrary motion or a long slide travel
LONG_SLIDE_TRAVEL: Final = 3
PER_NOTE_A_SECOND: Final = -1.2  # notes a second above what the articulation carries easily
PER_LONG_TUBE: Final = -1.0  # share of notes at position 5 and beyond: more tubing speaks less readily
LONG_TUBE_FROM: Final = 5
# Notes a second that an articulation carries easily. common practice, no source
EASY_NOTES_A_SECOND: Final = {
    "slurred": 4.0,
    "legato": 3.5,
    "tongued": 3.5,
    "staccato": 3.0,
    "K": 2.0,
    "double": 6.0,
    "triple": 6.0,
}


def intensity(passages: Sequence[Passage], low: int, high: int) -> int:
    """Lip work of the passages of one round, 1 (light) to 5 (heavy), for a written range low..high.

    A bound to the top: nothing that stays below the middle of the range is ever heavier than 2.
    """
    top = max(_height(passage.highest, low, high) for passage in passages)
    length = sum((note.eighths for note in _sounded(passages)), Fraction(0))
    total = sum(
        _height(note.pitch.midi, low, high) * float(note.eighths)
        for note in _sounded(passages)
        if note.pitch is not None
    )
    share = TOP_SHARE * top + (1 - TOP_SHARE) * total / float(length)
    jumps = _intervals(passages)
    wide = sum(jump > WIDE_JUMP_SEMITONES for jump in jumps) / max(1, len(jumps))
    share += WIDE_JUMP_SHARE * wide
    return 1 + sum(share > step for step in INTENSITY_STEPS)


def first_guess_notches(
    passages: Sequence[Passage],
    tempo_goal_eighths_per_minute: float | Fraction,
    instrument: Instrument,
    articulation: str,
    low: int,
    high: int,
) -> float:
    """Where the clean tempo probably stands before anything was played: notches from the goal, -14 to -1."""
    seconds = float(sum(passage.eighths for passage in passages)) * 60 / float(tempo_goal_eighths_per_minute)
    guess = (
        START
        + PER_HEIGHT * max(0.0, 2 * max(_height(passage.highest, low, high) for passage in passages) - 1)
        + _from_intervals(passages)
        + _from_reading(passages)
        + _from_changes(passages, instrument, seconds)
        + _from_speed(passages, articulation, seconds)
        + PER_LONG_TUBE * _share([(note.position or 0) >= LONG_TUBE_FROM for note in _sounded(passages)])
    )
    return max(AT_WORST, min(AT_BEST, guess))


def _from_intervals(passages: Sequence[Passage]) -> float:
    """Wide intervals, and partials passed over where the tube stays the same."""
    jumps = _intervals(passages)
    skipped = [
        abs(after.partial - before.partial) - 1
        for before, after in _pairs(passages)
        if before.partial and after.partial and before.fingering == after.fingering
    ]
    wide = max(0.0, sum(jumps) / max(1, len(jumps)) - 2)
    passed = max(0.0, sum(skipped) / max(1, len(skipped)))
    return PER_SEMITONE_OF_INTERVAL * wide + PER_SKIPPED_PARTIAL * passed


def _from_reading(passages: Sequence[Passage]) -> float:
    """Accidentals, where the key is read and not given by the tube."""
    if all(len(passage.positions) <= 1 for passage in passages):
        return 0.0
    signature = sum(abs(passage.key.signature) for passage in passages) / len(passages)
    foreign = _share([_is_foreign(note, passage.key) for passage in passages for note in _sounded([passage])])
    return PER_ACCIDENTAL * signature + PER_FOREIGN_NOTE * foreign


def _from_changes(passages: Sequence[Passage], instrument: Instrument, seconds: float) -> float:
    """Fingering or slide changes: how many a second, and how awkward."""
    changes = [(before, after) for before, after in _pairs(passages) if before.fingering != after.fingering]
    rate = len(changes) / seconds
    awkward = _share([_is_awkward(before, after, instrument) for before, after in changes])
    return PER_CHANGE_A_SECOND * max(0.0, rate - EASY_CHANGES_A_SECOND) + PER_AWKWARD_CHANGE * awkward


def _from_speed(passages: Sequence[Passage], articulation: str, seconds: float) -> float:
    """Notes a second beyond what the articulation carries easily."""
    rate = sum(not note.tie for note in _sounded(passages)) / seconds
    return PER_NOTE_A_SECOND * max(0.0, rate - EASY_NOTES_A_SECOND[articulation])


def _height(midi: int, low: int, high: int) -> float:
    """Where a note lies in the range, 0 to 1 (more above it)."""
    return max(0.0, (midi - low) / max(high - low, SHORTEST_RANGE_SEMITONES))


def _sounded(passages: Sequence[Passage]) -> list[Note]:
    """The notes without rests."""
    return [note for passage in passages for note in passage.notes if note.pitch is not None]


def _pairs(passages: Sequence[Passage]) -> list[tuple[Note, Note]]:
    """Neighbouring notes of each passage."""
    return [pair for passage in passages for pair in pairwise(_sounded([passage]))]


def _intervals(passages: Sequence[Passage]) -> list[int]:
    """Semitones between neighbouring notes."""
    return [
        abs(after.pitch.midi - before.pitch.midi)
        for before, after in _pairs(passages)
        if before.pitch is not None and after.pitch is not None
    ]


def _is_foreign(note: Note, key: Key) -> bool:
    """Whether a note needs an accidental beside the signature."""
    assert note.pitch is not None
    return not key.signature - 1 <= note.pitch.fifths <= key.signature + 5


def _is_awkward(before: Note, after: Note, instrument: Instrument) -> bool:
    """Valves: a finger goes down while another comes up, the third among them. Slide: a long travel."""
    if instrument.is_slide:
        return abs((before.position or 0) - (after.position or 0)) >= LONG_SLIDE_TRAVEL
    held, wanted = set(before.fingering) & set("1234"), set(after.fingering) & set("1234")
    down, up = wanted - held, held - wanted
    return bool(down) and bool(up) and "3" in down | up


def _share(facts: Sequence[bool]) -> float:
    """The share of true ones; 0 of none."""
    return sum(facts) / max(1, len(facts))
