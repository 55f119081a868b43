"""A page laid out, as data: figures with their drawings and sizes, line by line. Sizes are millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from planner.engrave.sheet import Block, Cell, Page, Paper

# paper: width and height; the margins are those of sheet.typ
PAPERS: Final[dict[Paper, tuple[float, float]]] = {"a4": (210.0, 297.0), "us-letter": (215.9, 279.4)}
MARGIN: Final = 12.0
GAP: Final = 4.0  # between figures side by side
BESIDE: Final = 62.0  # what is filled in beside a figure, at the least
_TITLE_LETTER, _LETTER = 2.75, 1.8  # mm of a letter of a block's title and of its facts, a little generous


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


def answer_room(one: Placed, columns: int) -> float:
    """How wide what is filled in for a figure may be: beside the figure or, in its column, under it."""
    beside = column_width(1) - one.width - GAP
    return beside if answer_beside(one, columns) else column_width(columns)


def answer_beside(one: Placed, columns: int) -> bool:
    """Whether what is filled in for a figure stands at its right, where a line of its own would cost room."""
    return one.cell.answer is not None and columns == 1 and one.width + GAP + BESIDE <= column_width(1)


def facts_beside(block: Block) -> bool:
    """Whether the facts of a block stand behind its title: where all of that surely fits one line."""
    letters = _TITLE_LETTER * len(f"{block.letter} {block.title}") + _LETTER * len(" · ".join(block.facts))
    return bool(block.title and block.facts) and letters + _LETTER * len(block.aside) + 14 <= column_width(1)


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
