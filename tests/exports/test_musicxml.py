"""MusicXML against its schema and against an independent reader (music21)."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import music21
import pytest
from exports.scored import piece, pieces, schema_file
from hypothesis import HealthCheck, given, settings
from lxml import etree

from planner.brass.instruments import INSTRUMENTS, tube_note
from planner.exports.musicxml import in_signature, musicxml
from planner.exports.score import Piece

XLINK = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema"
targetNamespace="http://www.w3.org/1999/xlink">
<xs:attribute name="href" type="xs:anyURI"/><xs:attribute name="type" type="xs:string"/>
<xs:attribute name="role" type="xs:token"/><xs:attribute name="title" type="xs:token"/>
<xs:attribute name="show" type="xs:string"/><xs:attribute name="actuate" type="xs:string"/></xs:schema>"""


XML = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema"
targetNamespace="http://www.w3.org/XML/1998/namespace">
<xs:attribute name="lang" type="xs:language"/><xs:attribute name="space" type="xs:NCName"/></xs:schema>"""


@cache
def schema() -> etree.XMLSchema:
    """The MusicXML 4.0 schema (W3C Music Notation Community Group), as a registry package ships it.

    The two schemas it names by address stand beside it, so that nothing is fetched.
    """
    with TemporaryDirectory() as folder:
        place = Path(folder)
        text = schema_file().read_text(encoding="utf-8")
        text = text.replace("http://www.musicxml.org/xsd/", "")
        (place / "musicxml.xsd").write_text(text, encoding="utf-8")
        (place / "xlink.xsd").write_text(XLINK, encoding="utf-8")
        (place / "xml.xsd").write_text(XML, encoding="utf-8")
        return etree.XMLSchema(etree.parse(str(place / "musicxml.xsd")))


def read(*played: Piece) -> Any:
    """The score as music21 reads it."""
    return music21.converter.parseData(musicxml(played, "Test"), format="musicxml")


def sounding(score: Any) -> list[int]:
    """The sounding pitches in order, tied notes once."""
    return [n.pitch.midi for n in score.toSoundingPitch().stripTies().recurse().notes]


@given(pieces())
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_every_score_is_valid_by_the_schema(drawn: Piece) -> None:
    document = etree.fromstring(musicxml([drawn], "Drawn").encode(), etree.XMLParser(load_dtd=False))
    assert schema().validate(document), schema().error_log


def test_the_schema_refuses_what_is_none() -> None:
    text = musicxml([piece()], "Five").replace("<type>eighth</type>", "<type>eigth</type>")
    assert not schema().validate(etree.fromstring(text.encode()))


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


@pytest.mark.parametrize(
    ("step", "signature", "alter"),
    [("F", 1, 1), ("B", -1, -1), ("E", -1, 0), ("C", 7, 1), ("F", -6, 0), ("F", -7, -1)],
)
def test_a_signature_alters_its_letters(step: str, signature: int, alter: int) -> None:
    # order of sharps F C G D A E B, of flats the other way round
    assert in_signature(step, signature) == alter


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
