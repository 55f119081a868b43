"""Brass facts as text and data: fingerings of notes here, a figure written out in `figure_sheet.py`.

Pure functions: facts in, text out, no clock, no files. Widths are columns; nothing runs wider than asked from
60 columns on. Valve combinations are printed as "12", the open tube as "0".
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import TypedDict

from planner.brass.instruments import Fingerings, Instrument, fingerings, open_key, reachable
from planner.brass.keys import Pitch, spell, transpose_pitch
from planner.show.figure_sheet import FigureRequest, figure_text

__all__ = [
    "FigureRequest",
    "FingeringsObject",
    "chart_legend",
    "chart_pitches",
    "figure_text",
    "fingerings_objects",
    "fingerings_text",
]


class FingeringsObject(TypedDict):
    """One written note in JSON: note names in plain characters, fingerings as printed."""

    instrument: str
    written: str
    sounding: str
    standard: str
    alternates: list[str]
    seventh_partial: list[str]


_GAP = "  "


def chart_pitches(instrument: Instrument) -> tuple[Pitch, ...]:
    """Every written note of an instrument, from its lowest to the high end of its advanced range.

    The low end of that range is no end of the chart: what a fourth valve and the pedals give below it is
    looked up most.
    """
    high = instrument.range_at("advanced")[1]
    home = open_key(instrument, 1)
    return tuple(spell(note, home) for note in reachable(instrument) if note <= high)


def is_pedal(instrument: Instrument, pitch: Pitch) -> bool:
    """Whether a written note is played on the first partial."""
    return fingerings(instrument, pitch.midi).partial == 1


def fingerings_objects(instrument: Instrument, pitches: Sequence[Pitch]) -> list[FingeringsObject]:
    """One object a written note; NotOnInstrumentError for one that the instrument does not have."""
    return [_object(instrument, pitch, fingerings(instrument, pitch.midi)) for pitch in pitches]


def fingerings_text(instrument: Instrument, pitches: Sequence[Pitch], width: int = 80) -> str:
    """The written notes with what they sound, their usual fingering and the others, as a small table."""
    found = [(pitch, fingerings(instrument, pitch.midi)) for pitch in pitches]
    with_seventh = any(entry.seventh_partial for _, entry in found)
    head = ["written", "sounds", "usual", "also"]
    rows = [
        [pitch.name, _sounding(instrument, pitch).name, entry.standard, ", ".join(entry.alternates)]
        for pitch, entry in found
    ]
    if with_seventh:
        head.append("7th partial")
        rows = [[*row, ", ".join(entry.seventh_partial)] for row, (_, entry) in zip(rows, found, strict=True)]
    lines = [
        instrument.name,
        "",
        *_table([head, *rows], width),
        "",
        *_legend(instrument, with_seventh, width),
    ]
    return "\n".join(lines).rstrip() + "\n"


def _object(instrument: Instrument, pitch: Pitch, found: Fingerings) -> FingeringsObject:
    return {
        "instrument": instrument.id,
        "written": pitch.ascii,
        "sounding": _sounding(instrument, pitch).ascii,
        "standard": found.standard,
        "alternates": list(found.alternates),
        "seventh_partial": list(found.seventh_partial),
    }


def _sounding(instrument: Instrument, pitch: Pitch) -> Pitch:
    """The concert pitch, spelled by the interval unless that needs a double accidental."""
    sounds = transpose_pitch(pitch, instrument.transposition)
    return sounds if abs(sounds.alter) <= 1 else spell(sounds.midi, open_key(instrument, 1))


def _table(rows: Sequence[Sequence[str]], width: int) -> list[str]:
    """Rows under each other; the fourth column ("also") is folded where the width asks for it."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    others = sum(widths) - widths[3] + len(_GAP) * (len(widths) - 1)
    widths[3] = max(min(widths[3], width - others), 8)
    lines = []
    for row in rows:
        folded = textwrap.wrap(row[3], widths[3]) or [""]
        for index, part in enumerate(folded):
            cells = [*row[:3], part, *row[4:]] if index == 0 else ["", "", "", part, *("" for _ in row[4:])]
            padded = (cell.ljust(size) for cell, size in zip(cells, widths, strict=True))
            lines.append(_GAP.join(padded).rstrip())
    return lines


def chart_legend(instrument: Instrument) -> str:
    """What the fingerings of an instrument mean, in one line."""
    return _LEGENDS[instrument.mechanism]


RAISED_WORDS = "♯2 the second drawn in a little"
_LEGENDS = {
    "three valves": "0: open. 12: first and second valve together.",
    "four valves": "0: open. 24: second and fourth valve together.",
    "four valves compensating": "0: open. 24: second and fourth valve together.",
    "single horn": "0: open. 12: first and second valve together.",
    "double horn": "F: F side. T: B♭ side, thumb valve down. T0: no other valve.",
    "slide": f"Numbers are slide positions, {RAISED_WORDS}.",
    "slide with F attachment": (
        f"Numbers are slide positions, {RAISED_WORDS}. T1 to T6: positions with the F attachment."
    ),
}


def _legend(instrument: Instrument, with_seventh: bool, width: int) -> list[str]:
    """What the signs mean, only those that this instrument needs."""
    text = chart_legend(instrument)
    if with_seventh:
        text += " 7th partial: 31 cents flat" + (", draw the slide in." if instrument.is_slide else ".")
    return textwrap.wrap(text, width)
