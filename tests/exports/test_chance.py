"""Figures of chance as MusicXML: valid by the schema, sounding as they must, every bar full."""

from __future__ import annotations

from fractions import Fraction

import pytest
from engrave.physics import OPEN, natural
from engrave.test_chance import DEGREES, KEYS, PARTIALS, chance
from exports.schema import faults
from exports.test_every_combination import heard
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.brass.figures import Passage, read_figure, write_degrees, write_partials
from planner.brass.instruments import INSTRUMENTS, Instrument, instrument
from planner.brass.keys import Key
from planner.brass.tempo import Meter
from planner.exports.musicxml import musicxml
from planner.exports.score import Piece

ARTICULATIONS = st.sampled_from(["", "slurred", "staccato", "legato", "tongued"])

__all__ = ["chance"]


def score(passage: Passage, played: Instrument, meter: Meter, articulation: str, passes: int) -> str:
    return musicxml([Piece("x", played, meter, (passage,), 96, "eighth", passes, articulation)], "x")


def is_full(text: str, meter: Meter) -> bool:
    bars, _ = heard(text)
    length = Fraction(4 * meter.beats, meter.unit)
    return all(sum((note.quarters for note in bar), Fraction(0)) == length for bar in bars)


@pytest.mark.heavy
def test_any_partial_figure_sounds_what_the_tube_gives(chance: settings) -> None:
    @chance
    @given(
        PARTIALS, st.sampled_from(sorted(INSTRUMENTS)), st.integers(1, 7), ARTICULATIONS, st.integers(1, 4)
    )
    def holds(case: tuple[str, Meter], on: str, position: int, articulation: str, passes: int) -> None:
        figure, played = read_figure(*case, "partials"), instrument(on)
        text = score(write_partials(figure, played, position), played, case[1], articulation, passes)
        doubled = 2 if on in ("horn", "horn-f") else 1
        expected = [
            None if one.number is None else OPEN[on] - (position - 1) + natural(one.number * doubled)
            for one in figure.tokens
        ]
        assert [note.midi for bar in heard(text)[0] for note in bar] == expected
        assert faults(text) == []
        assert is_full(text, case[1])

    holds()


@pytest.mark.heavy
def test_any_degree_figure_is_valid_and_full_in_any_key(chance: settings) -> None:
    @chance
    @given(DEGREES, st.sampled_from(sorted(INSTRUMENTS)), st.sampled_from(KEYS), ARTICULATIONS)
    def holds(case: tuple[str, Meter], on: str, key: Key, articulation: str) -> None:
        played = instrument(on)
        passage = write_degrees(read_figure(*case, "degrees"), played, key, *played.range_at("advanced"))
        text = score(passage, played, case[1], articulation, 1)
        assert [note.midi for bar in heard(text)[0] for note in bar] == [n.sounding for n in passage.notes]
        assert faults(text) == []
        assert is_full(text, case[1])

    holds()
