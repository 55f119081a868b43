"""MusicXML 4.0 (score-partwise, W3C Community Group) of pieces, one part an instrument, written pitches.

Conventions: eight divisions to a quarter, so that a dotted sixteenth is whole. Each passage is a repeated
section with its own key. The tempo stands at the beginning in the exercise's own beat. What is printed of a
passage (accidentals, beams, slurs, fingerings) comes from engrave/score.py. Text of users is escaped; signs
that XML cannot hold are left out.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Sequence
from fractions import Fraction

from planner.brass.instruments import Instrument
from planner.brass.keys import Key, Pitch
from planner.brass.tempo import Beat, Meter, usual_grouping
from planner.engrave.score import Printed, Score, Style, write_score
from planner.exports.score import Piece

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
TYPES = {1: "whole", 2: "half", 4: "quarter", 8: "eighth", 16: "16th"}
ACCIDENTALS = {-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}
_NOT_IN_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def musicxml(pieces: Sequence[Piece], title: str) -> str:
    """The score of these pieces as MusicXML text, one after the other, each instrument in its own part."""
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


def _meter_count(meter: Meter) -> str:
    """The upper number of the time signature: "5", or "3+2" where the bar is not grouped as usual."""
    additive = len(set(meter.grouping)) > 1 and meter.grouping != usual_grouping(meter.beats, meter.unit)
    return meter.grouping_text if additive else str(meter.beats)


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
            score = write_score(
                passage, piece.instrument, piece.meter, Style(articulation=piece.articulation)
            )
            _passage(part, piece, score, opens=place == 0)


def _passage(part: ET.Element, piece: Piece, score: Score, *, opens: bool) -> None:
    """The bars of one passage; `opens`: it is the first of its piece."""
    for index, bar in enumerate(score.bars):
        measure = ET.SubElement(part, "measure", number=str(len(part) + 1))
        if index == 0:
            _attributes(measure, piece, score.key, opens=opens, very_first=len(part) == 1)
            if opens:
                _words(measure, piece.title)
                _metronome(measure, piece)
            _repeat(measure, piece.passes, "forward")
        for note, levels in zip(bar, beam_levels(bar), strict=True):
            _note(measure, note, levels)
        if index == len(score.bars) - 1:
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
    _text(time, "beats", _meter_count(piece.meter))
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


def beam_levels(bar: Sequence[Printed]) -> tuple[tuple[str, ...], ...]:
    """What each beam level does at every note of a bar: begin, continue, end, a hook; () without a beam."""
    found: list[tuple[str, ...]] = []
    for number, note in enumerate(bar):
        before = bar[number - 1] if note.beam in ("inside", "end") else None
        after = bar[number + 1] if note.beam in ("start", "inside") else None
        levels = range(1, _flags(note) + 1) if note.beam else ()
        found.append(tuple(_beam(_reaches(before, level), _reaches(after, level)) for level in levels))
    return tuple(found)


def _flags(note: Printed) -> int:
    """Flags of a note value: one of an eighth, two of a sixteenth."""
    return max(0, note.base.bit_length() - 3)


def _reaches(other: Printed | None, level: int) -> bool | None:
    """Whether a neighbour in the same beam has this level too; None where there is none on that side."""
    return None if other is None else _flags(other) >= level


def _beam(before: bool | None, after: bool | None) -> str:
    if before and after:
        return "continue"
    if before or after:
        return "end" if before else "begin"
    return "forward hook" if before is None else "backward hook"


def _note(measure: ET.Element, note: Printed, levels: Sequence[str]) -> None:
    """One note or rest, its parts in the order of the schema."""
    ties = [way for way, there in (("stop", note.tied), ("start", note.tie)) if there]
    element = ET.SubElement(measure, "note")
    if note.pitch is None:
        ET.SubElement(element, "rest")
    else:
        _pitch(element, note.pitch)
    _text(element, "duration", int(note.eighths * DIVISIONS))
    for way in ties:
        ET.SubElement(element, "tie", type=way)
    _text(element, "voice", 1)
    _text(element, "type", TYPES[note.base])
    for _ in range(note.dots):
        ET.SubElement(element, "dot")
    if note.pitch is not None and note.sign:
        courtesy = {"cautionary": "yes"} if note.sign == "courtesy" else {}
        _text(element, "accidental", ACCIDENTALS[note.pitch.alter], **courtesy)
    if note.bend:
        _text(element, "notehead", "x")
    for level, what in enumerate(levels, 1):
        _text(element, "beam", what, number=str(level))
    _notations(element, note, ties)


def _pitch(element: ET.Element, written: Pitch) -> None:
    pitch = ET.SubElement(element, "pitch")
    _text(pitch, "step", written.step)
    if written.alter:
        _text(pitch, "alter", written.alter)
    _text(pitch, "octave", written.octave)


def _notations(element: ET.Element, note: Printed, ties: Sequence[str]) -> None:
    slur = {"start": "start", "end": "stop"}.get(note.slur, "")
    signs = {
        "accent": note.accent,
        "staccato": note.staccato,
        "tenuto": note.tenuto,
        "breath-mark": note.breath,
    }
    marks = [name for name, there in signs.items() if there]
    if not any((ties, slur, note.fingering, marks, note.bend)):
        return
    notations = ET.SubElement(element, "notations")
    for way in ties:
        ET.SubElement(notations, "tied", type=way)
    if slur:
        ET.SubElement(notations, "slur", number="1", type=slur)
    _technical(notations, note.fingering, bend=note.bend)
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
