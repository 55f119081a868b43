"""A sheet with every figure drawn and every size chosen: what the printers of PDF and HTML are given.

Sizes are millimetres. The staff is as large as lets a page stay one page, between 5.1 and 7.4 mm (parts are
about 7 mm: common practice, no source), and up to 9.2 mm where that puts no figure on another line. Figures
of a row share their column width and stand with their staves on one line.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import Final

from planner.engrave.sheet import Block, Cell, Form, Page, Paper, Row, Sheet, Table
from planner.engrave.svg import Engraving, engrave

# paper: width and height; the margins are those of sheet.typ
PAPERS: Final[dict[Paper, tuple[float, float]]] = {"a4": (210.0, 297.0), "us-letter": (215.9, 279.4)}
MARGIN: Final = 12.0
FOOT_AND_HEAD: Final = 28.0 + 6.0  # margins, and a little room for what is only estimated
LARGE_SIZES: Final = (9.2, 8.6, 8.0)
STAFF_SIZES: Final = (7.4, 6.9, 6.4, 6.0, 5.7, 5.4, 5.1)
TEXT_SIZES: Final = (11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0)
MOST_AIR: Final = 9.0
GAP: Final = 4.0  # between figures side by side
# Heights of what stands around the figures, a little generous.
_NOTES, _CAUTION, _SMALL_LETTERS = 4.0, 13.0, 110
_TABLE_LINE, _TABLE_GAP = 4.2, 3.4
_SHORT, _LONG = 20, 60  # letters of a cell: up to so many it is never folded, beyond so many it gets no more
_FORM, _FORM_BLANK, _FORM_LETTER, _TITLE_LETTER = 5.0, 15.0, 1.65, 1.85
_FORMS_WIDE, _FORMS_BESIDE, _ASIDE_WIDE, _SMALL_LETTER = 145.0, 2, 105.0, 1.6  # as sheet.typ has it
_LETTERS: Final = 88  # in a line of text
_TITLE, _FACT, _MARKS, _BLOCK, _LABEL, _LINE, _ROW, _ROW_GAP = 8.5, 5.4, 8.2, 9.5, 3.6, 4.6, 4.8, 4.2


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

    `text` is the size of plain text in points.
    """

    page: Page
    staff: float
    lines: tuple[tuple[tuple[Line, ...], ...], ...]
    air: float = 0.0
    text: float = 11.0


def lay_out(sheet: Sheet) -> tuple[Laid, ...]:
    """Every page of a sheet with its figures drawn."""
    width, height = PAPERS[sheet.paper]
    room = (width - 2 * MARGIN, height - FOOT_AND_HEAD)
    return tuple(_page(page, *room) for page in sheet.pages)


def _page(page: Page, width: float, height: float) -> Laid:
    """The page at the largest staff size that needs the fewest sheets of paper."""
    if not any(row.cells for block in page.blocks for row in block.rows):
        return _of_words(page, width, height)
    usual = _at(page, STAFF_SIZES[0], width)
    larger = (_at(page, staff, width) for staff in LARGE_SIZES)
    smaller = (_at(page, staff, width) for staff in STAFF_SIZES[1:])
    tried = (*(laid for laid in larger if _shape(laid) == _shape(usual)), usual)
    fewest = usual
    for laid in chain(tried, smaller):
        if _sheets(laid, height) == 1:
            return replace(laid, air=_air(laid, height))
        if _sheets(laid, height) < _sheets(fewest, height):
            fewest = laid
    return fewest


def _at(page: Page, staff: float, width: float) -> Laid:
    """The page with staves of one size."""
    return Laid(page, staff, tuple(_block(block, staff, width) for block in page.blocks))


def _shape(laid: Laid) -> list[list[str]]:
    """The drawings line by line: where a figure or a bar goes to another line, the shape is another."""
    return [[one.svg for one in line.figures] for rows in laid.lines for lines in rows for line in lines]


def _of_words(page: Page, width: float, height: float) -> Laid:
    """A page without figures at the largest text size at which it is one page, else at the usual one."""
    laid = _at(page, STAFF_SIZES[0], width)
    for points in TEXT_SIZES:
        if sum(_chunks(laid)) * points / TEXT_SIZES[0] < height:
            return replace(laid, text=points)
    return laid


def _air(laid: Laid, height: float) -> float:
    """What is left of a page, shared out under its lines of figures."""
    lines = sum(len(lines) for rows in laid.lines for lines in rows)
    return min(MOST_AIR, max(0.0, height - sum(_chunks(laid))) * 0.8 / lines) if lines else 0.0


def _block(block: Block, staff: float, width: float) -> tuple[tuple[Line, ...], ...]:
    """The lines of every row; all rows of a block have the same columns."""
    drawn = [[engrave(cell.score, width / staff) for cell in row.cells] for row in block.rows]
    widest = max((one.width * staff for row in drawn for one in row), default=width)
    most = max((row.most or len(row.cells) or 1 for row in block.rows), default=1)
    fit = max(1, int((width + GAP) // (widest + GAP)))
    columns = min(fit, most)
    return tuple(_lines(row, found, staff, columns) for row, found in zip(block.rows, drawn, strict=True))


def _lines(row: Row, drawn: Sequence[Engraving], staff: float, columns: int) -> tuple[Line, ...]:
    """The figures of a row, so many side by side."""
    pairs = list(zip(row.cells, drawn, strict=True))
    return tuple(
        _line(pairs[start : start + columns], staff, columns) for start in range(0, len(pairs), columns)
    )


def _line(pairs: Sequence[tuple[Cell, Engraving]], staff: float, columns: int) -> Line:
    """Figures side by side with their first staves at one height."""
    top = max(one.top for _, one in pairs)
    bottom = max(one.height - one.top for _, one in pairs)
    placed = (
        Placed(
            cell,
            one.svg,
            one.width * staff,
            one.height * staff,
            (top - one.top) * staff,
            (bottom - one.height + one.top) * staff,
        )
        for cell, one in pairs
    )
    return Line(tuple(placed), columns)


def _chunks(laid: Laid) -> Iterator[float]:
    """About how high everything is that stays together: a heading with what follows it, each line."""
    page = laid.page
    head = _TITLE + _FACT * (bool(page.facts) + bool(page.subtitle)) + _MARKS * len(page.marks)
    for block, rows in zip(page.blocks, laid.lines, strict=True):
        head += _BLOCK * bool(block.title) + _FACT * bool(block.facts) + _MARKS * len(block.marks)
        for _, words in block.lines:
            yield head + _LINE * (1 + len(words) // _LETTERS)
            head = 0.0
        for high in _table_rows(block.table) if block.table else ():
            yield head + high
            head = 0.0
        for row, lines in zip(block.rows, rows, strict=True):
            head += _ROW * (_row_title_lines(row) + bool(row.remark))
            head += _FORM * max(0, _form_lines(row.forms) - 1)  # they stand beside the title
            for line in lines:
                yield head + _line_height(line)
                head = 0.0
    notes = sum(1 + len(words) // _SMALL_LETTERS for words in page.notes)
    yield head + _NOTES + 4.4 * notes + _CAUTION * bool(page.caution)


def column_weights(table: Table) -> tuple[int, ...]:
    """How columns share the room: 0 takes what its words need, the others a part by their longest cell."""
    longest = [max(len(row[at]) for row in (table.head, *table.rows)) for at in range(len(table.head))]
    return tuple(
        max(_SHORT, min(_LONG, letters)) if at == table.wide or letters > _SHORT else 0
        for at, letters in enumerate(longest)
    )


def _table_rows(table: Table) -> Iterator[float]:
    """About how high the head and every row of a table are; only columns with a weight are folded."""
    rows, weights = (table.head, *table.rows), column_weights(table)
    others = sum(max(len(row[at]) for row in rows) + 2 for at, weight in enumerate(weights) if not weight)
    room = max(12, _LETTERS - others) / sum(weights)
    for row in rows:
        folded = (len(row[at]) // max(6, int(room * weight)) for at, weight in enumerate(weights) if weight)
        yield _TABLE_GAP + _TABLE_LINE * (1 + max(folded))


def _sheets(laid: Laid, height: float) -> int:
    """How many sheets of paper a page takes."""
    count, used = 1, 0.0
    for chunk in _chunks(laid):
        if used + chunk > height:
            count, used = count + 1, 0.0
        used += chunk
    return count


def _line_height(line: Line) -> float:
    column = (PAPERS["a4"][0] - 2 * MARGIN - GAP * (line.columns - 1)) / line.columns
    labels = int(any(one.cell.label for one in line.figures))
    labels += max(_title_lines(one.cell, column) for one in line.figures)
    labels += any(one.cell.strong for one in line.figures)
    labels += max(_folded(one.cell.below, column) for one in line.figures)
    forms = max(_forms_height(one.cell, column, line.columns) for one in line.figures)
    drawn = max(one.above + one.height for one in line.figures)
    return drawn + _LABEL * labels + forms + _ROW_GAP


def _folded(texts: Sequence[str], width: float) -> int:
    """How many lines small texts under a figure take."""
    return sum(math.ceil(_SMALL_LETTER * len(words) / width) for words in texts)


def _row_title_lines(row: Row) -> int:
    """How many lines the title of a row takes beside the words at its right."""
    if not row.title:
        return int(bool(row.aside))
    aside = min(_SMALL_LETTER * len(row.aside), _ASIDE_WIDE)
    wide = _TITLE_LETTER * len(row.title) + _FORM_BLANK * (row.form is not None)
    beside = math.ceil(_SMALL_LETTER * len(row.aside) / _ASIDE_WIDE)
    return max(math.ceil(wide / (PAPERS["a4"][0] - 2 * MARGIN - GAP - aside)), beside)


def _title_lines(cell: Cell, width: float) -> int:
    """How many lines a title takes with the form behind it."""
    wide = _TITLE_LETTER * len(cell.title) + _FORM_BLANK * (cell.form is not None)
    return math.ceil(wide / width) if cell.title else 0


def _forms_height(cell: Cell, width: float, columns: int) -> float:
    """What the forms of a figure take: beside its title in two columns, under it in more of them."""
    if not cell.forms:
        return 0.0
    beside = columns <= _FORMS_BESIDE
    room = width - beside * _TITLE_LETTER * max(len(cell.title), len(cell.label))
    lines = sum(math.ceil(_form_width(form) / room) for form in cell.forms)
    return max(0.0, _FORM * lines - beside * _LABEL * (bool(cell.title) + bool(cell.label)))


def _form_width(form: Form) -> float:
    return _FORM_BLANK * form.blank + _FORM_LETTER * (len(form.lead) + len(form.after))


def _form_lines(forms: Sequence[Form]) -> int:
    """How many lines the forms of a row take, side by side."""
    lines, used = 0, _FORMS_WIDE
    for form in forms:
        wide = _form_width(form) + GAP
        if used + wide > _FORMS_WIDE:
            lines, used = lines + 1, 0.0
        used += wide
    return lines
