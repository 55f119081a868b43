"""About how high everything on a page is, in millimetres: how many sheets of paper it will take.

The printer breaks pages itself; these estimates choose the size of the staves. Distances are those of
sheet.typ, letters a little generous.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from planner.engrave.laid import (
    GAP,
    Laid,
    Line,
    Placed,
    answer_beside,
    answer_room,
    column_width,
    facts_beside,
)
from planner.engrave.sheet import Answer, Cell, Form, Row, Table

_NOTES, _NOTE, _CAUTION, _CAUTION_LINE, _SMALL_LETTERS, _SMALLEST_LETTERS = 4.0, 3.8, 5.8, 3.6, 118, 135
_TABLE_LINE, _TABLE_GAP = 4.2, 2.0
_SHORT, _LONG = 20, 60  # letters of a cell: up to so many it is never folded, beyond so many it gets no more
_FORM, _FORM_BLANK, _FORM_LETTER, _TITLE_LETTER = 5.0, 15.0, 1.65, 1.85
_EVEN: Final = 7  # the weight of columns that are equally wide
# a line of an answer, a value to circle and one of few, between choices, as sheet.typ has them
_ANSWER, _VALUE, _OF_FEW, _ANSWER_GAP, _FEW = 5.0, 6.3, 4.4, 3.5, 5
_FORMS_WIDE, _FORMS_BESIDE, _ASIDE_WIDE, _SMALL_LETTER = 145.0, 2, 105.0, 1.6  # as sheet.typ has it
_LARGE_LETTER: Final = 4.0  # mm of a letter of a page's title
_LETTERS: Final = 88  # in a line of text
_LINE_LETTERS: Final = 102  # in a line behind its lead, at 11 points
_TITLE, _FACT, _MARKS, _BLOCK, _LABEL, _LINE, _ROW, _ROW_GAP = 8.5, 5.4, 8.2, 9.5, 3.6, 4.3, 4.8, 4.2
# what is saved where the parts of a page stand close, a little less than sheet.typ takes away
_CLOSER: Final = {"marks": 2.0, "block": 1.8, "row gap": 1.6, "row": 1.3, "facts": 1.2}


def chunks(laid: Laid) -> Iterator[float]:
    """About how high everything is that stays together: a heading with what follows it, each line."""
    page = laid.page
    marks = _MARKS - laid.close * _CLOSER["marks"]
    title = _BLOCK - laid.close * _CLOSER["block"]
    titles = math.ceil(_LARGE_LETTER * len(page.title) / (column_width(1) - 2.2 * len(page.aside)))
    head = _TITLE * titles + _FACT * (bool(page.facts) + bool(page.subtitle)) + marks * len(page.marks)
    for block, rows in zip(page.blocks, laid.lines, strict=True):
        facts = bool(block.facts) and not facts_beside(block)
        head += (
            title * bool(block.title)
            + (_FACT - laid.close * _CLOSER["facts"]) * facts
            + marks * len(block.marks)
        )
        for _, words in block.lines:
            yield head + _LINE * (1 + int(len(words) * laid.text / 11 / _LINE_LETTERS))
            head = 0.0
        for high in _table_rows(block.table) if block.table else ():
            yield head + high
            head = 0.0
        for row, lines in zip(block.rows, rows, strict=True):
            head += _ROW * (_row_title_lines(row) + bool(row.remark))
            head -= laid.close * _CLOSER["row"] * bool(row.title)
            head += _FORM * max(0, _form_lines(row.forms) - 1)  # they stand beside the title
            for line in lines:
                last = row is block.rows[-1] and line is lines[-1]  # the next title is further off than that
                answer = _answer_height(row.answer, column_width(1)) if line is lines[-1] else 0.0
                yield head + _line_height(line) + answer - laid.close * _CLOSER["row gap"] * (not last)
                head = 0.0
            head += _answer_height(row.answer, column_width(1)) if not lines else 0.0
    notes = sum(1 + len(words) // _SMALL_LETTERS for words in page.notes)
    caution = _CAUTION + _CAUTION_LINE * (1 + len(page.caution) // _SMALLEST_LETTERS) if page.caution else 0.0
    yield head + _NOTES + _NOTE * notes + caution


def column_weights(table: Table) -> tuple[int, ...]:
    """How columns share the room: 0 takes what its words need, the others a part by their longest cell."""
    longest = [max(len(row[at]) for row in (table.head, *table.rows)) for at in range(len(table.head))]
    return tuple(
        _EVEN
        if table.even_from and at >= table.even_from
        else max(_SHORT, min(_LONG, letters))
        if at == table.wide or letters > _SHORT
        else 0
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


def sheets(laid: Laid, height: float) -> int:
    """How many sheets of paper a page takes."""
    count, used = 1, 0.0
    for chunk in chunks(laid):
        if used + chunk > height:
            count, used = count + 1, 0.0
        used += chunk
    return count


def _line_height(line: Line) -> float:
    column = column_width(line.columns)
    labels = int(any(one.cell.label for one in line.figures))
    labels += max(_title_lines(one.cell, column) for one in line.figures)
    labels += any(one.cell.strong for one in line.figures)
    forms = max(_forms_height(one.cell, column, line.columns) for one in line.figures)
    drawn = max(one.above + one.height for one in line.figures)
    under = max(_under(one, line.columns) for one in line.figures)
    return drawn + _LABEL * labels + forms + under + _ROW_GAP


def _under(one: Placed, columns: int) -> float:
    """What the small texts and the answer of a figure take under it, or beside it beyond its height."""
    room = answer_room(one, columns)
    texts = _LABEL * _folded(one.cell.below, room) + _answer_height(one.cell.answer, room)
    return max(0.0, texts - one.above - one.height) if answer_beside(one, columns) else texts


def _answer_height(answer: Answer | None, width: float) -> float:
    """What an answer takes in this width: parts that fit a line stay whole, longer ones break."""
    if answer is None:
        return 0.0
    lines, used = 1, 0.0
    for part in _answer_parts(answer):
        if used and used + part > width:
            lines, used = lines + 1, 0.0
        over = max(0, math.ceil(part / width) - 1)
        lines, used = lines + over, used + part - over * width + _ANSWER_GAP
    return _ANSWER * lines


def _answer_parts(answer: Answer) -> Iterator[float]:
    """About how wide each choice, the box and the name of an answer are."""
    for one in answer.choices:
        value = _OF_FEW if len(one.values) <= _FEW else _VALUE
        yield _FORM_LETTER * len(one.lead + one.after) + value * len(one.values) + _FORM_BLANK * one.blank
    yield _FORM_LETTER * (len(answer.box) + 2)
    yield _SMALL_LETTER * 0.85 * len(answer.name)


def _folded(texts: Sequence[str], width: float) -> int:
    """How many lines small texts under a figure take."""
    return sum(math.ceil(_SMALL_LETTER * len(words) / width) for words in texts)


def _row_title_lines(row: Row) -> int:
    """How many lines the title of a row takes beside the words at its right."""
    if not row.title:
        return int(bool(row.aside))
    aside = min(_SMALL_LETTER * len(row.aside), _ASIDE_WIDE)
    wide = _TITLE_LETTER * len(row.title)
    beside = math.ceil(_SMALL_LETTER * len(row.aside) / _ASIDE_WIDE)
    return max(math.ceil(wide / (column_width(1) - GAP - aside)), beside)


def _title_lines(cell: Cell, width: float) -> int:
    """How many lines a title takes."""
    return math.ceil(_TITLE_LETTER * len(cell.title) / width)


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
