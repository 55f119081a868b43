"""MusicXML 4.0 (score-partwise, W3C Community Group) of pieces, one part an instrument, written pitches.

Conventions: eight divisions to a quarter, so that a dotted sixteenth is whole. Each passage is a repeated
section with its own key; its first note carries the fingering, as does every note where it changes. The tempo
stands at the beginning in the exercise's own beat. Text of users is escaped; signs that XML cannot hold are
left out.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Sequence
from fractions import Fraction

from planner.brass.figures import Note, Passage
from planner.brass.instruments import Instrument
from planner.brass.keys import Key
from planner.brass.tempo import Beat
from planner.exports.score import TYPES, Piece, bars, beams

VERSION = "4.0"
PER_QUARTER = 8
DIVISIONS = Fraction(PER_QUARTER, 2)
"""Divisions of an eighth."""

DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">'
)
BEAT_UNITS: dict[Beat, tuple[str, bool]] = {
    "eighth": ("eighth", False),
    "quarter": ("quarter", False),
    "dotted quarter": ("quarter", True),
    "half": ("half", False),
}
CLEFS = {"treble": ("G", "2"), "bass": ("F", "4")}
MODES = {"major": "major", "chromatic": "none"}
ACCIDENTALS = {-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}
_NOT_IN_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def musicxml(pieces: Sequence[Piece], title: str) -> str:
    """The score of these pieces as MusicXML text: one after the other, each instrument in its own part."""
    root = ET.Element("score-partwise", version=VERSION)
    work = ET.SubElement(root, "work")
    _text(work, "work-title", title)
    encoding = ET.SubElement(ET.SubElement(root, "identification"), "encoding")
    _text(encoding, "software", "planner")
    parts = _by_instrument(pieces)
    listed = ET.SubElement(root, "part-list")
    for number, instrument in enumerate(parts, 1):
        _text(ET.SubElement(listed, "score-part", id=f"P{number}"), "part-name", instrument.name)
    for number, own in enumerate(parts.values(), 1):
        _part(ET.SubElement(root, "part", id=f"P{number}"), own)
    ET.indent(root, " ")
    body = ET.tostring(root, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{DOCTYPE}\n{body}\n'


def _text(parent: ET.Element, name: str, value: object, **attributes: str) -> ET.Element:
    element = ET.SubElement(parent, name, attributes)
    element.text = _NOT_IN_XML.sub("", str(value))
    return element


def _by_instrument(pieces: Sequence[Piece]) -> dict[Instrument, list[Piece]]:
    found: dict[Instrument, list[Piece]] = {}
    for piece in pieces:
        found.setdefault(piece.instrument, []).append(piece)
    return found


def _part(part: ET.Element, pieces: Sequence[Piece]) -> None:
    for piece in pieces:
        for place, passage in enumerate(piece.passages):
            _passage(part, piece, passage, opens=place == 0)


def _passage(part: ET.Element, piece: Piece, passage: Passage, *, opens: bool) -> None:
    """The bars of one passage; `opens`: it is the first of its piece."""
    inside = list(bars(passage, piece.meter))
    shown = ""
    for index, bar in enumerate(inside):
        measure = ET.SubElement(part, "measure", number=str(len(part) + 1))
        if index == 0:
            _attributes(measure, piece, passage.key, opens=opens, very_first=len(part) == 1)
            if opens:
                _words(measure, piece.title)
                _metronome(measure, piece)
            _repeat(measure, piece.passes, "forward")
        shown = _bar(measure, bar, piece, passage.key, shown)
        if index == len(inside) - 1:
            _repeat(measure, piece.passes, "backward")


def _attributes(measure: ET.Element, piece: Piece, key: Key, *, opens: bool, very_first: bool) -> None:
    attributes = ET.SubElement(measure, "attributes")
    if very_first:
        _text(attributes, "divisions", PER_QUARTER)
    signature = ET.SubElement(attributes, "key")
    _text(signature, "fifths", key.signature)
    _text(signature, "mode", MODES.get(key.mode, "minor"))
    if not opens:
        return
    time = ET.SubElement(attributes, "time")
    _text(time, "beats", piece.meter.beats)
    _text(time, "beat-type", piece.meter.unit)
    if not very_first:
        return
    sign, line = CLEFS[piece.instrument.clef]
    clef = ET.SubElement(attributes, "clef")
    _text(clef, "sign", sign)
    _text(clef, "line", line)
    _transpose(attributes, piece.instrument)


def _transpose(attributes: ET.Element, instrument: Instrument) -> None:
    """From the written to the sounding note; whole octaves stand in an element of their own."""
    step, chromatic = instrument.transposition.diatonic, instrument.transposition.chromatic
    if not chromatic:
        return
    octaves = int(chromatic / 12)
    transpose = ET.SubElement(attributes, "transpose")
    _text(transpose, "diatonic", step - 7 * octaves)
    _text(transpose, "chromatic", chromatic - 12 * octaves)
    if octaves:
        _text(transpose, "octave-change", octaves)


def _words(measure: ET.Element, text: str) -> None:
    direction = ET.SubElement(measure, "direction", placement="above")
    _text(ET.SubElement(direction, "direction-type"), "words", text)


def _metronome(measure: ET.Element, piece: Piece) -> None:
    direction = ET.SubElement(measure, "direction", placement="above")
    metronome = ET.SubElement(ET.SubElement(direction, "direction-type"), "metronome")
    unit, dotted = BEAT_UNITS[piece.beat]
    _text(metronome, "beat-unit", unit)
    if dotted:
        ET.SubElement(metronome, "beat-unit-dot")
    _text(metronome, "per-minute", piece.tempo)
    quarters = piece.eighths_per_minute / 2
    ET.SubElement(direction, "sound", tempo=f"{float(quarters):g}")


def _repeat(measure: ET.Element, passes: int, direction: str) -> None:
    if passes <= 1:
        return
    at_end = direction == "backward"
    line = ET.SubElement(measure, "barline", location="right" if at_end else "left")
    _text(line, "bar-style", "light-heavy" if at_end else "heavy-light")
    repeat = ET.SubElement(line, "repeat", direction=direction)
    if at_end:
        repeat.set("times", str(passes))


def _bar(measure: ET.Element, bar: Sequence[Note], piece: Piece, key: Key, shown: str) -> str:
    """The notes of a bar; `shown` is the fingering shown last, the one shown last now comes back.

    A tied-to note shows nothing; the first note of every bar does.
    """
    altered: dict[tuple[str, int], int] = {}
    tied = False
    for number, (note, beam) in enumerate(zip(bar, beams(bar, piece.meter), strict=True)):
        ties = [way for way, there in (("stop", tied), ("start", note.tie)) if there]
        element = _note(measure, note, ties)
        if note.pitch is not None:
            _accidental(element, note, key, altered)
            if note.bend:
                _text(element, "notehead", "x")
        for level, what in enumerate(beam, 1):
            _text(element, "beam", what, number=str(level))
        new = note.fingering and not tied and (number == 0 or note.fingering != shown)
        _notations(element, note, ties, note.fingering if new else "", staccato=piece.staccato)
        shown = note.fingering or shown
        tied = note.tie
    return shown


def _note(measure: ET.Element, note: Note, ties: Sequence[str]) -> ET.Element:
    """The note as far as its type and dots, in the order of the schema."""
    element = ET.SubElement(measure, "note")
    if note.pitch is None:
        ET.SubElement(element, "rest")
    else:
        _pitch(element, note)
    _text(element, "duration", int(note.eighths * DIVISIONS))
    for way in ties:
        ET.SubElement(element, "tie", type=way)
    _text(element, "voice", 1)
    kind, dots = TYPES[note.eighths]
    _text(element, "type", kind)
    for _ in range(dots):
        ET.SubElement(element, "dot")
    return element


def _pitch(element: ET.Element, note: Note) -> None:
    assert note.pitch is not None
    pitch = ET.SubElement(element, "pitch")
    _text(pitch, "step", note.pitch.step)
    if note.pitch.alter:
        _text(pitch, "alter", note.pitch.alter)
    _text(pitch, "octave", note.pitch.octave)


def _accidental(element: ET.Element, note: Note, key: Key, altered: dict[tuple[str, int], int]) -> None:
    """The accidental, where the note is not what the signature and the bar so far say."""
    assert note.pitch is not None
    place = (note.pitch.step, note.pitch.octave)
    standing = altered.get(place, in_signature(note.pitch.step, key.signature))
    if note.pitch.alter != standing:
        _text(element, "accidental", ACCIDENTALS[note.pitch.alter])
        altered[place] = note.pitch.alter


def in_signature(step: str, signature: int) -> int:
    """How a key signature of so many sharps (flats below 0) alters a letter.

    >>> in_signature("F", 1), in_signature("E", -2), in_signature("A", -2)
    (1, -1, 0)
    """
    order = "FCGDAEB"
    if signature >= 0:
        return int(step in order[:signature])
    return -int(step in order[signature:])


def _notations(
    element: ET.Element, note: Note, ties: Sequence[str], fingering: str, *, staccato: bool
) -> None:
    slur = {"start": "start", "end": "stop"}.get(note.slur, "")
    signs = (("accent", note.accent), ("staccato", staccato and note.pitch), ("breath-mark", note.breath))
    marks = [name for name, there in signs if there]
    if not any((ties, slur, fingering, marks, note.bend)):
        return
    notations = ET.SubElement(element, "notations")
    for way in ties:
        ET.SubElement(notations, "tied", type=way)
    if slur:
        ET.SubElement(notations, "slur", number="1", type=slur)
    _technical(notations, fingering, bend=note.bend)
    if marks:
        articulations = ET.SubElement(notations, "articulations")
        for name in marks:
            ET.SubElement(articulations, name)


def _technical(notations: ET.Element, fingering: str, *, bend: bool) -> None:
    if not (fingering or bend):
        return
    technical = ET.SubElement(notations, "technical")
    if fingering:
        _text(technical, "fingering", fingering, placement="above")
    if bend:
        ET.SubElement(technical, "brass-bend")
