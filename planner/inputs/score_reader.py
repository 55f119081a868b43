"""MusicXML to notes: one part, its first voice, as written; what is not taken over is listed, never lost.

Conventions: lengths are in eighths (Fraction), measures count from 1 in the order of the file, pitches are
written. Reads score-partwise, plain or compressed (.mxl). Entities are refused: a score needs none, and they
can fill any memory. Standard library only.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

from planner.brass.keys import Pitch
from planner.errors import UsageError
from planner.inputs.score_signs import left_out
from planner.inputs.score_xml import Place, Tree, read_tree

NUMBER = re.compile(r"[+-]?\d{1,9}(\.\d{1,9})?", re.ASCII)
SMALL = re.compile(r"[+-]?\d{1,2}", re.ASCII)
# what a score can mean by its numbers, the ends included
ANY = range(-999_999_999, 1_000_000_000)
DIVISIONS, DURATIONS = range(1, 1_000_000), range(1_000_000_000)
FIFTHS, UNITS, ALTERS, OCTAVES = range(-20, 21), range(1, 129), range(-2, 3), range(10)
CLEFS = {"G": "treble", "F": "bass", "C": "bass"}
"""The clefs in which brass parts stand; a tenor clef is read by instruments of the bass clef."""

LETTERS = {"F": -1, "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5}
"""Places of the letters on the line of fifths."""


@dataclass(frozen=True, slots=True)
class ReadNote:
    """A note or rest as it stands: `bar` counts from 1, `place` is its line and column in the file.

    `beam`: "begin", "continue" or "end" of its first beam, "" for a single note.
    """

    bar: int
    pitch: Pitch | None
    eighths: Fraction
    tie: bool
    slur_starts: bool
    slur_ends: bool
    accent: bool
    bend: bool
    breath: bool
    place: Place = (0, 0)
    beam: str = ""


@dataclass(frozen=True, slots=True)
class Bar:
    """A measure: its meter (beats as written, "2+3" too), its key (sharps, flats below 0; mode or "")."""

    number: int
    beats: str
    unit: int
    sharps: int
    mode: str
    notes: tuple[ReadNote, ...]
    place: Place = (0, 0)

    @property
    def eighths(self) -> Fraction:
        """How long its notes and rests last."""
        return sum((note.eighths for note in self.notes), Fraction(0))


@dataclass(frozen=True, slots=True)
class ReadPart:
    """One part with its bars, and what was not taken over, in words.

    `transposition`: semitones from its written to its sounding notes, None where the part does not say.
    `clef`: "treble", "bass" (tenor clefs too) or "" of its first clef.
    """

    name: str
    bars: tuple[Bar, ...]
    left_out: tuple[str, ...]
    transposition: int | None = None
    clef: str = ""


def read_score(path: Path, wanted: str = "") -> ReadPart:
    """The part of that name or number (from 1), or the only one.

    Raises NoInput where the file is not there, BadData where it is no MusicXML, UsageError where the part is
    not clear.
    """
    tree = _rooted(path)
    root = tree.root
    names = {part.get("id", ""): part.findtext("part-name", "") for part in root.iter("score-part")}
    parts = root.findall("part")
    if not parts:
        raise tree.fault(root, "the score has no part", "export a part with its notes")
    part = _chosen(parts, names, wanted)
    return _Reader(tree, names.get(part.get("id", ""), "")).read(part)


def _rooted(path: Path) -> Tree:
    tree = read_tree(path)
    if tree.root.tag != "score-partwise":
        hint = "export it as MusicXML, part by part (score-partwise)"
        raise tree.fault(tree.root, f"<{tree.root.tag[:40]}> is no MusicXML score", hint)
    return tree


def _chosen(parts: list[ET.Element], names: dict[str, str], wanted: str) -> ET.Element:
    labels = [names.get(part.get("id", ""), "") for part in parts]
    known = "; ".join(f"{number} {label}".strip() for number, label in enumerate(labels, 1))
    if not wanted:
        if len(parts) > 1:
            raise UsageError(f"the score has {len(parts)} parts", f"choose one with --part: {known}")
        return parts[0]
    if wanted.isdecimal() and 1 <= int(wanted) <= len(parts):
        return parts[int(wanted) - 1]
    same = [part for part, label in zip(parts, labels, strict=True) if label.lower() == wanted.lower()]
    if len(same) != 1:
        raise UsageError(f"the score has no part '{wanted[:60]}'", f"--part: {known}")
    return same[0]


def _transposition(part: ET.Element) -> int | None:
    """Semitones from the written to the sounding notes, octaves included; None where it is not said."""
    found = part.find("measure/attributes/transpose")
    if found is None:
        return None
    octaves, semitones = (found.findtext(tag, "0").strip() for tag in ("octave-change", "chromatic"))
    if not all(SMALL.fullmatch(text) for text in (octaves, semitones)):
        return None
    return int(semitones) + 12 * int(octaves)


def _beam(note: ET.Element) -> str:
    first = next((beam for beam in note.findall("beam") if beam.get("number", "1") == "1"), None)
    text = "" if first is None else (first.text or "").strip()
    return text if text in ("begin", "continue", "end") else ""


@dataclass(slots=True)
class _Reader:
    """Goes through a part; what stands at one place holds until it changes."""

    tree: Tree
    name: str
    divisions: Fraction = Fraction(1)
    beats: str = "4"
    unit: int = 4
    sharps: int = 0
    mode: str = ""
    voice: str | None = None
    missed: Counter[str] = field(default_factory=Counter)

    def read(self, part: ET.Element) -> ReadPart:
        bars = tuple(self._bar(number, measure) for number, measure in enumerate(part.findall("measure"), 1))
        missed = self.missed + left_out(part)
        return ReadPart(
            self.name,
            bars,
            tuple(f"{words} ({count})" for words, count in missed.items()),
            _transposition(part),
            CLEFS.get(part.findtext("measure/attributes/clef/sign", "").strip(), ""),
        )

    def _bar(self, number: int, measure: ET.Element) -> Bar:
        notes: list[ReadNote] = []
        for element in measure:
            if element.tag == "attributes":
                self._attributes(element, number)
            elif element.tag == "note":
                notes += self._note(element, number)
        place = self.tree.places.get(measure, (0, 0))
        return Bar(number, self.beats, self.unit, self.sharps, self.mode, tuple(notes), place)

    def _attributes(self, element: ET.Element, number: int) -> None:
        self.divisions = self._number(element, "divisions", number, self.divisions, DIVISIONS)
        if element.find("key/fifths") is not None:
            self.sharps = int(self._number(element, "key/fifths", number, Fraction(0), FIFTHS))
            self.mode = element.findtext("key/mode", "").strip()
        if element.find("time/beats") is not None:
            self.beats = element.findtext("time/beats", "").strip()[:20]
            self.unit = int(self._number(element, "time/beat-type", number, Fraction(4), UNITS))

    def _number(
        self, element: ET.Element, path: str, bar: int, otherwise: Fraction, allowed: range = ANY
    ) -> Fraction:
        """The number under an element; BadData where it is none, or none that a score can mean."""
        found = element.find(path)
        if found is None:
            return otherwise
        text = (found.text or "").strip()
        number = Fraction(text) if NUMBER.fullmatch(text) else None
        if number is None or not allowed[0] <= number <= allowed[-1]:
            what = "no number" if number is None else f"not {allowed[0]} to {allowed[-1]}"
            hint = f"a whole number from {allowed[0]} to {allowed[-1]} is wanted"
            raise self.tree.fault(found, f"bar {bar}: <{path}> is {text[:30]!r}, {what}", hint)
        return number

    def _note(self, element: ET.Element, bar: int) -> Iterator[ReadNote]:
        """The note, or nothing where it is one of those that are listed instead."""
        reason = self._why_not(element)
        if reason:
            self.missed[reason] += 1
            return
        ties = {tie.get("type") for tie in element.findall("tie")}
        slurs = [slur.get("type") for slur in element.findall("notations/slur")]
        marks = {one.tag for one in element.findall("notations/articulations/*")}
        yield ReadNote(
            bar=bar,
            pitch=None if element.find("rest") is not None else self._pitch(element, bar),
            eighths=self._number(element, "duration", bar, Fraction(0), DURATIONS) / self.divisions * 2,
            tie="start" in ties,
            slur_starts="start" in slurs,
            slur_ends="stop" in slurs,
            accent=bool(marks & {"accent", "strong-accent"}),
            bend=element.find("notations/technical/brass-bend") is not None,
            breath="breath-mark" in marks,
            place=self.tree.places.get(element, (0, 0)),
            beam=_beam(element),
        )

    def _why_not(self, element: ET.Element) -> str:
        voice = element.findtext("voice", "1")
        self.voice = self.voice or voice
        reasons = (
            ("grace notes", element.find("grace") is not None),
            ("cue notes", element.find("cue") is not None),
            ("notes of a chord, only one of which is kept", element.find("chord") is not None),
            ("notes without pitch", element.find("unpitched") is not None),
            ("notes of another voice", voice != self.voice),
        )
        return next((words for words, there in reasons if there), "")

    def _pitch(self, element: ET.Element, bar: int) -> Pitch:
        named = element.find("pitch/step")
        step = "" if named is None else (named.text or "").strip()
        if step not in LETTERS:
            words = f"bar {bar}: {step[:20]!r} is the name of no note"
            raise self.tree.fault(element if named is None else named, words, "C, D, E, F, G, A or B")
        alter = self._number(element, "pitch/alter", bar, Fraction(0), ALTERS)
        octave = self._number(element, "pitch/octave", bar, Fraction(4), OCTAVES)
        if alter.denominator != 1 or octave.denominator != 1:
            words = f"bar {bar}: {step} altered by {alter} is no note of a brass part"
            raise self.tree.fault(element, words, "quarter tones cannot be taken over")
        return Pitch(LETTERS[step] + 7 * int(alter), int(octave))
