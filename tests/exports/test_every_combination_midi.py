"""Every place of every sample curriculum on every instrument that has its notes, as MIDI, read by mido.

What should sound comes from lengths of tube for partial figures; for figures of degrees, whose notes are held
against the scale as MusicXML, it is that notes, passes, tempo and clicks are all there.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from fractions import Fraction

import mido
import pytest
from engrave.scores import Case, every_case
from exports.test_every_combination import by_tubes
from heavy import heavy_count

from planner.exports.midi import midi
from planner.exports.score import Piece

pytestmark = pytest.mark.timeout(3000)  # all of them are read once, for the first test
QUARTERS = {
    "eighth": Fraction(1, 2),
    "quarter": Fraction(1),
    "dotted quarter": Fraction(3, 2),
    "half": Fraction(2),
}
PERCUSSION = 9  # General MIDI: channel 10


@dataclass(frozen=True)
class Read:
    """A case and its file: notes and clicks as (tick, key), microseconds a quarter, ticks a quarter."""

    case: Case
    notes: list[tuple[int, int]]
    clicks: list[tuple[int, int]]
    tempo: int
    ticks: int

    @property
    def bar(self) -> Fraction:
        """Ticks of a bar."""
        return self.ticks * Fraction(4 * self.case.meter.beats, self.case.meter.unit)


@pytest.fixture(scope="module")
def files(request: pytest.FixtureRequest) -> list[Read]:
    """All of them under -m full, else so many evenly spread over the whole list."""
    cases = list(every_case())
    wanted = min(heavy_count(request.config, "combinations as MIDI"), len(cases))
    return [read(cases[number * len(cases) // wanted]) for number in range(wanted)]


def read(case: Case) -> Read:
    exercise = case.exercise
    span = exercise.tempos[exercise.articulations[0]]
    made = Piece(
        exercise.title, case.instrument, case.meter, case.passages, span.first, span.beat, exercise.passes
    )
    file = mido.MidiFile(file=io.BytesIO(midi([made], "x")))
    notes, clicks, tempo = [], [], 0
    for track in file.tracks:
        tick = 0
        for message in track:
            tick += message.time
            if message.type == "set_tempo":
                tempo = message.tempo
            if message.type == "note_on" and message.velocity:
                (clicks if message.channel == PERCUSSION else notes).append((tick, message.note))
    return Read(case, notes, clicks, tempo, file.ticks_per_beat)


def struck(case: Case, bars: list[list[int | None]]) -> list[int]:
    """The notes that are struck, pass by pass: no rests, none to which a tie leads."""
    tokens = case.pattern.figure.tokens
    tied = [False, *(token.tie for token in tokens[:-1])]
    flat = [note for bar in bars for note in bar]
    found: list[int] = []
    for start in range(0, len(flat), len(tokens)):
        once = [note for note, led in zip(flat[start:], tied, strict=False) if note is not None and not led]
        found += once * case.exercise.passes
    return found


@pytest.mark.heavy
def test_partial_figures_sound_what_the_tube_gives_in_every_pass(files: list[Read]) -> None:
    some = [one for one in files if one.case.place.positions]
    assert some
    wrong = [
        one.case.name for one in some if [key for _, key in one.notes] != struck(one.case, by_tubes(one.case))
    ]
    assert wrong == []


@pytest.mark.heavy
def test_degree_figures_have_every_note_of_every_pass(files: list[Read]) -> None:
    some = [one for one in files if not one.case.place.positions]
    assert some
    wrong = []
    for one in some:
        bars = [[None if note.pitch is None else note.sounding for note in one.case.passages[0].notes]]
        wrong += [] if [key for _, key in one.notes] == struck(one.case, bars) else [one.case.name]
    assert wrong == []


@pytest.mark.heavy
def test_the_tempo_is_that_of_the_beat(files: list[Read]) -> None:
    # SMF 1.0: microseconds a quarter
    wrong = []
    for one in files:
        span = one.case.exercise.tempos[one.case.exercise.articulations[0]]
        expected = Fraction(60_000_000) / (span.first * QUARTERS[span.beat])
        wrong += [] if abs(one.tempo - expected) <= 1 else [(one.case.name, one.tempo)]
    assert wrong == []


@pytest.mark.heavy
def test_a_bar_counts_in_before_every_passage(files: list[Read]) -> None:
    wrong = []
    for one in files:
        bars = one.case.pattern.figure.bars * one.case.exercise.passes + 1
        clicks = one.case.meter.beats * bars * len(one.case.passages)
        first = next(token for token in one.case.pattern.figure.tokens)
        begins = one.bar if first.number is not None else one.notes[0][0]
        good = len(one.clicks) == clicks and one.clicks[0][0] == 0 and one.notes[0][0] == begins
        wrong += [] if good else [one.case.name]
    assert wrong == []
