"""One row of ratings from a file: every cell read and held against what it may be.

A cell is the text of a CSV file, or what a JSON value is as one. Standard library only.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TypeVar

from planner.diary.rating import Rating
from planner.diary.rows import GRADES, HIGHEST_VALUE, TEMPOS, checked
from planner.diary.text import shown, stripped

DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
SURPLUS, ORDINAL, BEGINS = "\0surplus", "\0ordinal", "\0begins"
"""Names that no heading can have, for what a row carries beside its cells: how many cells it has where they
are more than the headings, which rating of a JSON list it is, and at which column it begins."""

_WHOLE = re.compile(r"[+-]?\d{1,9}", re.ASCII)
_NUMBER = re.compile(r"[+-]?\d{1,9}(\.\d{1,25})?(e[+-]?\d{1,3})?", re.ASCII | re.IGNORECASE)
_WORDS = {"yes": True, "no": False, "true": True, "false": False, "1": True, "0": False, "": False}
_T = TypeVar("_T")


@dataclass(slots=True)
class Cells:
    """One row of a file: reads its cells and gathers what is wrong with them."""

    cells: Mapping[str, str]
    monday: date | None
    faults: list[tuple[str, str, str]] = field(default_factory=list)
    """The column's name ("" for the row), what is wrong in it, and a hint."""

    def rating(self) -> Rating | None:
        """The rating of the row, None where there are faults."""
        day = self._read("day", self._day)
        text = {name: stripped(self.cells.get(name, "")) for name in ("combination", "articulation")}
        tempo, clean = (self._read(name, _whole_in(TEMPOS)) for name in ("tempo", "clean"))
        grade = self._read("grade", _whole_in(GRADES))
        value = self._read("value", _value)
        limited = self._read("limited", _yes_or_no)
        at = self._read("at", _whole_in(range(2**31)))
        if SURPLUS in self.cells:
            self.fault("", f"{self.cells[SURPLUS]} cells stand in this line, more than columns are named")
        if self.faults or day is None:
            return None
        try:
            return checked(Rating(day, **text, tempo=tempo, clean=clean, grade=grade, value=value,
                                  limited=bool(limited), at=at or 0))  # fmt: skip
        except ValueError as trouble:
            self.fault("", str(trouble))
            return None

    def _read(self, name: str, read: Callable[[str], _T]) -> _T | None:
        cell = self.cells.get(name, "").strip()
        if not cell and name != "day":
            return None
        try:
            return read(cell)
        except ValueError as trouble:
            self.fault(name, f"the {name} {shown(cell)!r} {trouble}")
            return None

    def fault(self, name: str, words: str, hint: str = "") -> None:
        """Gathers a fault."""
        number = self.cells.get(ORDINAL)
        self.faults.append((name, f"rating {number}: {words}" if number else words, hint))

    def _day(self, cell: str) -> date:
        if DATE.fullmatch(cell):
            return date_of(cell)
        if self.monday is not None and _WHOLE.fullmatch(cell):
            return _days_from(self.monday, int(cell))
        form = "2026-09-07" if self.monday is None else "2026-09-07 or -12 (days before this Monday)"
        raise ValueError(f"is no date: write {form}")


def date_of(cell: str) -> date:
    """The date of an ISO text; ValueError where the calendar has none."""
    try:
        return date.fromisoformat(cell)
    except ValueError:
        raise ValueError("is not in the calendar") from None


def _days_from(monday: date, days: int) -> date:
    try:
        return monday + timedelta(days=days)
    except OverflowError:
        raise ValueError("is not in the calendar") from None


def _whole_in(allowed: range) -> Callable[[str], int]:
    def read(cell: str) -> int:
        if not _WHOLE.fullmatch(cell) or int(cell) not in allowed:
            raise ValueError(f"is not a whole number from {allowed[0]} to {allowed[-1]}")
        return int(cell)

    return read


def _value(cell: str) -> float:
    if not _NUMBER.fullmatch(cell) or not 0 <= float(cell) <= HIGHEST_VALUE:
        raise ValueError(f"is not a number from 0 to {HIGHEST_VALUE:g}")
    return float(cell)


def _yes_or_no(cell: str) -> bool:
    if cell.lower() not in _WORDS:
        raise ValueError("is not yes or no")
    return _WORDS[cell.lower()]
