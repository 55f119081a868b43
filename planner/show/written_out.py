"""How a sheet looks, and its cells: a passage written out, its label and its notes in words.

Pure functions; the drawing itself is made where the sheet is printed.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from planner.brass.figures import Note, Passage
from planner.brass.instruments import Instrument
from planner.brass.tempo import MARKS, Beat, Meter, mark_at_or_below
from planner.engrave.score import Style, write_score
from planner.engrave.sheet import Cell, Marks, Paper
from planner.show.words import beat_sign, spoken

BEND = "A cross for a notehead: bent a semitone down and back, same fingering."
NONE_PRINTED = "A note without one has the same as the note before."
OVER_THE_NOTES = {
    "three valves": "Over the notes: the valves, 0 is open.",
    "four valves": "Over the notes: the valves, 0 is open.",
    "four valves compensating": "Over the notes: the valves, 0 is open.",
    "single horn": "Over the notes: the valves, 0 is open.",
    "double horn": "Over the notes: side and valves, F for the F side, T for the B♭ side, 0 is open.",
    "slide": "Over the notes: slide positions.",
    "slide with F attachment": "Over the notes: slide positions, with T those of the F attachment.",
}
AROUND = (5, 9)  # so many marks stand before and after the tempo where there is no goal


@dataclass(frozen=True, slots=True)
class Look:
    """How a sheet is to look: title, paper, and what is drawn."""

    title: str = ""
    paper: Paper = "a4"
    articulation: str = ""
    alternates: bool = False
    tenor_clef: bool = False

    @property
    def style(self) -> Style:
        """How a figure is drawn, whatever is repeated."""
        return Style(articulation=self.articulation, alternates=self.alternates, tenor_clef=self.tenor_clef)


def cell(
    passage: Passage, instrument: Instrument, meter: Meter, style: Style, label: str = "", remark: str = ""
) -> Cell:
    """One passage as a cell of a sheet."""
    words = f"{label or passage.key.pretty}: {notes_in_words(passage.notes)}"
    below = (remark,) if remark else ()
    return Cell(write_score(passage, instrument, meter, style), label, spoken(words), below=below)


def notes_in_words(notes: Iterable[Note]) -> str:
    """Notes with their fingerings where these change: "A♭4 with 23, C5, E♭5"."""
    said = []
    standing = ""
    for note in notes:
        if note.pitch is None:
            said.append("rest")
            continue
        fingering = f" with {note.fingering}" if note.fingering and note.fingering != standing else ""
        standing = note.fingering or standing
        said.append(f"{note.pitch.name}{fingering}{' bent' if note.bend else ''}")
    return ", ".join(said)


def signs_used(passages: Sequence[Passage], instrument: Instrument, style: Style) -> list[str]:
    """What the signs on a page mean, only those that occur."""
    found = [OVER_THE_NOTES[instrument.mechanism], NONE_PRINTED] if style.fingerings else []
    if style.alternates:
        found.append("In brackets: other ways to play the note, where it comes first.")
    if any(note.bend for passage in passages for note in passage.notes):
        found.append(BEND)
    return found


def marks_to_circle(
    beat: Beat, tempo: int, first: int = 0, goal: int = 0, beside: tuple[int, int] = AROUND
) -> Marks | None:
    """The metronome marks from `first` to `goal`, else those around the tempo; None where there are none.

    `beside`: how many stand before and after the tempo where there is room for them on the metronome.

    Eighths beyond the metronome's scale are given by their quarters.
    """
    if beat == "eighth" and max(tempo, goal) > MARKS[-1]:
        half = [(value + 1) // 2 for value in (tempo, first, goal)]
        return marks_to_circle("quarter", half[0], half[1], half[2], beside)
    if goal and first:
        values = tuple(mark for mark in MARKS if first <= mark <= goal)
        return Marks(beat_sign(beat), values, tempo, goal) if len(values) > 1 else None
    if tempo > MARKS[-1]:
        return None
    at = MARKS.index(mark_at_or_below(tempo))
    before, after = beside
    shown = before + 1 + after
    start = max(0, min(at - before, len(MARKS) - shown))
    return Marks(beat_sign(beat), MARKS[start : start + shown], tempo)
