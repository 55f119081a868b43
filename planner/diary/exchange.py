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
from datetime import date
from pathlib import Path
from typing import Any

from planner.diary.cells import BEGINS, ORDINAL, SURPLUS, Cells, date_of
from planner.diary.files import reason
from planner.diary.pins import Pin
from planner.diary.rating import Rating
from planner.diary.rows import order
from planner.diary.text import guarded, shown, stripped, unguarded
from planner.errors import BadData, Fault, NoInput

FORMAT = "planner.diary/1"
COLUMNS = ("day", "combination", "articulation", "tempo", "clean", "grade", "value", "limited", "at")
NEEDED = ("day", "combination", "articulation")
MOST_BYTES = 32 * 1024 * 1024
"""Thirty pupils and ten years are about 20 MB."""

_GAP = re.compile(r"[\s,]*")
_RATINGS = re.compile(r'"ratings"\s*:\s*\[')
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
    return decoded(raw, str(path))


def decoded(raw: bytes, file: str) -> str:
    """The text of these bytes without a mark of their order; `BadData` where they are not UTF-8."""
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as trouble:
        line = raw.count(b"\n", 0, trouble.start) + 1
        raise BadData((Fault(file, line, 0, "this is no UTF-8 text", "save the file as UTF-8"),)) from trouble


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
        row = Cells(cells, monday)
        rating = row.rating()
        if rating is not None and judge is not None:
            for name, words, hint in judge(rating, cells):
                row.fault(name, words, hint)
        for name, words, hint in row.faults:
            column = _column(lines, line, cells, name) or int(cells.get(BEGINS, 0))
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


def monday_in(text: str, file: str) -> date | None:
    """The Monday that a JSON export names, None for any other text; `BadData` where it is no Monday."""
    content = json.loads(text) if text.lstrip()[:1] == "{" else {}
    monday = content.get("monday")
    if monday is None:
        return None
    try:
        found = date_of(str(monday))
    except ValueError:
        found = None
    if found is None or found.weekday():
        raise BadData((Fault(file, 0, 0, f"the monday {shown(monday)!r} is no Monday", "like 2026-09-07"),))
    return found


def pins_in(text: str, file: str) -> tuple[Pin, ...]:
    """The pins that a JSON export of this program holds; () for any other text. `BadData` for a wrong one."""
    content = json.loads(text) if text.lstrip()[:1] == "{" else {}
    found: list[Pin] = []
    faults: list[Fault] = []
    entries = content.get("pins", [])
    for number, entry in enumerate(entries if isinstance(entries, list) else [None], 1):
        try:
            found.append(Pin(date_of(str(entry["date"])), stripped(str(entry["combination"]))))
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
                    cells[SURPLUS] = str(len(row))
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
        place = {ORDINAL: str(number), BEGINS: str(column)}
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
