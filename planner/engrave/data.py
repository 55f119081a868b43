"""A laid-out sheet as one JSON object and its drawings: what the template of the PDF reads.

The template takes every text from here as data, so nothing a user wrote is ever read as markup.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from typing import Any, Final

from planner.engrave.heights import column_weights
from planner.engrave.laid import Laid, Line, Placed, answer_beside, answer_room, column_width, facts_beside
from planner.engrave.sheet import Answer, Block, Form, Marks, Row, Sheet, Table

LONGEST_WORD: Final = 27  # letters that any line of the page holds in its largest letters
_LETTER: Final = 2.6  # mm of an ordinary letter of a bold label, a little generous
_SMALL_LETTER: Final = 1.5  # mm of a letter of a name as it is typed, the same
_PART: Final = re.compile(r".{6}(?=.)")


class Drawings:
    """The drawings of a sheet by their names; the same drawing is kept once."""

    def __init__(self) -> None:
        self.files: dict[str, str] = {}
        self._names: dict[str, str] = {}

    def name(self, svg: str) -> str:
        """The name of a drawing's file."""
        if svg not in self._names:
            self._names[svg] = f"figure-{len(self._names) + 1}.svg"
            self.files[self._names[svg]] = svg
        return self._names[svg]


def sheet_data(sheet: Sheet, pages: Sequence[Laid]) -> tuple[str, dict[str, str]]:
    """The JSON text of a sheet, and its drawings by file name."""
    drawings = Drawings()
    found = {
        "title": sheet.title,
        "paper": sheet.paper,
        "pages": [_page(laid, drawings) for laid in pages],
    }
    return json.dumps(_soft(found, LONGEST_WORD), ensure_ascii=False), drawings.files


def _soft(found: Any, longest: int) -> Any:
    """The same with places to break in words of more letters than a line could hold."""
    if isinstance(found, str):
        long_word = rf"[^\s\u00a0\u200b-]{{{longest + 1},}}"
        return re.sub(long_word, lambda word: _PART.sub("\\g<0>\u200b", word[0]), found)
    if isinstance(found, list):
        return [_soft(one, longest) for one in found]
    if isinstance(found, dict):
        return {name: _soft(one, longest) for name, one in found.items()}
    return found


def _page(laid: Laid, drawings: Drawings) -> dict[str, Any]:
    page = laid.page
    return {
        "title": page.title,
        "subtitle": page.subtitle,
        "aside": page.aside,
        "air": round(laid.air, 2),
        "gap": 0.5 if laid.close else 1,
        "text": laid.text,
        "facts": list(page.facts),
        "marks": [_marks(one) for one in page.marks],
        "blocks": [
            _block(block, rows, drawings) for block, rows in zip(page.blocks, laid.lines, strict=True)
        ],
        "notes": list(page.notes),
        "caution": page.caution,
        "name": page.name or " · ".join(part for part in (page.title, page.subtitle) if part),
    }


def _marks(marks: Marks) -> dict[str, Any]:
    return {"sign": marks.sign, "values": list(marks.values), "today": marks.today, "goal": marks.goal}


def _block(block: Block, rows: Sequence[Sequence[Line]], drawings: Drawings) -> dict[str, Any]:
    return {
        "letter": block.letter,
        "title": block.title,
        "aside": block.aside,
        "facts": list(block.facts),
        "facts-beside": facts_beside(block),
        "marks": [_marks(one) for one in block.marks],
        "lines": [list(line) for line in block.lines],
        "rows": [_row(row, lines, drawings) for row, lines in zip(block.rows, rows, strict=True)],
        "table": _table(block.table),
    }


def _row(row: Row, lines: Sequence[Line], drawings: Drawings) -> dict[str, Any]:
    return {
        "title": row.title,
        "aside": row.aside,
        "remark": row.remark,
        "answer": _answer(row.answer, column_width(1)),
        "forms": [_form(one) for one in row.forms],
        "lines": [
            {
                "columns": line.columns,
                "figures": [_figure(one, line.columns, drawings) for one in line.figures],
            }
            for line in lines
        ],
    }


def _figure(one: Placed, columns: int, drawings: Drawings) -> dict[str, Any]:
    """A figure; words that are longer than its column is wide may be broken."""
    words = {
        "title": one.cell.title,
        "label": one.cell.label,
        "strong": one.cell.strong,
        "below": list(one.cell.below),
    }
    return {
        "svg": drawings.name(one.svg),
        "width": round(one.width, 3),
        "height": round(one.height, 3),
        "above": round(one.above, 3),
        "under": round(one.under, 3),
        **_soft(words, min(LONGEST_WORD, int(column_width(columns) / _LETTER))),
        "answer": _answer(one.cell.answer, answer_room(one, columns)),
        "beside": answer_beside(one, columns),
        "forms": [_form(form) for form in one.cell.forms],
        "alt": one.cell.spoken or one.cell.label or "notes",
    }


def _form(form: Form) -> dict[str, Any]:
    return {"lead": form.lead, "after": form.after, "blank": form.blank}


def _answer(answer: Answer | None, room: float) -> dict[str, Any] | None:
    """An answer; its name is kept whole where it fits into the room."""
    if answer is None:
        return None
    choices = [
        {
            "lead": one.lead,
            "values": list(one.values),
            "after": one.after,
            "strong": one.strong,
            "blank": one.blank,
        }
        for one in answer.choices
    ]
    whole = _SMALL_LETTER * len(answer.name) <= room
    return {"choices": choices, "box": answer.box, "name": answer.name, "whole": whole}


def _table(table: Table | None) -> dict[str, Any] | None:
    if table is None:
        return None
    weights = list(column_weights(table))
    return {"head": list(table.head), "rows": [list(row) for row in table.rows], "weights": weights}
