"""Pitches, keys and transpositions against music21, computed by its own code.

Its instrument classes are no oracle (there is no cornet or euphonium, its tenor horn is an F horn): only
intervals, keys and frequencies are used.
"""

from __future__ import annotations

import pytest
from music21 import interval, key, pitch

from planner.brass.instruments import INSTRUMENTS, open_key, partial_cents
from planner.brass.keys import MODES, Key, Mode, Pitch, transpose_key, transpose_pitch

# the written-to-sounding intervals of brass parts, as music21 names them
INTERVALS = {
    "trumpet": "M-2",
    "trumpet-c": "P1",
    "soprano-cornet": "m3",
    "horn": "P-5",
    "alto-horn": "M-6",
    "euphonium-treble": "M-9",
    "tuba-eb-treble": "M-13",
    "tuba-bb-treble": "M-16",
}


def theirs(name: str) -> str:
    """music21 writes a flat as a minus sign."""
    return name.replace("♭", "-").replace("♯", "#")


@pytest.mark.parametrize("signature", range(-7, 8))
def test_major_key_of_a_signature(signature: int) -> None:
    assert theirs(Key(signature, "major").tonic_name) == key.KeySignature(signature).asKey("major").tonic.name


@pytest.mark.parametrize("signature", range(-7, 8))
def test_minor_key_of_a_signature(signature: int) -> None:
    tonic = Key(signature + 3, "natural minor")
    assert tonic.signature == signature
    assert theirs(tonic.tonic_name) == key.KeySignature(signature).asKey("minor").tonic.name


@pytest.mark.parametrize("mode", [mode for mode in MODES if "minor" in mode])
def test_all_minors_share_one_signature(mode: Mode) -> None:
    assert Key(5, mode).signature == key.Key("b").sharps


@pytest.mark.parametrize("fifths", range(-14, 15))
def test_midi_number_of_a_spelled_pitch(fifths: int) -> None:
    ours = Pitch(fifths, 4)
    other = pitch.Pitch(theirs(ours.name))
    assert ours.midi == other.midi


@pytest.mark.parametrize(("name", "between"), sorted(INTERVALS.items()))
def test_written_notes_sound_by_the_usual_interval(name: str, between: str) -> None:
    move = INSTRUMENTS[name].transposition
    assert move.chromatic == interval.Interval(between).semitones
    for fifths in range(-6, 7):
        ours = Pitch(fifths, 5)
        other = pitch.Pitch(theirs(ours.name)).transpose(between)
        assert theirs(transpose_pitch(ours, move).name) == other.nameWithOctave


@pytest.mark.parametrize(("name", "back"), [("trumpet", "M2"), ("horn", "P5"), ("alto-horn", "M6")])
def test_written_key_of_a_concert_key(name: str, back: str) -> None:
    move = INSTRUMENTS[name].transposition
    for fifths in range(-6, 3):
        other = key.Key(theirs(Key(fifths, "major").tonic_name)).transpose(back)
        assert transpose_key(Key(fifths, "major"), move).signature == other.sharps


def test_open_tube_of_every_instrument_sounds_its_fundamental() -> None:
    # written tonic of the open tube, moved by the transposition, is the fundamental's note name
    for player in INSTRUMENTS.values():
        tonic = transpose_pitch(Pitch(open_key(player, 1).fifths, 4), player.transposition)
        assert pitch.Pitch(theirs(tonic.name)).pitchClass == player.fundamental % 12


@pytest.mark.parametrize("partial", [3, 5, 7, 9, 10, 13, 15])
def test_cents_of_the_natural_notes(partial: int) -> None:
    # music21 spells the 7th with quarter tones, so cents are compared and not names
    natural = pitch.Pitch("C2").getHarmonic(partial)
    cents = 100 * (natural.ps - 36)
    assert cents % 100 == pytest.approx(partial_cents(partial) % 100, abs=0.5)
