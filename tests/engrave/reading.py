"""MEI read from outside: by a player who sees only what is printed, and by music21.

Nothing here knows the program's own notes: pitches are MIDI numbers, lengths quarters.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Any
from xml.etree import ElementTree as ET

from music21 import converter

NS = "{http://www.music-encoding.org/ns/mei}"
ID = "{http://www.w3.org/XML/1998/namespace}id"
LETTERS = {"c": 0, "d": 2, "e": 4, "f": 5, "g": 7, "a": 9, "b": 11}
SIGNS = {"s": 1, "f": -1, "n": 0, "x": 2, "ff": -2}
SHARPS = "fcgdaeb"  # the order of sharps in a signature, flats the other way: any theory book


def tree(mei: str) -> ET.Element:
    return ET.fromstring(mei)


def measures(mei: str) -> list[ET.Element]:
    return list(tree(mei).iter(f"{NS}measure"))


def events(measure: ET.Element) -> list[ET.Element]:
    """Notes and rests in order, inside beams or not."""
    return [one for one in measure.iter() if one.tag in (f"{NS}note", f"{NS}rest")]


def quarters(event: ET.Element) -> Fraction:
    """The length of a note or rest."""
    plain = Fraction(4, int(event.attrib["dur"]))
    return plain * Fraction(3, 2) if event.get("dots") == "1" else plain


def lengths(mei: str) -> list[Fraction]:
    """How long every bar is, in quarters."""
    return [sum(map(quarters, events(measure)), Fraction(0)) for measure in measures(mei)]


def meter_quarters(mei: str) -> Fraction:
    """How long the time signature says a bar is."""
    sign = next(tree(mei).iter(f"{NS}meterSig"))
    return Fraction(4 * sum(int(part) for part in sign.attrib["count"].split("+")), int(sign.attrib["unit"]))


def signature(mei: str) -> dict[str, int]:
    """What the key signature does to every letter."""
    text = next(tree(mei).iter(f"{NS}keySig")).attrib["sig"]
    if text == "0":
        return dict.fromkeys(SHARPS, 0)
    count = int(text[:-1])
    changed = SHARPS[:count] if text[-1] == "s" else SHARPS[-count:]
    return {letter: (1 if text[-1] == "s" else -1) * (letter in changed) for letter in SHARPS}


def as_printed(mei: str) -> list[list[int | None]]:
    """Written MIDI numbers bar by bar as a player reads them: signature, accidentals of the bar, ties."""
    at_clef = signature(mei)
    found: list[list[int | None]] = []
    held: int | None = None
    for measure in measures(mei):
        standing: dict[tuple[str, str], int] = {}
        ties = {tie.attrib["startid"][1:] for tie in measure.iter(f"{NS}tie")}
        bar: list[int | None] = []
        for event in events(measure):
            bar.append(held if held is not None else _read(event, at_clef, standing))
            held = bar[-1] if event.attrib[ID] in ties else None
        found.append(bar)
    return found


def _read(event: ET.Element, at_clef: dict[str, int], standing: dict[tuple[str, str], int]) -> int | None:
    if event.tag == f"{NS}rest":
        return None
    letter, octave = event.attrib["pname"], event.attrib["oct"]
    printed = event.get("accid") or next((one.get("accid") for one in event.iter(f"{NS}accid")), None)
    if printed:
        standing[letter, octave] = SIGNS[printed]
    alter = standing.get((letter, octave), at_clef[letter])
    return 12 * (int(octave) + 1) + LETTERS[letter] + alter


@cache
def as_heard(mei: str) -> list[list[int | None]]:
    """Sounding MIDI numbers bar by bar as music21 reads them."""
    score: Any = converter.parse(mei, format="mei").toSoundingPitch()
    return [
        [note.pitch.midi if note.isNote else None for note in bar.recurse().notesAndRests]
        for bar in score.recurse().getElementsByClass("Measure")
    ]


def as_timed(mei: str) -> list[list[Fraction]]:
    """Lengths in quarters bar by bar as music21 reads them."""
    score: Any = converter.parse(mei, format="mei")
    return [
        [Fraction(note.quarterLength) for note in bar.recurse().notesAndRests]
        for bar in score.recurse().getElementsByClass("Measure")
    ]


def fingerings(mei: str) -> list[list[str]]:
    """The fingering that stands over each note of each bar, "" for none."""
    found = []
    for measure in measures(mei):
        over = {
            harm.attrib["startid"][1:]: next(harm.iter(f"{NS}rend")).text or ""
            for harm in measure.iter(f"{NS}harm")
        }
        found.append([over.get(event.attrib[ID], "") for event in events(measure)])
    return found


def beamed(mei: str) -> list[str]:
    """How many notes each beam joins, bar by bar: "2 3"."""
    return [" ".join(str(len(events(beam))) for beam in one.iter(f"{NS}beam")) for one in measures(mei)]
