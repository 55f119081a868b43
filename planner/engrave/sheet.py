"""A sheet for the stand as data: pages, blocks, rows of figures, metronome marks to circle, tables.

What stands on a sheet is decided in `show/`; `layout.py` gives everything its size, `pdf.py` and `html.py`
print it. Texts are plain texts, whatever a user wrote into them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from planner.engrave.score import Score

Paper = Literal["a4", "us-letter"]


@dataclass(frozen=True, slots=True)
class Form:
    """What is filled in by hand: words, a blank to write on, words behind it (to circle, or a unit)."""

    lead: str = ""
    after: str = ""
    blank: bool = True


@dataclass(frozen=True, slots=True)
class Choice:
    """Values to circle, one of them strong, words before and behind; `blank`: also a line to write on."""

    values: tuple[str, ...]
    lead: str = ""
    after: str = ""
    strong: str = ""
    blank: bool = False


@dataclass(frozen=True, slots=True)
class Answer:
    """What is filled in by hand for one item: values to circle, a box to cross, its name as it is typed."""

    choices: tuple[Choice, ...]
    box: str = ""
    name: str = ""


@dataclass(frozen=True, slots=True)
class Cell:
    """One engraved figure: a title and a label over it, a strong line and others under it.

    `spoken` is its notes in words for those who listen. `answer` and `forms` stand at the foot, the answer
    beside the figure where there is room.
    """

    score: Score
    label: str = ""
    spoken: str = ""
    title: str = ""
    strong: str = ""
    below: tuple[str, ...] = ()
    answer: Answer | None = None
    forms: tuple[Form, ...] = ()


@dataclass(frozen=True, slots=True)
class Row:
    """Figures that belong together, as a cycle of positions; `aside` stands at the right of its title.

    `most` figures stand side by side at the most, 0 as many as fit. `forms` stand at the right of the title,
    `answer` under the figures.
    """

    cells: tuple[Cell, ...]
    title: str = ""
    aside: str = ""
    remark: str = ""
    most: int = 0
    answer: Answer | None = None
    forms: tuple[Form, ...] = ()


@dataclass(frozen=True, slots=True)
class Marks:
    """Metronome marks to circle: the beat's sign, the marks, today's among them and the goal (0: none)."""

    sign: str
    values: tuple[int, ...]
    today: int = 0
    goal: int = 0


@dataclass(frozen=True, slots=True)
class Table:
    """A table, all texts: the first column names the row, the column `wide` gets the room that is left.

    From the column `even_from` on all are equally wide (0: none).
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    wide: int = 0
    even_from: int = 0


@dataclass(frozen=True, slots=True)
class Block:
    """A part of a page: a letter and a title, facts below them, figures or lines or a table."""

    title: str = ""
    letter: str = ""
    aside: str = ""
    facts: tuple[str, ...] = ()
    marks: tuple[Marks, ...] = ()
    lines: tuple[tuple[str, str], ...] = ()
    rows: tuple[Row, ...] = ()
    table: Table | None = None


@dataclass(frozen=True, slots=True)
class Page:
    """One page, or as many as it takes: title, whom or what it is for, what is said at its foot."""

    title: str
    subtitle: str = ""
    aside: str = ""
    facts: tuple[str, ...] = ()
    marks: tuple[Marks, ...] = ()
    blocks: tuple[Block, ...] = ()
    notes: tuple[str, ...] = ()
    caution: str = ""
    name: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """All pages of one file."""

    title: str
    pages: tuple[Page, ...]
    paper: Paper = "a4"
