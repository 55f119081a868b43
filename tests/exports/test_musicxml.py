"""MusicXML against its schema and against an independent reader (music21)."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import music21
import pytest
from exports.schema import faults
from exports.scored import piece, pieces
from hypothesis import HealthCheck, given, settings
from lxml import etree

from planner.brass.instruments import INSTRUMENTS, tube_note
from planner.exports.musicxml import musicxml
from planner.exports.score import Piece


def read(*played: Piece) -> Any:
    """The score as music21 reads it."""
    return music21.converter.parseData(musicxml(played, "Test"), format="musicxml")


def sounding(score: Any) -> list[int]:
    """The sounding pitches in order, tied notes once."""
    return [n.pitch.midi for n in score.toSoundingPitch().stripTies().recurse().notes]


@given(pieces())
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_every_score_is_valid_by_the_schema(drawn: Piece) -> None:
    assert faults(musicxml([drawn], "Drawn")) == []


def test_the_schema_refuses_what_is_none() -> None:
    text = musicxml([piece()], "Five").replace("<type>eighth</type>", "<type>eigth</type>")
    assert "eigth" in faults(text)[0]


@given(pieces())
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_another_reader_hears_the_sounding_notes(drawn: Piece) -> None:
    score = read(drawn)
    notes = [note for passage in drawn.passages for note in passage.notes]
    assert sounding(score) == [note.sounding for note in notes if note.sounding is not None]


@given(pieces())
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_another_reader_finds_every_bar_full(drawn: Piece) -> None:
    for measure in read(drawn).recurse().getElementsByClass("Measure"):
        assert measure.highestTime == float(drawn.meter.eighths_per_bar / 2)


@pytest.mark.parametrize("name", ["trumpet", "horn", "trombone", "euphonium-treble", "tuba-eb", "cornet"])
def test_partials_sound_as_the_tube_does(name: str) -> None:
    one = INSTRUMENTS[name]
    score = read(piece(instrument=name, places=(1, 4)))
    # from the physics of the tube: written note of each partial, then the transposition
    times = 2 if one.is_horn else 1
    expected = [
        tube_note(one, place, times * partial) + one.transposition.chromatic
        for place in (1, 4)
        for partial in (4, 5, 6, 5, 4)
    ]
    assert sounding(score) == expected


def test_the_fingering_stands_over_the_first_note_of_a_bar() -> None:
    score = read(piece(places=(5,)))
    first = score.recurse().notes[0]
    marks = [str(m.fingerNumber) for m in first.articulations if m.classes[0] == "Fingering"]
    assert marks == ["23"]


def test_an_unchanged_fingering_is_written_once() -> None:
    assert musicxml([piece(places=(5,))], "x").count("<fingering") == 1


def test_the_groups_of_the_meter_make_the_beams() -> None:
    # 5/8 as 2+3: two beams, begun by the first and the third eighth
    root = etree.fromstring(musicxml([piece(places=(1,))], "x").encode())
    assert [beam.text for beam in root.iter("beam")] == ["begin", "end", "begin", "continue", "end"]


def test_an_unusual_grouping_stands_in_the_meter() -> None:
    # 5/8 is 2+3 where nothing is said; 3+2 is written "3+2" over 8 (MusicXML 4.0, beats)
    written = musicxml([piece(grouping=(3, 2))], "x"), musicxml([piece()], "x")
    assert [etree.fromstring(text.encode()).findtext(".//beats") for text in written] == ["3+2", "5"]


def test_the_tempo_is_in_quarters_for_players_and_in_its_beat_for_eyes() -> None:
    # eighth = 208 sounds as quarter = 104 (MusicXML 4.0: sound tempo is in quarters a minute)
    root = etree.fromstring(musicxml([piece(tempo=208)], "x").encode())
    assert root.find(".//sound").get("tempo") == "104"
    assert (root.findtext(".//beat-unit"), root.findtext(".//per-minute")) == ("eighth", "208")


def test_passes_are_repeats() -> None:
    root = etree.fromstring(musicxml([piece(places=(1, 2), passes=4)], "x").encode())
    assert [one.get("times") for one in root.iter("repeat") if one.get("direction") == "backward"] == [
        "4",
        "4",
    ]


def test_one_pass_needs_no_repeat() -> None:
    assert "<repeat" not in musicxml([piece(passes=1)], "x")


def test_a_bend_has_a_notehead_of_its_own() -> None:
    root = etree.fromstring(musicxml([piece("4ev 5e 6e 5e 4e", places=(1,))], "x").encode())
    assert root.findtext(".//notehead") == "x"
    assert len(list(root.iter("brass-bend"))) == 1


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("trumpet", ("-1", "-2", None)),
        ("horn", ("-4", "-7", None)),
        ("euphonium-treble", ("-1", "-2", "-1")),
        ("tuba-eb-treble", ("-5", "-9", "-1")),
    ],
)
def test_whole_octaves_of_a_transposition_stand_apart(
    name: str, expected: tuple[str, str, str | None]
) -> None:
    # trumpet a tone down, horn a fifth, euphonium in treble clef a ninth, E flat tuba in treble clef an
    # octave and a sixth (written to sounding): the band's own parts
    root = etree.fromstring(musicxml([piece(instrument=name, places=(1,))], "x").encode())
    found = root.find(".//transpose")
    assert tuple(found.findtext(part) for part in ("diatonic", "chromatic", "octave-change")) == expected


@pytest.mark.parametrize("title", ["<b>&\"'", "]]>", "a\x00b\x0bc\ufffe", "\u202eevil", "x" * 5000])
def test_hostile_titles_leave_the_file_well_formed(title: str) -> None:
    root = etree.fromstring(musicxml([piece(title=title)], title).encode())
    kept = "".join(sign for sign in title if sign not in "\x00\x0b\ufffe")
    assert root.findtext(".//work-title") == kept


def test_sixteenths_share_a_second_beam_and_a_lone_one_has_a_hook() -> None:
    # a beat of dotted eighth and sixteenth, a beat of four sixteenths: common practice, no source
    figure = "4e. 5s 4s 5s 6s 5s 4h"
    root = etree.fromstring(musicxml([piece(figure, "4/4", places=(1,), beat="quarter")], "x").encode())
    second = [one.text for one in root.iter("beam") if one.get("number") == "2"]
    assert second == ["backward hook", "begin", "continue", "continue", "end"]


def test_a_slurred_piece_is_under_a_slur() -> None:
    root = etree.fromstring(musicxml([piece(places=(1,), articulation="slurred")], "x").encode())
    assert [one.get("type") for one in root.iter("slur")] == ["start", "stop"]


def test_a_slur_ends_before_the_same_note_is_played_again() -> None:
    # a repeated note under a slur cannot be told from a tie: common practice, no source
    slurred = piece("4q 5q 5q 6q", "4/4", places=(1,), beat="quarter", articulation="slurred")
    root = etree.fromstring(musicxml([slurred], "x").encode())
    assert [one.get("type") for one in root.iter("slur")] == ["start", "stop", "start", "stop"]


def test_pieces_of_one_instrument_stand_one_after_the_other() -> None:
    score = read(piece(places=(1,)), piece(meter="3/4", notation="4q 5q 6q", beat="quarter", places=(2,)))
    assert len(score.parts) == 1
    assert [str(m.timeSignature) for m in score.parts[0].getElementsByClass("Measure")] != []
    assert float(score.parts[0].highestTime) == float(Fraction(5, 2) + 3)


def test_accidentals_are_written_where_the_key_lacks_them() -> None:
    # partial 7 aside, a tube's bar is in its key; a raised fourth in C is F sharp
    from planner.brass.figures import read_figure, write_degrees
    from planner.brass.keys import parse_key
    from planner.brass.tempo import parse_meter

    one, meter = INSTRUMENTS["trumpet"], parse_meter("4/4")
    passage = write_degrees(
        read_figure("1q #4q 4q #4q", meter, "degrees"), one, parse_key("C"), *one.range_at("advanced")
    )
    made = Piece("x", one, meter, (passage,), 60, "quarter", 1)
    root = etree.fromstring(musicxml([made], "x").encode())
    assert [one.text for one in root.iter("accidental")] == ["sharp", "natural", "sharp"]
