"""Every place of every sample curriculum on every instrument that has its notes, as MusicXML, read back.

music21 reads the file; what should sound is worked out from lengths of tube (partial figures) and from the
steps of the scale (degree figures), never taken from the program. The schema is the standard's own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import music21
import pytest
from engrave.physics import OPEN, may_sound, natural
from engrave.scores import Case, every_case
from engrave.test_every_combination import SCALES
from exports.schema import faults
from heavy import heavy_count

from planner.exports.musicxml import musicxml
from planner.exports.score import Piece

pytestmark = pytest.mark.timeout(3000)  # all of them are read once, for the first test


@dataclass(frozen=True)
class Heard:
    """One note or rest as music21 reads it: sounding MIDI number (None: a rest), quarters, fingering.

    `struck`: it is a note and no tie leads to it.
    """

    midi: int | None
    quarters: Fraction
    fingering: str
    struck: bool


Bars = list[list[Heard]]


@dataclass(frozen=True)
class Read:
    """A case, what the schema has against its file, its bars as heard, and the quarters of its meter."""

    case: Case
    faults: list[str]
    bars: Bars
    meter: Fraction

    @property
    def sounding(self) -> list[list[int | None]]:
        return [[note.midi for note in bar] for bar in self.bars]


def score(case: Case, number: int) -> str:
    """The case as a score; articulations come in turn."""
    exercise = case.exercise
    articulation = exercise.articulations[number % len(exercise.articulations)]
    span = exercise.tempos[articulation]
    made = Piece(
        exercise.title, case.instrument, case.meter, case.passages, span.first, span.beat, exercise.passes,
        articulation,
    )  # fmt: skip
    return musicxml([made], exercise.title)


def heard(text: str) -> tuple[Bars, Fraction]:
    """The bars, sounding, and the length of a bar by the time signature."""
    read: Any = music21.converter.parseData(text, format="musicxml")
    part = read.toSoundingPitch().parts[0]
    measures = list(part.getElementsByClass("Measure"))
    meter = measures[0].timeSignature.barDuration.quarterLength
    return [list(_bar(measure)) for measure in measures], Fraction(meter)


def _bar(measure: Any) -> Iterator[Heard]:
    for one in measure.notesAndRests:
        over = [str(mark.fingerNumber) for mark in one.articulations if mark.classes[0] == "Fingering"]
        midi = None if one.isRest else one.pitch.midi
        struck = not one.isRest and (one.tie is None or one.tie.type == "start")
        yield Heard(midi, Fraction(one.quarterLength), "".join(over), struck)


@pytest.fixture(scope="module")
def scores(request: pytest.FixtureRequest) -> list[Read]:
    """All of them under -m full, else so many evenly spread over the whole list."""
    cases = list(every_case())
    wanted = min(heavy_count(request.config, "combinations as MusicXML"), len(cases))
    found = []
    for number in range(wanted):
        case = cases[number * len(cases) // wanted]
        text = score(case, number)
        found.append(Read(case, faults(text), *heard(text)))
    return found


def by_tubes(case: Case) -> list[list[int | None]]:
    """What the tubes of a cycle sound, bar by bar, from the partials of the figure alone."""
    doubled = 2 if case.instrument.id in ("horn", "horn-f") else 1
    tokens = case.pattern.figure.tokens
    bars = []
    for position in case.place.positions:
        base = OPEN[case.instrument.id] - (position - 1)
        notes = [None if one.number is None else base + natural(one.number * doubled) for one in tokens]
        bars += in_bars(case, notes)
    return bars


def in_bars(case: Case, notes: list[int | None]) -> list[list[int | None]]:
    """The notes of a figure in bars of its meter."""
    length, filled = Fraction(8 * case.meter.beats, case.meter.unit), Fraction(0)
    bars: list[list[int | None]] = []
    for token, note in zip(case.pattern.figure.tokens, notes, strict=True):
        if filled % length == 0:
            bars.append([])
        bars[-1].append(note)
        filled += token.eighths
    return bars


def off_the_scale(case: Case, notes: list[int | None]) -> list[str]:
    """Notes that are not their degree over one tonic, the same octave for all of them."""
    key = case.passages[0].key
    tonic = (key.fifths * 7 + case.instrument.transposition.chromatic) % 12
    first = next(number for number, note in enumerate(notes) if note is not None)
    wanted = [_over_the_tonic(case, number) for number in range(len(notes))]
    lowest = min(wanted[first] or {0})
    octave = (int(notes[first] or 0) - tonic - lowest + 6) // 12 * 12
    return [
        f"note {number + 1} sounds {note}"
        for number, (note, over) in enumerate(zip(notes, wanted, strict=True))
        if (note is None) != (over is None)
        or (note is not None and over is not None and note - tonic - octave not in over)
    ]


def _over_the_tonic(case: Case, number: int) -> set[int] | None:
    """The semitones over the tonic that a token may have; None for a rest."""
    token, mode = case.pattern.figure.tokens[number], case.passages[0].key.mode
    if token.number is None:
        return None
    octave, step = divmod(token.number - (token.number > 0), 7)
    scales = [mode, "natural minor"] if token.alter and mode == "melodic minor" else [mode]
    return {12 * octave + base + token.alter for name in scales for base in SCALES[name][step]}


@pytest.mark.heavy
def test_every_combination_is_valid_by_the_schema(scores: list[Read]) -> None:
    assert [(one.case.name, one.faults) for one in scores if one.faults] == []


@pytest.mark.heavy
def test_partial_figures_sound_what_the_tube_gives_bar_by_bar(scores: list[Read]) -> None:
    some = [one for one in scores if one.case.place.positions]
    assert some
    assert [one.case.name for one in some if one.sounding != by_tubes(one.case)] == []


@pytest.mark.heavy
def test_degree_figures_sound_their_scale_in_one_octave_for_all(scores: list[Read]) -> None:
    some = [one for one in scores if not one.case.place.positions]
    assert some
    wrong = []
    for one in some:
        notes = [midi for bar in one.sounding for midi in bar]
        wrong += [(one.case.name, fault) for fault in off_the_scale(one.case, notes)]
        wrong += [] if one.sounding == in_bars(one.case, notes) else [(one.case.name, "bars")]
    assert wrong == []


@pytest.mark.heavy
def test_every_bar_lasts_as_long_as_its_meter(scores: list[Read]) -> None:
    wrong = []
    for one in scores:
        lengths = {sum((note.quarters for note in bar), Fraction(0)) for bar in one.bars}
        meter = Fraction(4 * one.case.meter.beats, one.case.meter.unit)
        wrong += [] if lengths == {meter} and one.meter == meter else [(one.case.name, lengths)]
    assert wrong == []


@pytest.mark.heavy
def test_every_fingering_in_the_file_gives_the_note_under_it(scores: list[Read]) -> None:
    fingered = [(one.case, note) for one in scores for bar in one.bars for note in bar if note.fingering]
    assert fingered
    assert [
        (case.name, note)
        for case, note in fingered
        if note.midi is None or not may_sound(case.instrument.id, note.fingering, note.midi)
    ] == []


@pytest.mark.heavy
def test_the_first_note_struck_in_every_bar_has_its_fingering(scores: list[Read]) -> None:
    wrong = []
    for one in scores:
        for number, bar in enumerate(one.bars, 1):
            struck = [note for note in bar if note.struck]
            wrong += [(one.case.name, number)] if struck and not struck[0].fingering else []
    assert wrong == []
