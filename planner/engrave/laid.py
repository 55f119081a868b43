"""A page laid out, as data: figures with their drawings and sizes, line by line. Sizes are millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from planner.engrave.sheet import Cell, Page, Paper

# paper: width and height; the margins are those of sheet.typ
PAPERS: Final[dict[Paper, tuple[float, float]]] = {"a4": (210.0, 297.0), "us-letter": (215.9, 279.4)}
MARGIN: Final = 12.0
GAP: Final = 4.0  # between figures side by side


def column_width(columns: int) -> float:
    """How wide a figure's column is at the least, on the narrowest paper."""
    narrowest = min(width for width, _ in PAPERS.values()) - 2 * MARGIN
    return (narrowest - GAP * (columns - 1)) / columns


@dataclass(frozen=True, slots=True)
class Placed:
    """One figure in its place: the drawing and its size.

    The room above puts its staff on the line, the room under it the words below it on theirs.
    """

    cell: Cell
    svg: str
    width: float
    height: float
    above: float
    under: float


@dataclass(frozen=True, slots=True)
class Line:
    """Figures side by side, never split over pages."""

    figures: tuple[Placed, ...]
    columns: int


@dataclass(frozen=True, slots=True)
class Laid:
    """A page laid out: the lines of each row of each block, in their order; `air` goes under each line.

    `text` is the size of plain text in points; `close` halves the room between the parts of the page.
    """

    page: Page
    staff: float
    lines: tuple[tuple[tuple[Line, ...], ...], ...]
    air: float = 0.0
    text: float = 11.0
    close: bool = False
