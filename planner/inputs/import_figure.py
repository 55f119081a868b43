"""From the bars of a score to a figure: partials on one tube where they are all that, else degrees of a key.

Conventions: bars are those of score_reader.py; the figure is in the notation of brass/notation.py. Degrees
count from the tonic that has most notes within the octave above it, the lowest of several. Minor keys count
from the natural minor ("#7" is the raised seventh).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from planner.brass.figures import FigureError, Kind, read_figure
from planner.brass.instruments import Instrument, positions, tube_note
from planner.brass.keys import BadName, Key, Pitch, degree_pitch
from planner.brass.notation import HIGHEST_DEGREE
from planner.brass.tempo import BadMeter, Meter, parse_meter
from planner.errors import BadData, Fault
from planner.inputs.score_grouping import grouping_of
from planner.inputs.score_reader import Bar, ReadNote

LENGTHS = {
    Fraction(8): "w",
    Fraction(12): "w.",
    Fraction(4): "h",
    Fraction(6): "h.",
    Fraction(2): "q",
    Fraction(3): "q.",
    Fraction(1): "e",
    Fraction(3, 2): "e.",
    Fraction(1, 2): "s",
    Fraction(3, 4): "s.",
}
LOWEST_PARTIAL, HIGHEST_PARTIAL = 2, 10
NEVER = (7,)
"""The seventh partial is too flat to be meant."""

FEWEST_PARTIALS = 3
"""Different notes from which a tube is more likely than chance."""

NO_SIGN = "tuplets, double dots and notes shorter than sixteenths cannot be taken over"
STEPS_IN_OCTAVE = 7
OCTAVES = range(-1, 9)


@dataclass(frozen=True, slots=True)
class Imported:
    """A figure: kind, notation, meter, where it stood (position, written key), slurs and ties not kept.

    `grouped_by`: where its grouping comes from: "meter", "beams" or "accents"; "" for the usual one.
    """

    kind: Kind
    notation: str
    meter: Meter
    position: int | None
    key: Key
    slurs_lost: int
    ties_lost: int
    grouped_by: str


def figure_of(bars: Sequence[Bar], instrument: Instrument, file: str) -> Imported:
    """The figure of these bars; BadData with every reason why they are none."""
    faults = _faults(bars, file)
    if faults:
        raise BadData(tuple(faults))
    (meter, grouped_by), key = _grouped(bars, _meter(bars[0], file)), _key(bars[0], file)
    notes = [note for bar in bars for note in bar.notes]
    position, partials = _tube(notes, instrument)
    numbers = partials if position is not None else _degrees(notes, key, file)
    kind: Kind = "partials" if position is not None else "degrees"
    slurs = _slurs(notes)
    notation = _notation(bars, numbers, slurs)
    try:
        read_figure(notation, meter, kind)
    except FigureError as error:
        where = f"the figure {notation[:60]!r} cannot be kept: {error.message}"
        raise BadData((Fault(file, *bars[0].place, where, error.hint),)) from error
    ties = sum(note.tie and note.pitch is not None for note in notes) - notation.count("~")
    return Imported(kind, notation, meter, position, key, slurs.lost, ties, grouped_by)


def _faults(bars: Sequence[Bar], file: str) -> list[Fault]:
    """Everything that keeps these bars from being one figure."""
    found = []
    first = bars[0]
    for bar in bars:
        if (bar.beats, bar.unit) != (first.beats, first.unit):
            words = f"bar {bar.number}: the meter changes to {bar.beats}/{bar.unit}"
            found.append(Fault(file, *bar.place, words, "import bars of one meter with --bars"))
        if (bar.sharps, bar.mode) != (first.sharps, first.mode):
            words = f"bar {bar.number}: the key changes"
            found.append(Fault(file, *bar.place, words, "import bars of one key with --bars"))
        for note in bar.notes:
            if note.eighths not in LENGTHS:
                words = f"bar {bar.number}: a note of {_eighths(note.eighths)} has no sign in a figure"
                found.append(Fault(file, *note.place, words, NO_SIGN))
                break
        expected = _length(bar)
        if expected is not None and bar.eighths != expected:
            words = f"bar {bar.number} holds {_eighths(bar.eighths)} of {_eighths(expected)}"
            found.append(
                Fault(file, *bar.place, words, "leave a pick-up out with --bars, or fill it with rests")
            )
    if all(note.pitch is None for bar in bars for note in bar.notes):
        found.append(Fault(file, *first.place, "these bars have no notes", "choose others with --bars"))
    return found


def _eighths(length: Fraction) -> str:
    return f"{length} eighth" + ("" if length == 1 else "s")


def _length(bar: Bar) -> Fraction | None:
    """How long a bar is by its meter; None where the meter is none."""
    try:
        return Fraction(8 * sum(int(part) for part in bar.beats.split("+")), bar.unit)
    except (ValueError, ZeroDivisionError):
        return None


def _meter(bar: Bar, file: str) -> Meter:
    groups = bar.beats.split("+")
    try:
        grouping = tuple(int(group) for group in groups)
        return parse_meter(f"{sum(grouping)}/{bar.unit}", grouping if len(grouping) > 1 else None)
    except (ValueError, BadMeter):
        raise BadData(
            (Fault(file, *bar.place, f"{bar.beats}/{bar.unit} is no meter", "such as 4/4, 6/8 or 2+3/8"),)
        ) from None


def _grouped(bars: Sequence[Bar], meter: Meter) -> tuple[Meter, str]:
    """The meter with its grouping, and where that comes from."""
    if "+" in bars[0].beats:
        return meter, "meter"
    groups, source = grouping_of(bars, meter)
    return (replace(meter, grouping=groups), source) if groups else (meter, "")


def _key(bar: Bar, file: str) -> Key:
    minor = bar.mode == "minor"
    try:
        return Key(bar.sharps + 3, "natural minor") if minor else Key(bar.sharps, "major")
    except BadName as error:
        words = f"bar {bar.number}: {error.message}"
        raise BadData((Fault(file, *bar.place, words, error.hint),)) from error


def _tube(notes: Sequence[ReadNote], instrument: Instrument) -> tuple[int | None, list[str]]:
    """The first position on which every note is a partial, with the partials; None where there is none."""
    heights = {note.pitch.midi for note in notes if note.pitch is not None}
    if len(heights) < FEWEST_PARTIALS:
        return None, []
    times = 2 if instrument.is_horn else 1
    for position in positions(instrument)[:7]:
        usual = (p for p in range(LOWEST_PARTIAL, HIGHEST_PARTIAL + 1) if p not in NEVER)
        sounding = {tube_note(instrument, position, times * partial): str(partial) for partial in usual}
        if heights <= set(sounding):
            return position, ["r" if n.pitch is None else sounding[n.pitch.midi] for n in notes]
    return None, []


def _degrees(notes: Sequence[ReadNote], key: Key, file: str) -> list[str]:
    """The degree of every note, "r" for rests."""
    pitches = [note.pitch for note in notes if note.pitch is not None]
    octave = max(OCTAVES, key=lambda octave: _inside(pitches, key, octave))
    return ["r" if note.pitch is None else _degree(note, key, octave, file) for note in notes]


def _inside(pitches: Sequence[Pitch], key: Key, octave: int) -> int:
    """How many notes lie within an octave from the tonic up."""
    tonic = Pitch(key.fifths, octave).diatonic
    return sum(0 <= pitch.diatonic - tonic <= STEPS_IN_OCTAVE for pitch in pitches)


def _degree(note: ReadNote, key: Key, octave: int, file: str) -> str:
    assert note.pitch is not None
    steps = note.pitch.diatonic - Pitch(key.fifths, octave).diatonic
    number = steps + 1 if steps >= 0 else steps
    alter = note.pitch.alter - degree_pitch(key, number, 0, octave).alter
    if abs(alter) > 1 or abs(number) > HIGHEST_DEGREE:
        words = f"bar {note.bar}: {note.pitch.name} is too far from {key.pretty}"
        hint = "a figure keeps to three octaves and to one sharp or flat beside the key"
        raise BadData((Fault(file, *note.place, words, hint),))
    below, sign = "-" if number < 0 else "", {0: "", 1: "#", -1: "b"}[alter]
    return f"{below}{sign}{abs(number)}"


@dataclass(frozen=True, slots=True)
class _Slurs:
    """The notes on which slurs begin and end, and how many could not be kept."""

    begin: frozenset[int]
    end: frozenset[int]
    lost: int


def _slurs(notes: Sequence[ReadNote]) -> _Slurs:
    """One slur at a time, its own first and last note: those that are not so, or over a rest, are lost."""
    begin: set[int] = set()
    end: set[int] = set()
    start: int | None = None
    lost = 0
    for number, note in enumerate(notes):
        if note.pitch is None and start is not None:
            start, lost = None, lost + 1
        if note.slur_ends and start is not None and start < number:
            begin.add(start)
            end.add(number)
            start = None
        if note.slur_starts and note.pitch is not None:
            lost += start is not None or number in end
            start = number if start is None and number not in end else start
    return _Slurs(frozenset(begin), frozenset(end), lost + (start is not None))


def _notation(bars: Sequence[Bar], numbers: Sequence[str], slurs: _Slurs) -> str:
    """The line of notation, a bar line between bars."""
    words: list[str] = []
    place, before = 0, ""
    for bar in bars:
        for note in bar.notes:
            length = LENGTHS[note.eighths]
            same = numbers[place : place + 1] == numbers[place + 1 : place + 2]
            played = note.pitch is not None
            marks = ">" * (note.accent and played) + "~" * (note.tie and same) + "v" * (note.bend and played)
            marks += "," * note.breath
            word = numbers[place] + (length if length != before else "") + marks
            words.append("(" * (place in slurs.begin) + word + ")" * (place in slurs.end))
            before = length
            place += 1
        words.append("|")
    return " ".join(words[:-1])
