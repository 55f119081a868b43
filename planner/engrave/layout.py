"""A sheet with every figure drawn and every size chosen: what the printers of PDF and HTML are given.

Sizes are millimetres. The staff is as large as lets a page stay one page, between 5.1 and 7.4 mm (parts are
about 7 mm: common practice, no source), and up to 9.2 mm where that puts no figure on another line. Where the
parts of a page standing close saves a sheet of paper, they do; where a page has room, notes stand further
apart. Figures of a row share their column width and stand with their staves on one line.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from planner.engrave.heights import chunks, sheets
from planner.engrave.laid import GAP, MARGIN, PAPERS, Laid, Line, Placed
from planner.engrave.score import Score
from planner.engrave.sheet import Block, Cell, Page, Row, Sheet
from planner.engrave.svg import Engraving, engrave

FOOT_AND_HEAD: Final = 28.0 + 6.0  # margins, and a little room for what is only estimated
LARGE_SIZES: Final = (9.2, 8.6, 8.0)
STAFF_SIZES: Final = (7.4, 6.9, 6.4, 6.0, 5.7, 5.4, 5.1)
SMALLEST_CLOSE: Final = 5.1  # parts stand close only while the staff can be read from a metre away
SHORT_CYCLE, WHOLE_CYCLES = 4, 6.0  # so many figures of a cycle stay on one line from this staff on
TEXT_SIZES: Final = (11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5)
# pages of words alone, in mm, measured on weeks of eight players: how much further words stand under a title
# than figures, what has one size whatever the text has, what of the room is not kept free
UNDER_A_TITLE, DOES_NOT_GROW, WORDS_KEPT_FREE = 2.6, 42.0, 4.0
_UNEVEN: Final = 1.3  # the widest of several bars against their mean
MOST_AIR: Final = 9.0


def lay_out(sheet: Sheet) -> tuple[Laid, ...]:
    """Every page of a sheet with its figures drawn."""
    width, height = PAPERS[sheet.paper]
    room = (width - 2 * MARGIN, height - FOOT_AND_HEAD)
    return tuple(_page(page, *room) for page in sheet.pages)


def _page(page: Page, width: float, height: float) -> Laid:
    """The page at the largest staff size that needs the fewest sheets of paper."""
    if not any(row.cells for block in page.blocks for row in block.rows):
        return _of_words(page, width, height)
    found = _fewest(_tried(page, width, height), height)
    if sheets(found, height) == 1:
        found = _with_room(found, width, height)
        return replace(found, air=_air(found, height))
    sizes = (staff for staff in STAFF_SIZES if staff >= SMALLEST_CLOSE)
    close = _fewest((replace(_at(page, staff, width), close=True) for staff in sizes), height)
    if sheets(close, height) == 1:
        return _with_room(close, width, height)
    return close if sheets(close, height) < sheets(found, height) else found


def _with_room(laid: Laid, width: float, height: float) -> Laid:
    """The page with the notes of its figures further apart, where every figure keeps its place on it."""
    if not all(score.show_meter for score in _scores(laid.page)):  # a chart's notes stand in columns already
        return laid
    roomy = replace(_at(laid.page, laid.staff, width, roomy=True), close=laid.close)
    whole = all(engrave(score, roomy=True).width * laid.staff <= width for score in _scores(laid.page))
    return roomy if whole and _places(roomy) == _places(laid) and sheets(roomy, height) == 1 else laid


def _scores(page: Page) -> list[Score]:
    return [cell.score for block in page.blocks for row in block.rows for cell in row.cells]


def _places(laid: Laid) -> list[tuple[int, int]]:
    """How many figures and columns each line has."""
    lines = (line for rows in laid.lines for found in rows for line in found)
    return [(len(line.figures), line.columns) for line in lines]


def _tried(page: Page, width: float, height: float) -> Iterator[Laid]:
    """The page at every size from the largest: beyond the usual one only where all is as before and fits.

    A size at which a bar would be pressed together is left out, if it is not the smallest.
    """
    scores = _scores(page)
    wide = max(engrave(score).width for score in scores)
    bar = max(engrave(score).width / len(score.bars) * _UNEVEN ** (len(score.bars) > 1) for score in scores)
    sizes = [staff for staff in STAFF_SIZES if bar * staff <= width] or [STAFF_SIZES[-1]]
    usual = _at(page, sizes[0], width)
    for staff in LARGE_SIZES:
        if wide * staff <= width:
            laid = _at(page, staff, width)
            if _shape(laid) == _shape(usual) and sheets(laid, height) == 1:
                yield laid
    yield usual
    for staff in sizes[1:]:
        yield _at(page, staff, width)


def _fewest(tried: Iterator[Laid], height: float) -> Laid:
    """The first that is one sheet of paper, else of those with the fewest the first that tears no cycle."""
    found: list[Laid] = []
    for laid in tried:
        if sheets(laid, height) == 1:
            return laid
        found.append(laid)
    least = min(sheets(laid, height) for laid in found)
    few = [laid for laid in found if sheets(laid, height) == least]
    return next((laid for laid in few if laid.staff >= WHOLE_CYCLES and not _torn(laid)), few[0])


def _torn(laid: Laid) -> bool:
    """Whether a cycle of a few positions goes on in a second line."""
    pairs = zip(laid.page.blocks, laid.lines, strict=True)
    rows = [pair for block, found in pairs for pair in zip(block.rows, found, strict=True)]
    return any(row.title and 1 < len(row.cells) <= SHORT_CYCLE and len(lines) > 1 for row, lines in rows)


def _at(page: Page, staff: float, width: float, *, roomy: bool = False) -> Laid:
    """The page with staves of one size."""
    return Laid(page, staff, tuple(_block(block, staff, width, roomy=roomy) for block in page.blocks))


def _shape(laid: Laid) -> list[list[str]]:
    """The drawings line by line: where a figure or a bar goes to another line, the shape is another."""
    return [[one.svg for one in line.figures] for rows in laid.lines for lines in rows for line in lines]


def _of_words(page: Page, width: float, height: float) -> Laid:
    """A page without figures at the largest text size at which it is one page, else at the usual one."""
    usual = _at(page, STAFF_SIZES[0], width)
    titles = sum(bool(block.title) for block in page.blocks)
    for points in TEXT_SIZES:
        laid = replace(usual, text=points)
        grows = sum(chunks(laid)) + UNDER_A_TITLE * titles - DOES_NOT_GROW
        if DOES_NOT_GROW + grows * points / TEXT_SIZES[0] < height + WORDS_KEPT_FREE:
            return laid
    return usual


def _air(laid: Laid, height: float) -> float:
    """What is left of a page, shared out under its lines of figures."""
    lines = sum(len(lines) for rows in laid.lines for lines in rows)
    return min(MOST_AIR, max(0.0, height - sum(chunks(laid))) * 0.8 / lines) if lines else 0.0


def _block(block: Block, staff: float, width: float, *, roomy: bool) -> tuple[tuple[Line, ...], ...]:
    """The lines of every row; all rows of a block have the same columns."""
    drawn = [[engrave(cell.score, width / staff, roomy=roomy) for cell in row.cells] for row in block.rows]
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
