"""Instruments, positions, partials, fingerings, ranges: the one door to the facts about the instruments.

`tubes.py` holds the physics, `instrument_table.py` the instruments, `fingerings.py` the charts.
"""

from __future__ import annotations

from planner.brass.fingerings import (
    Fingerings,
    NotOnInstrumentError,
    fingerings,
    nearest_words,
    open_key,
    position_of,
    positions,
    reachable,
    slide_place,
    sounding,
    tube_note,
    valves_of,
    written,
)
from planner.brass.instrument_table import (
    INSTRUMENTS,
    Clef,
    Instrument,
    InstrumentFamily,
    Ranges,
    instrument,
)
from planner.brass.keys import Transposition
from planner.brass.tubes import Mechanism, Side, Tube, partial_cents, partial_semitones, tubes, valve_cents

__all__ = [
    "INSTRUMENTS",
    "Clef",
    "Fingerings",
    "Instrument",
    "InstrumentFamily",
    "Mechanism",
    "NotOnInstrumentError",
    "Ranges",
    "Side",
    "Transposition",
    "Tube",
    "fingerings",
    "instrument",
    "nearest_words",
    "open_key",
    "partial_cents",
    "partial_semitones",
    "position_of",
    "positions",
    "reachable",
    "slide_place",
    "sounding",
    "tube_note",
    "tubes",
    "valve_cents",
    "valves_of",
    "written",
]
