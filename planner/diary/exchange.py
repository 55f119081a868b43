"""Ratings out of the diary and back in: CSV for spreadsheets, JSON for programs. What comes back is the same.

CSV: one heading line, the columns of `COLUMNS`; `day`, `combination` and `articulation` must be there,
the others may be missing or empty, further ones are passed over. Text cells that a spreadsheet would
run as a formula carry an apostrophe, which reading takes off again; numbers stay as they are.
A file is read whole or not at all: `BadData` names every fault with its line. Standard library only.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import Any, TypeVar

from planner.diary.files import reason
from planner.diary.pins import Pin
from planner.diary.rating import Rating
from planner.diary.rows import GRADES, HIGHEST_VALUE, TEMPOS, checked, order
from planner.diary.text import guarded, shown, stripped, unguarded
from planner.errors import BadData, Fault, NoInput

FORMAT = "planner.diary/1"
COLUMNS = ("day", "combination", "articulation", "tempo", "clean", "grade", "value", "limited", "at")
NEEDED = ("day", "combination", "articulation")
MOST_BYTES = 32 * 1024 * 1024
"""Thirty pupils and ten years are about 20 MB."""

_DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_WHOLE = re.compile(r"[+-]?\d{1,9}", re.ASCII)
_NUMBER = re.compile(r"[+-]?\d{1,9}(\.\d{1,25})?(e[+-]?\d{1,3})?", re.ASCII | re.IGNORECASE)
_WORDS = {"yes": True, "no": False, "true": True, "false": False, "1": True, "0": False, "": False}
# Names that no heading can have, for what a row carries beside its cells: how many cells it has where
# they are more than the headings, which rating of a JSON list it is, and at which column it begins.
_SURPLUS, _ORDINAL, _BEGINS = "\0surplus", "\0ordinal", "\0begins"
_GAP = re.compile(r"[\s,]*")
_RATINGS = re.compile(r'"ratings"\s*:\s*\[')
_T = TypeVar("_T")
Judge = Callable[[Rating, Mapping[str, str]], Iterable[tuple[str, str, str]]]
"""What is wrong with a rating and its cells: names of columns, words and hints."""


def to_csv(ratings: Iterable[Rating]) -> str:
    """The ratings as CSV text with a heading line, sorted by day."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for rating in sorted(ratings, key=order):
        cells = _plain(rating)
        for name in ("combination", "articulation"):
            cells[name] = guarded(cells[name])
        cells["limited"] = "yes" if rating.limited else "no"
        writer.writerow("" if cells[name] is None else cells[name] for name in COLUMNS)
    return out.getvalue()


def to_json(
    player_id: str, ratings: Iterable[Rating], monday: date | None = None, pins: Iterable[Pin] = ()
) -> str:
    """The ratings as JSON text: format, player, the pins that stand, and one object a rating.

    `monday`, where given, is the Monday from which the player's relative dates count.
    """
    rows = [_plain(rating) for rating in sorted(ratings, key=order)]
    pinned = {"pins": [pin.to_json() for pin in pins]}
    content = {"format": FORMAT, "player": player_id, "monday": monday and str(monday)}
    content |= (pinned if pinned["pins"] else {}) | {"ratings": rows}
    return json.dumps(content, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def read_file(path: Path) -> str:
    """The text of a file to import; `NoInput` where it cannot be opened, `BadData` where it is not UTF-8."""
    try:
        if not path.is_file():
            raise NoInput(f"there is no file {path}")
        raw = path.read_bytes() if path.stat().st_size <= MOST_BYTES else None
    except OSError as trouble:
        raise NoInput(f"{path} cannot be read: {reason(trouble)}") from trouble
    if raw is None:
        raise BadData((Fault(str(path), 0, 0, f"the file is larger than {MOST_BYTES // 1024**2} MB"),))
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as trouble:
        line = raw.count(b"\n", 0, trouble.start) + 1
        raise BadData(
            (Fault(str(path), line, 0, "this is no UTF-8 text", "save the file as UTF-8"),)
        ) from trouble


def from_text(
    text: str, file: str, *, monday: date | None = None, judge: Judge | None = None
) -> tuple[Rating, ...]:
    """The ratings of a CSV or JSON text, whichever it is, in the order of the text.

    `monday`: where given, a day may be a whole number of days before it (-12) and counts from it.
    `judge` says what is wrong with a rating that is possible by itself. Raises `BadData` with every fault.
    """
    read = _from_json if text.lstrip()[:1] in ("{", "[") else _from_csv
    faults: list[Fault] = []
    ratings: list[Rating] = []
    lines = text.splitlines()
    for line, cells in read(text, file):
        row = _Cells(cells, monday)
        rating = row.rating()
        if rating is not None and judge is not None:
            for name, words, hint in judge(rating, cells):
                row.fault(name, words, hint)
        for name, words, hint in row.faults:
            column = _column(lines, line, cells, name) or int(cells.get(_BEGINS, 0))
            faults.append(Fault(file, line, column, words, hint))
        if rating is not None:
            ratings.append(rating)
    if faults:
        raise BadData(tuple(faults))
    return tuple(ratings)


def _column(lines: Sequence[str], line: int, cells: Mapping[str, str], name: str) -> int:
    """The column from 1 at which a cell begins; 0 where that is not known (quoted cells, JSON, a row)."""
    text = lines[line - 1] if 0 < line <= len(lines) else ""
    if not text or '"' in text or name not in cells:
        return 0
    return 1 + sum(len(cell) + 1 for cell in text.split(",")[: list(cells).index(name)])


def is_whole_diary(text: str) -> bool:
    """Whether a text is an export of this program, which holds all a player's ratings, earlier ones too."""
    return text.lstrip()[:1] == "{" or text.splitlines()[:1] == [",".join(COLUMNS)]


def monday_in(text: str) -> date | None:
    """The Monday that a JSON export of this program names; None for any other text."""
    content = json.loads(text) if text.lstrip()[:1] == "{" else {}
    monday = content.get("monday")
    return _date(monday) if isinstance(monday, str) and _DATE.fullmatch(monday) else None


def pins_in(text: str, file: str) -> tuple[Pin, ...]:
    """The pins that a JSON export of this program holds; () for any other text. `BadData` for a wrong one."""
    content = json.loads(text) if text.lstrip()[:1] == "{" else {}
    found: list[Pin] = []
    faults: list[Fault] = []
    entries = content.get("pins", [])
    for number, entry in enumerate(entries if isinstance(entries, list) else [None], 1):
        try:
            found.append(Pin(_date(str(entry["date"])), stripped(str(entry["combination"]))))
        except (KeyError, TypeError, ValueError):
            hint = 'like {"date": "2026-09-07", "combination": "scales/a/d-major"}'
            faults.append(Fault(file, 0, 0, f"pin {number} is no pin", hint))
    if faults:
        raise BadData(tuple(faults))
    return tuple(found)


def _plain(rating: Rating) -> dict[str, Any]:
    """A rating as JSON values under the names of `COLUMNS`."""
    return {
        "day": rating.day.isoformat(),
        "combination": rating.combination,
        "articulation": rating.articulation,
        "tempo": rating.tempo,
        "clean": rating.clean,
        "grade": rating.grade,
        "value": rating.value,
        "limited": rating.limited,
        "at": rating.at,
    }


def _from_csv(text: str, file: str) -> Iterator[tuple[int, Mapping[str, str]]]:
    """Line and cells of every row that is not empty."""
    reader = csv.reader(io.StringIO(text, newline=""))
    try:
        heading = [stripped(name).lower() for name in next(reader, [])]
        _check_heading(heading, file)
        for row in reader:
            if any(cell.strip() for cell in row):
                cells = dict(zip(heading, row, strict=False))
                if len(row) > len(heading):
                    cells[_SURPLUS] = str(len(row))
                yield reader.line_num, {name: unguarded(cell) for name, cell in cells.items()}
    except csv.Error as trouble:
        raise BadData((Fault(file, reader.line_num, 0, f"this is no CSV: {trouble}"),)) from trouble


def _check_heading(heading: list[str], file: str) -> None:
    missing = [name for name in NEEDED if name not in heading]
    if missing:
        hint = f"the first line names the columns, separated by commas: {','.join(COLUMNS)}"
        raise BadData((Fault(file, 1, 0, f"the column {missing[0]} is missing", hint),))
    twice = [name for name in COLUMNS if heading.count(name) > 1]
    if twice:
        raise BadData((Fault(file, 1, 0, f"the column {twice[0]} stands twice"),))


def _from_json(text: str, file: str) -> Iterator[tuple[int, Mapping[str, str]]]:
    """Number and cells of every rating; a JSON value as the text a CSV cell would hold."""
    try:
        content = json.loads(text, parse_constant=lambda word: word)
    except json.JSONDecodeError as trouble:
        raise BadData(
            (Fault(file, trouble.lineno, trouble.colno, f"this is no JSON: {trouble.msg}"),)
        ) from trouble
    except (RecursionError, ValueError) as trouble:
        raise BadData((Fault(file, 0, 0, "this is no JSON that can be read"),)) from trouble
    found = content.get("format") if isinstance(content, dict) else None
    rows = content.get("ratings") if isinstance(content, dict) else None
    if found != FORMAT or not isinstance(rows, list):
        raise BadData((Fault(file, 0, 0, f"the format is not {FORMAT} but {shown(found)}"),))
    begins = _begins(text)
    for number, row in enumerate(rows, 1):
        if not isinstance(row, dict):
            raise BadData((Fault(file, *next(begins, (0, 0)), f"rating {number} is not an object"),))
        line, column = next(begins, (0, 0))
        place = {_ORDINAL: str(number), _BEGINS: str(column)}
        yield line, {str(name): _cell(value) for name, value in row.items()} | place


def _begins(text: str) -> Iterator[tuple[int, int]]:
    """Line and column of every rating of a JSON text that can be read."""
    found = _RATINGS.search(text)
    at = found.end() if found else len(text)
    line, counted = 1, 0
    while (here := _GAP.match(text, at)) and text[here.end() : here.end() + 1] not in ("]", ""):
        line += text.count("\n", counted, here.end())
        counted = here.end()
        yield line, counted - text.rfind("\n", 0, counted)
        _, at = json.JSONDecoder().raw_decode(text, counted)


def _cell(value: object) -> str:
    if value is None:
        return ""
    return ("yes" if value else "no") if isinstance(value, bool) else str(value)


@dataclass(slots=True)
class _Cells:
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
        if _SURPLUS in self.cells:
            self.fault("", f"{self.cells[_SURPLUS]} cells stand in this line, more than columns are named")
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
        number = self.cells.get(_ORDINAL)
        self.faults.append((name, f"rating {number}: {words}" if number else words, hint))

    def _day(self, cell: str) -> date:
        if _DATE.fullmatch(cell):
            return _date(cell)
        if self.monday is not None and _WHOLE.fullmatch(cell):
            return _days_from(self.monday, int(cell))
        form = "2026-09-07" if self.monday is None else "2026-09-07 or -12 (days before this Monday)"
        raise ValueError(f"is no date: write {form}")


def _date(cell: str) -> date:
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
