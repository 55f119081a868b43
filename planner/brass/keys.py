"""Pitches and keys spelled on the line of fifths, written and sounding.

Conventions: the line of fifths is ... E flat -3, B flat -2, F -1, C 0, G 1, D 2 ...; a sharp is 7 further up.
Octaves count from C; C4 is middle C, MIDI 60; the octave belongs to the letter (B sharp 4 sounds as C5).
A key's `fifths` is the place of its tonic, so for major keys it is the signature as well.
A transposition leads from the written to the sounding note.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from planner.brass.names import BadName, Mode, Naming, note_fifths, split_mode, split_octave

__all__ = [
    "MAJOR_KEYS",
    "MODES",
    "BadName",
    "Key",
    "Mode",
    "Naming",
    "Pitch",
    "Transposition",
    "degree_pitch",
    "parse_key",
    "parse_pitch",
    "respell",
    "spell",
    "transpose_key",
    "transpose_pitch",
]

MODES: Final[tuple[Mode, ...]] = ("major", "natural minor", "harmonic minor", "melodic minor", "chromatic")

_LETTERS: Final = "CDEFGAB"
_LETTER_SEMITONES: Final = (0, 2, 4, 5, 7, 9, 11)
# Scale degrees 1 to 7 as steps on the line of fifths from the tonic.
_DEGREE_FIFTHS: Final[dict[Mode, tuple[int, ...]]] = {
    "major": (0, 2, 4, -1, 1, 3, 5),
    "natural minor": (0, 2, -3, -1, 1, -4, -2),
    "harmonic minor": (0, 2, -3, -1, 1, -4, 5),
    "melodic minor": (0, 2, -3, -1, 1, 3, 5),
    # A chromatic figure writes its semitones as altered degrees of the major scale (1 #1 2 #2 3 ... 8).
    "chromatic": (0, 2, 4, -1, 1, 3, 5),
}
_MINOR_TONIC_ABOVE_SIGNATURE: Final = 3
_OCTAVE_ON_THE_LINE: Final = 12
_MOST_IN_PRINT: Final = 6  # a key with seven sharps or flats is respelled with five of the other


@dataclass(frozen=True, slots=True, order=True)
class Pitch:
    """A spelled note: place on the line of fifths and octave of its letter.

    >>> Pitch(-2, 4).name, Pitch(-2, 4).midi, Pitch(12, 4).midi
    ('B♭4', 70, 72)
    """

    fifths: int
    octave: int

    @property
    def step(self) -> str:
        """The letter, C to B."""
        return _LETTERS[self.fifths * 4 % 7]

    @property
    def alter(self) -> int:
        """Semitones by which the letter is raised (sharps) or lowered (flats)."""
        return (self.fifths + 1) // 7

    @property
    def diatonic(self) -> int:
        """The place on the staff: letters counted from C0."""
        return self.octave * 7 + _LETTERS.index(self.step)

    @property
    def midi(self) -> int:
        """The MIDI number, C4 = 60."""
        return 12 * (self.octave + 1) + _LETTER_SEMITONES[_LETTERS.index(self.step)] + self.alter

    @property
    def name(self) -> str:
        """For print: "B♭4"."""
        return f"{_note_name(self.fifths)}{self.octave}"

    @property
    def ascii(self) -> str:
        """In plain characters: "Bb4"."""
        return self.name.replace("\u266d", "b").replace("\u266f", "#")


@dataclass(frozen=True, slots=True)
class Transposition:
    """From the written to the sounding note: letters and semitones, both negative where it sounds lower."""

    diatonic: int
    chromatic: int

    @property
    def fifths(self) -> int:
        """The same interval as steps on the line of fifths, octaves left out."""
        return 7 * self.chromatic - 12 * self.diatonic


@dataclass(frozen=True, slots=True)
class Key:
    """A tonic and a mode; at most seven sharps or flats in the signature.

    >>> Key(-4, "major").name, Key(7, "melodic minor").id, Key(7, "melodic minor").signature
    ('A-flat major', 'c-sharp-melodic-minor', 4)
    """

    fifths: int
    mode: Mode

    def __post_init__(self) -> None:
        """BadName for an unknown mode or a signature that is not written."""
        if self.mode not in MODES:
            raise BadName(f'"{self.mode}" is not a mode', f"one of {', '.join(MODES)}")
        if abs(_signature(self.fifths, self.mode)) > 7:
            near = Key(_simplest(self.fifths, self.mode), self.mode)
            raise BadName(
                f"{_note_name(self.fifths)} {self.mode} would need more than seven accidentals",
                f"write {near.pretty}",
            )

    @property
    def tonic_name(self) -> str:
        """The tonic for print: "A♭"."""
        return _note_name(self.fifths)

    @property
    def signature(self) -> int:
        """Sharps (positive) or flats (negative) at the clef, -7 to 7; none for a chromatic scale."""
        return 0 if self.mode == "chromatic" else _signature(self.fifths, self.mode)

    @property
    def name(self) -> str:
        """In plain words, as in the JSON: "A-flat major"."""
        return f"{self._spoken_tonic()} {self.mode}"

    @property
    def pretty(self) -> str:
        """For print: "A♭ major"."""
        return f"{self.tonic_name} {self.mode}"

    @property
    def id(self) -> str:
        """For ids of places: "a-flat-major"."""
        return self.name.lower().replace(" ", "-")

    def _spoken_tonic(self) -> str:
        return self.tonic_name.replace("\u266d", "-flat").replace("\u266f", "-sharp")


def parse_pitch(text: str, naming: Naming = "english") -> Pitch:
    """A note with octave as people write it (B♭4, Bb4, B-flat 4, F#4; german: Fis4); BadName otherwise.

    >>> parse_pitch("B-flat 4") == parse_pitch("B4", "german") == Pitch(-2, 4)
    True
    """
    name, octave = split_octave(text)
    return Pitch(note_fifths(name, naming), octave)


def parse_key(text: str, naming: Naming = "english") -> Key:
    """A key as people write it; no mode means major, "minor" alone the natural minor; BadName otherwise.

    >>> parse_key("Bb").pretty, parse_key("g melodic minor").pretty, parse_key("h-Moll", "german").name
    ('B♭ major', 'G melodic minor', 'B natural minor')
    """
    tonic, mode = split_mode(text)
    if mode is None and naming == "german" and tonic[:1].islower():
        raise BadName(f'"{text}" names no mode', "write for example A-Dur or a-Moll")
    return Key(note_fifths(tonic, naming), mode or "major")


def respell(key: Key) -> Key:
    """The same key with the fewest accidentals; six sharps and six flats both stay as they are.

    >>> respell(Key(7, "major")).name, respell(Key(6, "major")).name
    ('D-flat major', 'F-sharp major')
    """
    return Key(_simplest(key.fifths, key.mode), key.mode)


def transpose_key(key: Key, transposition: Transposition) -> Key:
    """The written key for a concert key; seven accidentals are respelled (concert B, B flat trumpet: D flat).

    >>> transpose_key(Key(4, "major"), Transposition(-1, -2)).name
    'F-sharp major'
    """
    return Key(_printable(key.fifths - transposition.fifths, key.mode), key.mode)


def transpose_pitch(pitch: Pitch, transposition: Transposition) -> Pitch:
    """The sounding pitch of a written one, spelled by the interval.

    >>> transpose_pitch(Pitch(0, 5), Transposition(-1, -2)).name
    'B♭4'
    """
    return _pitch_at(pitch.fifths + transposition.fifths, pitch.midi + transposition.chromatic)


def degree_pitch(key: Key, degree: int, alter: int, tonic_octave: int, descending: bool = False) -> Pitch:
    """The pitch of a scale degree: 1 is the tonic in `tonic_octave`, 8 its octave, -1 the degree below 1.

    `alter` raises or lowers by semitones; `descending` chooses the way down of the melodic minor.

    >>> degree_pitch(Key(-2, "major"), 3, 0, 4).name, degree_pitch(Key(0, "major"), -1, 0, 4).name
    ('D5', 'B3')
    """
    if degree == 0:
        raise ValueError("there is no degree 0: 1 is the tonic, -1 the degree below it")
    steps = degree - 1 if degree > 0 else degree
    mode: Mode = "natural minor" if key.mode == "melodic minor" and descending else key.mode
    fifths = key.fifths + _DEGREE_FIFTHS[mode][steps % 7] + 7 * alter
    diatonic = Pitch(key.fifths, tonic_octave).diatonic + steps
    return Pitch(fifths, diatonic // 7)


def spell(midi: int, key: Key) -> Pitch:
    """The note as a player wants to read it in a key, without double accidentals.

    Lowered third, sixth and seventh, raised fourth; between the tonic and the second degree the simpler name,
    at a tie the raised tonic (in minor keys the lowered second).

    >>> [spell(61, Key(fifths, "major")).name for fifths in (0, -1, 1, -6)]
    ['C♯4', 'D♭4', 'C♯4', 'D♭4']
    """
    first = key.fifths - 5
    fifths = first + (midi * 7 - first) % _OCTAVE_ON_THE_LINE
    choices = (fifths, fifths + _OCTAVE_ON_THE_LINE, fifths - _OCTAVE_ON_THE_LINE)
    if fifths == first:  # between tonic and second degree both names are usual
        lowest = min(choices, key=lambda place: abs(Pitch(place, 4).alter))
        ties = abs(Pitch(fifths, 4).alter) == abs(Pitch(fifths + _OCTAVE_ON_THE_LINE, 4).alter)
        fifths = (fifths if "minor" in key.mode else choices[1]) if ties else lowest
    elif abs(Pitch(fifths, 4).alter) > 1:
        fifths = min(choices, key=lambda place: abs(Pitch(place, 4).alter))
    return _pitch_at(fifths, midi)


def _pitch_at(fifths: int, midi: int) -> Pitch:
    """The pitch with this place on the line and this MIDI number."""
    bare = Pitch(fifths, 0)
    return Pitch(fifths, (midi - bare.midi) // 12)


@lru_cache(maxsize=128)
def _note_name(fifths: int) -> str:
    """Letter and signs of a place on the line, for print."""
    pitch = Pitch(fifths, 4)
    sign = "\u266f" if pitch.alter > 0 else "\u266d"
    return pitch.step + sign * abs(pitch.alter)


def _signature(fifths: int, mode: Mode) -> int:
    """The signature that a tonic would need, without bound; chromatic counts as major."""
    return fifths - _MINOR_TONIC_ABOVE_SIGNATURE if "minor" in mode else fifths


def _simplest(fifths: int, mode: Mode) -> int:
    """The enharmonic tonic with the fewest accidentals; at six each the given one stays."""
    choices: tuple[int, ...] = (fifths, *range(fifths % 12 - 24, 25, 12))
    return min(choices, key=lambda tonic: abs(_signature(tonic, mode)))


def _printable(fifths: int, mode: Mode) -> int:
    """The tonic as it stands, or its simplest spelling where the signature is above six."""
    return fifths if abs(_signature(fifths, mode)) <= _MOST_IN_PRINT else _simplest(fifths, mode)


# The twelve major keys in the order in which they are usually taught to brass players: flats first.
# common practice, no source
MAJOR_KEYS: Final[tuple[Key, ...]] = tuple(
    Key(fifths, "major") for fifths in (0, -1, -2, -3, -4, -5, 1, 2, 3, 4, 5, 6)
)
