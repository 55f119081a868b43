"""Columns, wrapping and the two type faces of a terminal, bold and dim. Standard library only.

Conventions: widths are terminal columns; a no-break space (U+00A0) keeps its neighbours on one line and
is printed as a space. Text that a user wrote passes `clean` before it is measured or printed.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import zip_longest

NO_BREAK = "\u00a0"
DOT = " · "
GAP = 2


def clean(text: object) -> str:
    """`text` on one line, without control characters and marks that change the reading direction."""
    kept = (sign for sign in str(text) if sign.isspace() or unicodedata.category(sign)[0] != "C")
    return " ".join("".join(kept).split())


def kept_together(text: str) -> str:
    """`text` as one piece that no line end divides."""
    return text.replace(" ", NO_BREAK)


def cells(text: str) -> int:
    """How many columns of a terminal `text` takes: wide signs two, marks over a letter none."""
    return sum(_sign_cells(sign) for sign in text)


def _sign_cells(sign: str) -> int:
    if unicodedata.combining(sign):
        return 0
    return 2 if unicodedata.east_asian_width(sign) in "WF" else 1


def pad(text: str, width: int, *, right: bool = False) -> str:
    """`text` filled with spaces to `width` columns, set to the left or to the right."""
    space = " " * max(0, width - cells(text))
    return space + text if right else text + space


def wrap(text: str, width: int) -> list[str]:
    """`text` in lines of at most `width` columns, broken between words; a longer word is divided."""
    return flow(text.split(" "), width, joint=" ")


def flow(parts: Iterable[str], width: int, *, joint: str = DOT) -> list[str]:
    """Parts set one after another with `joint` between them, in lines of at most `width` columns.

    A part moves to the next line whole where it fits there, else it is broken between its words.
    """
    lines: list[str] = []
    for part in parts:
        if lines and cells(lines[-1] + joint + part) <= width:
            lines[-1] += joint + part
        elif cells(part) <= width:
            lines.append(part)
        else:
            lines.extend(_broken(part, width))
    return lines


def _broken(part: str, width: int) -> list[str]:
    """A part too long for a line: broken between words, then at no-break spaces, then anywhere."""
    if " " in part or NO_BREAK in part:
        return wrap(part if " " in part else part.replace(NO_BREAK, " "), width)
    return _divided(part, width)


def _divided(word: str, width: int) -> list[str]:
    lines = [""]
    for sign in word:
        if lines[-1] and cells(lines[-1] + sign) > width:
            lines.append("")
        lines[-1] += sign
    return lines


def indent(lines: Sequence[str], first: str, rest: str) -> list[str]:
    """Lines with `first` before the first of them and `rest` before the others."""
    return [(rest if number else first) + line for number, line in enumerate(lines)]


@dataclass(frozen=True, slots=True)
class Faces:
    """Bold and dim, or neither where `on` is false."""

    on: bool

    def bold(self, text: str) -> str:
        """`text` in bold; spaces around it are none of its business."""
        return f"\x1b[1m{text}\x1b[0m" if self.on and text else text

    def dim(self, text: str) -> str:
        """`text` dimmed."""
        return f"\x1b[2m{text}\x1b[0m" if self.on and text else text


@dataclass(frozen=True, slots=True)
class Column:
    """One column of lines set side by side: its width, its side and its face ("", "bold" or "dim")."""

    width: int
    right: bool = False
    face: str = ""


def side_by_side(row: Sequence[str], columns: Sequence[Column], faces: Faces, gap: int = GAP) -> list[str]:
    """One row of cells as lines: each cell wrapped within its column, columns `gap` apart.

    A column of no width is left out.
    """
    used = [(cell, column) for cell, column in zip(row, columns, strict=True) if column.width > 0]
    wrapped = [_wrapped(cell, column.width) for cell, column in used]
    lines = []
    for pieces in zip_longest(*wrapped, fillvalue=""):
        set_pieces = (_set(piece, column, faces) for piece, (_, column) in zip(pieces, used, strict=True))
        lines.append((" " * gap).join(set_pieces).rstrip())
    return lines


def _wrapped(cell: str, width: int) -> list[str]:
    return [line for part in cell.split("\n") for line in wrap(part, width)]


def _set(piece: str, column: Column, faces: Faces) -> str:
    space = " " * (column.width - cells(piece))
    if column.face:
        piece = getattr(faces, column.face)(piece)
    return space + piece if column.right else piece + space


def widest(rows: Sequence[Sequence[str]]) -> list[int]:
    """The widest cell of every column of `rows`, which all have the same number of cells."""
    return [max(cells(cell) for cell in column) for column in zip(*rows, strict=True)]


def page(lines: Iterable[str]) -> str:
    """Finished lines as one text: no-break spaces printed as spaces, no spaces before a line end."""
    return "\n".join(line.replace(NO_BREAK, " ").rstrip() for line in lines) + "\n"
