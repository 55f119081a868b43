"""Figures: notation, notes, difficulty. The one door to them.

`notation.py` reads a figure, `passages.py` writes it out for an instrument, `difficulty.py` weighs it.
"""

from __future__ import annotations

from planner.brass.difficulty import first_guess_notches, intensity
from planner.brass.notation import Figure, FigureError, Kind, Slur, Token, read_figure
from planner.brass.passages import Note, Passage, is_doubled, write_degrees, write_partials

__all__ = [
    "Figure",
    "FigureError",
    "Kind",
    "Note",
    "Passage",
    "Slur",
    "Token",
    "first_guess_notches",
    "intensity",
    "is_doubled",
    "read_figure",
    "write_degrees",
    "write_partials",
]
