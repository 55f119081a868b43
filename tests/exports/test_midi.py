"""MIDI against two independent readers (mido, pretty_midi), the click against its own arithmetic."""

from __future__ import annotations

import io
import wave
from fractions import Fraction

import mido
import numpy as np
import pretty_midi
import pytest
from exports.scored import piece, pieces
from hypothesis import HealthCheck, given, settings

from planner.brass.tempo import parse_meter
from planner.exports.click import RATE, click_track, onsets
from planner.exports.midi import midi
from planner.exports.score import Piece


def heard(*played: Piece) -> pretty_midi.PrettyMIDI:
    """The file as pretty_midi reads it."""
    return pretty_midi.PrettyMIDI(io.BytesIO(midi(played, "Test")))


def notes_of(file: pretty_midi.PrettyMIDI) -> list[tuple[int, float, float]]:
    """Pitch, start and end of what is played."""
    (player,) = [one for one in file.instruments if not one.is_drum]
    return [(note.pitch, note.start, note.end) for note in sorted(player.notes, key=lambda n: n.start)]


def test_ten_eighths_at_208_last_as_long_as_worked() -> None:
    # ten eighths at eighth = 208: 10 x 60 / 208 = 2.8846 s; here after a bar of five that counts in
    file = heard(piece(places=(1,), tempo=208, passes=2))
    played = notes_of(file)
    assert played[0][1] == pytest.approx(5 * 60 / 208, abs=1e-3)
    assert played[-1][2] == pytest.approx(15 * 60 / 208, abs=1e-3)


@pytest.mark.parametrize(("tempo", "microseconds"), [(208, 576923), (120, 1000000), (126, 952381)])
def test_an_eighth_beat_is_not_taken_for_a_quarter(tempo: int, microseconds: int) -> None:
    # SMF 1.0: microseconds a quarter; eighth = 208 is quarter = 104, 60e6 / 104 = 576923
    file = mido.MidiFile(file=io.BytesIO(midi([piece(tempo=tempo)], "x")))
    assert [m.tempo for m in file.tracks[0] if m.type == "set_tempo"] == [microseconds]


def test_the_meter_stands_in_the_file() -> None:
    file = mido.MidiFile(file=io.BytesIO(midi([piece()], "x")))
    (found,) = [m for m in file.tracks[0] if m.type == "time_signature"]
    assert (found.numerator, found.denominator) == (5, 8)


@given(pieces())
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_another_reader_hears_every_note_of_every_pass(drawn: Piece) -> None:
    once = [n.sounding for passage in drawn.passages for n in passage.notes if n.sounding is not None]
    assert [pitch for pitch, _, _ in notes_of(heard(drawn))] == once * drawn.passes


def test_a_tied_note_sounds_once() -> None:
    file = heard(piece("4e~ 4e 5e 6e 5e", places=(1,), passes=1))
    assert len(notes_of(file)) == 4


def test_a_note_tied_over_the_bar_line_sounds_once() -> None:
    # two bars of 5/8 at eighth = 96: five eighths and one more, 6 x 60 / 96 = 3.75 s, after a bar of 3.125 s
    file = heard(piece("4h~ 4e~ | 4e 5 6 5 4", places=(1,), passes=1))
    played = notes_of(file)
    assert len(played) == 5
    assert played[0][1:] == pytest.approx((3.125, 6.875), abs=1e-3)


def test_the_click_is_louder_where_the_groups_begin() -> None:
    (drums,) = [one for one in heard(piece(places=(1,), passes=1)).instruments if one.is_drum]
    first_bar = sorted(drums.notes, key=lambda n: n.start)[:5]
    # 5/8 as 2+3: accents on 1 and 3, the bar's own loudest
    assert [n.velocity for n in first_bar] == [120, 64, 96, 64, 64]


@pytest.mark.parametrize("title", ["Ünïcode ♭ 日本", "", "\x00", "x" * 3000])
def test_any_title_makes_a_file_that_can_be_read(title: str) -> None:
    assert mido.MidiFile(file=io.BytesIO(midi([piece(title=title)], title))).tracks


def test_clicks_do_not_drift() -> None:
    # 7/8 at eighth = 211, 17 bars: the last click lies 118 eighths after the first, 118 x 60 / 211 s
    found = onsets(parse_meter("7/8"), Fraction(211), 17)
    assert found[-1][0] == Fraction(118 * 60, 211)


def test_every_click_is_heard_where_it_belongs() -> None:
    meter, pace = parse_meter("7/8", (2, 2, 3)), Fraction(211)
    with wave.open(io.BytesIO(click_track(meter, pace, 4))) as file:
        sound = np.frombuffer(file.readframes(file.getnframes()), dtype="<i2").astype(float)
        assert (file.getframerate(), file.getnchannels(), file.getsampwidth()) == (RATE, 1, 2)
    loud = np.abs(sound) > 400
    gap = int(0.1 * RATE)
    starts = [i for i in np.flatnonzero(loud) if not loud[max(0, i - gap) : i].any()]
    expected = [float(at) for at, _ in onsets(meter, pace, 4)]
    assert len(starts) == len(expected)
    assert np.array(starts) / RATE == pytest.approx(expected, abs=0.001)


def test_the_first_click_of_a_bar_is_the_loudest() -> None:
    with wave.open(io.BytesIO(click_track(parse_meter("4/4"), Fraction(120), 1))) as file:
        sound = np.abs(np.frombuffer(file.readframes(file.getnframes()), dtype="<i2").astype(float))
    quarter = RATE  # 120 eighths a minute: a quarter lasts a second
    peaks = [sound[i * quarter : (i + 1) * quarter].max() for i in range(4)]
    assert peaks[0] > 1.5 * max(peaks[1:])


@pytest.mark.parametrize(
    ("title", "written"),
    [("Stairs, B♭ and F♯", "Stairs, Bb and F#"), ("1 → 12 – a", "1 - 12 - a"), ("Björn's", "Bjorn's")],
)
def test_titles_are_plain_letters_that_every_program_shows(title: str, written: str) -> None:
    file = mido.MidiFile(file=io.BytesIO(midi([piece()], title)))
    assert file.tracks[0].name == written


def test_the_trumpet_in_b_flat_is_named_in_plain_letters() -> None:
    assert mido.MidiFile(file=io.BytesIO(midi([piece()], "x"))).tracks[1].name == "Trumpet in Bb"
