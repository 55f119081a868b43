"""Notes as two lines of text: fingerings above, written names below, folded at bar lines.

The marks are those of the figure notation: `>` accent, `~` tie, `v` bend, `,` breath, `( )` slur; a length
letter stands where the length changes, and only in figures of mixed lengths. A rest is a dash.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from planner.brass.figures import Figure, Note, Passage

_LETTERS = {Fraction(8): "w", Fraction(4): "h", Fraction(2): "q", Fraction(1): "e", Fraction(1, 2): "s"}
_MARK_WORDS = {
    ">": "accent",
    "~": "tied to the next",
    "v": "bent a semitone down and back",
    ",": "breathe",
}


_BAR_LINE = "| "
_BAR_GAP = "  "


@dataclass(frozen=True, slots=True)
class _Cell:
    """One note: what stands above it and its text."""

    above: str
    text: str


def cell_size(passages: Sequence[Passage]) -> int:
    """Columns for one note, the same for all passages that stand under each other."""
    cells = [cell for passage in passages for bar in _bars(passage) for cell in bar]
    return max((max(len(cell.above), len(cell.text)) for cell in cells), default=0) + 1


def staff_lines(passage: Passage, label: str, width: int, size: int) -> list[str]:
    """Two lines for a passage behind its label, more where it has to be folded; `size` is `cell_size`."""
    bars = _bars(passage)
    lines = []
    for index, line in enumerate(_fold(bars, width - len(label), size)):
        start = label if index == 0 else " " * len(label)
        above = _BAR_GAP.join("".join(cell.above.ljust(size) for cell in bar) for bar in line)
        below = _BAR_LINE.join("".join(cell.text.ljust(size) for cell in bar) for bar in line)
        if above.strip():  # nothing changes on this line: nothing stands over it
            lines.append(f"{' ' * len(label)}{above}".rstrip())
        lines.append(f"{start}{below}".rstrip())
    return lines


def marks_used(figure: Figure) -> str:
    """The signs of a figure in words, only those that occur; "" where there are none."""
    tokens = figure.tokens
    signs = {
        ">": any(token.accent for token in tokens),
        "~": any(token.tie for token in tokens),
        "v": any(token.bend for token in tokens),
        ",": any(token.breath for token in tokens),
    }
    words = [f"{sign} {_MARK_WORDS[sign]}" for sign, used in signs.items() if used]
    if any(token.slur for token in tokens):
        words.append("( ) slurred")
    if any(token.number is None for token in tokens):
        words.append("– rest")
    if _is_mixed(token.eighths for token in tokens):
        words.append("w h q e s lengths from whole note to sixteenth")
    return " · ".join(words)


def _bars(passage: Passage) -> list[list[_Cell]]:
    """The cells bar by bar."""
    bar_eighths = passage.eighths / passage.bars
    mixed = _is_mixed(note.eighths for note in passage.notes)
    bars: list[list[_Cell]] = []
    at = Fraction(0)
    fingering: str | None = None
    length: Fraction | None = None
    for note in passage.notes:
        if at % bar_eighths == 0:
            bars.append([])
        letter = _letter(note.eighths) if mixed and note.eighths != length else ""
        above = "" if note.pitch is None or note.fingering == fingering else note.fingering or "none"
        bars[-1].append(_Cell(above, _text(note, letter)))
        fingering = fingering if note.pitch is None else note.fingering
        length = note.eighths
        at += note.eighths
    return bars


def _fold(bars: Sequence[Sequence[_Cell]], room: int, size: int) -> list[list[list[_Cell]]]:
    """Lines of bars that fit in `room` columns; a bar longer than a line is broken where the line ends."""
    lines: list[list[list[_Cell]]] = []
    used = room + 1
    for bar in bars:
        for part in _parts(bar, max(1, room // size)):
            columns = len(_BAR_LINE) + size * len(part)
            if used + columns > room or part[0] is not bar[0]:
                lines.append([])
                used = -len(_BAR_LINE)
            lines[-1].append(part)
            used += columns
    return lines


def _parts(bar: Sequence[_Cell], most: int) -> list[list[_Cell]]:
    """A bar in pieces of at most `most` notes."""
    return [list(bar[start : start + most]) for start in range(0, len(bar), most)]


def _text(note: Note, letter: str) -> str:
    """A note with its signs in the order of the notation."""
    name = "–" if note.pitch is None else note.pitch.name
    signs = (">" * note.accent) + ("~" * note.tie) + ("v" * note.bend) + ("," * note.breath)
    return f"{'(' * (note.slur == 'start')}{name}{letter}{signs}{')' * (note.slur == 'end')}"


def _letter(eighths: Fraction) -> str:
    """The length letter, dotted where it is."""
    plain = _LETTERS.get(eighths)
    return plain if plain is not None else _LETTERS[eighths * 2 / 3] + "."


def _is_mixed(lengths: Iterable[Fraction]) -> bool:
    """Whether there is more than one length."""
    return len(set(lengths)) > 1
