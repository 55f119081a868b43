"""From a figure to the notes of one instrument: spelled, fingered and measured.

Partials: the tube is chosen (a position), the key of the bar follows. Degrees: the key is chosen, the
positions follow. All pitches are written; `Note.sounding`, `lowest` and `highest` are MIDI numbers (sounding,
written, written). On the F side of the horn partial figures are doubled, so that the same written notes come
out.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from planner.brass.fingerings import (
    NotOnInstrumentError,
    fingerings,
    open_key,
    sounding,
    tube_note,
    valves_of,
)
from planner.brass.instrument_table import Instrument
from planner.brass.keys import Key, Pitch, degree_pitch, spell
from planner.brass.notation import Figure, Slur, Token
from planner.brass.tubes import Side

_MOST_OCTAVES = 8
_CLEAR_DIRECTION = Fraction(3, 2)  # a line that moves this many degrees is rising or falling for any ear


@dataclass(frozen=True, slots=True)
class Note:
    """One note as it stands in a part; a rest has no pitch.

    `fingering` is "" and `position` None where the instrument does not have the note.
    """

    pitch: Pitch | None
    sounding: int | None
    partial: int | None
    position: int | None
    fingering: str
    eighths: Fraction
    accent: bool
    tie: bool
    slur: Slur
    bend: bool
    breath: bool


@dataclass(frozen=True, slots=True)
class Passage:
    """A figure written out once, at one position or in one key.

    `positions` are the positions touched, sorted; `fingering_first` stands over the first note.
    """

    key: Key
    notes: tuple[Note, ...]
    bars: int
    eighths: Fraction
    lowest: int
    highest: int
    positions: tuple[int, ...]
    fingering_first: str

    @property
    def missing(self) -> tuple[int, ...]:
        """Written MIDI numbers of the notes that the instrument does not have, rising."""
        found = {note.pitch.midi for note in self.notes if note.pitch is not None and not note.fingering}
        return tuple(sorted(found))


@cache
def write_partials(figure: Figure, instrument: Instrument, position: int, side: Side = "F") -> Passage:
    """The notes of a partial figure at one position; ValueError where the instrument has no such position.

    Horn: doubled on the F side, as it stands on the B flat side.
    """
    key = open_key(instrument, position, side)
    valves = valves_of(instrument, position, side)
    times = 2 if is_doubled(instrument, side) else 1
    notes = []
    for token in figure.tokens:
        if token.number is None:
            notes.append(_note(instrument, token, None, None, None, ""))
            continue
        partial = token.number * times
        pitch = spell(tube_note(instrument, position, partial, side), key)
        notes.append(_note(instrument, token, pitch, partial, position, valves))
    return _passage(figure, key, notes)


@cache
def write_degrees(
    figure: Figure, instrument: Instrument, written_key: Key, low: int, high: int, octave: int = 0
) -> Passage:
    """The notes of a degree figure in one written key, placed in the range low..high (written MIDI numbers).

    The tonic goes into the lowest octave in which every note lies in the range, and `octave` octaves up from
    there; where none fits, into the lowest octave whose lowest note is not below the range.
    """
    pitches = _degrees(figure, written_key)
    heights = [pitch.midi for pitch in pitches if pitch is not None]
    shift = _octaves(min(heights), max(heights), low, high) + octave
    notes = []
    for token, pitch in zip(figure.tokens, pitches, strict=True):
        placed = None if pitch is None else Pitch(pitch.fifths, pitch.octave + shift)
        notes.append(_note(instrument, token, placed, *_fingered(instrument, placed)))
    return _passage(figure, written_key, notes)


def is_doubled(instrument: Instrument, side: Side) -> bool:
    """Whether partial figures are doubled: the F side of a horn (a single horn has no other)."""
    return instrument.is_horn and (side == "F" or instrument.mechanism == "single horn")


def _fingered(instrument: Instrument, pitch: Pitch | None) -> tuple[int | None, int | None, str]:
    """Partial, position and standard fingering of a written note; nothing where there is none."""
    if pitch is None:
        return None, None, ""
    try:
        found = fingerings(instrument, pitch.midi)
    except NotOnInstrumentError:
        return None, None, ""
    return found.partial, found.position, found.standard


def _note(
    instrument: Instrument,
    token: Token,
    pitch: Pitch | None,
    partial: int | None,
    position: int | None,
    fingering: str,
) -> Note:
    """One token with its pitch and fingering."""
    return Note(
        pitch=pitch,
        sounding=None if pitch is None else sounding(instrument, pitch.midi),
        partial=partial,
        position=position,
        fingering=fingering,
        eighths=token.eighths,
        accent=token.accent,
        tie=token.tie,
        slur=token.slur,
        bend=token.bend,
        breath=token.breath,
    )


def _passage(figure: Figure, key: Key, notes: list[Note]) -> Passage:
    """The notes together, with what is touched."""
    heights = [note.pitch.midi for note in notes if note.pitch is not None]
    touched = {note.position for note in notes if note.position is not None}
    first = next(note.fingering for note in notes if note.pitch is not None)
    return Passage(
        key,
        tuple(notes),
        figure.bars,
        figure.eighths,
        min(heights),
        max(heights),
        tuple(sorted(touched)),
        first,
    )


def _octaves(lowest: int, highest: int, low: int, high: int) -> int:
    """Octaves to move notes between lowest and highest so that they lie in low..high."""
    lifted = -((lowest - low) // 12)  # the lowest octave whose lowest note is not below the range
    fits = [shift for shift in range(lifted, lifted + _MOST_OCTAVES) if highest + 12 * shift <= high]
    return min(fits, default=lifted)


def _degrees(figure: Figure, key: Key) -> list[Pitch | None]:
    """The pitches with the tonic in octave 4, None for rests."""
    falling = _falling(figure) if key.mode == "melodic minor" else frozenset()
    return [
        None
        if token.number is None
        else degree_pitch(key, token.number, token.alter, 4, index in falling or token.alter != 0)
        for index, token in enumerate(figure.tokens)
    ]


def _steps(token: Token) -> int:
    """Degrees above the tonic, 0 for degree 1."""
    assert token.number is not None
    return token.number - 1 if token.number > 0 else token.number


def _falling(figure: Figure) -> frozenset[int]:
    """The tokens on the way down, which take the natural sixth and seventh of the melodic minor.

    Sixths and sevenths that follow each other go together. A line that clearly rises or falls around them
    decides; else they are raised where they lead to the tonic a step above, or on upwards at all.
    An altered degree counts from the natural minor ("#6" is the raised sixth).
    """
    notes = [(index, _steps(token)) for index, token in enumerate(figure.tokens) if token.number is not None]
    found: set[int] = set()
    start = 0
    while start < len(notes):
        end = start
        while end < len(notes) and notes[end][1] % 7 >= 5:
            end += 1
        if end > start:
            steps = [step for _, step in notes]
            if _falls(steps[max(0, start - 3) : start], steps[start:end], steps[end : end + 3]):
                found.update(index for index, _ in notes[start:end])
        start = max(end, start + 1)
    return frozenset(found)


def _falls(before: list[int], run: list[int], after: list[int]) -> bool:
    """Whether a run of sixths and sevenths is on the way down, from up to three degrees on either side."""
    if not after:
        return bool(before) and before[-1] > run[0]
    if not before:
        return after[0] < run[-1]
    moved = Fraction(sum(after), len(after)) - Fraction(sum(before), len(before))
    if abs(moved) >= _CLEAR_DIRECTION:
        return moved < 0
    return after[0] < run[-1]
