"""A class profile for tests: two groups, a curriculum that ships."""

from __future__ import annotations

from pathlib import Path

CLASS = """id = "first-years"
name = "First years"
curriculum = "first-year-five-notes"
starts = 2026-09-07
level = "beginner"
minutes = { monday = 15, tuesday = 15, thursday = 15, friday = 15 }

[[pupil]]
id = "cornets"
instrument = "cornet"
known_notes = ["C4", "D4", "E4", "F4", "G4"]

[[pupil]]
id = "trombones"
instrument = "trombone"
known_notes = ["Bb2", "C3", "D3", "Eb3", "F3"]
"""


def put(path: Path, text: str = CLASS) -> Path:
    """The text in a file, with the folders above it."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path
