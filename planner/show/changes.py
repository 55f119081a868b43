"""What a new plan changes, on the screen: how much is kept, then what moved, came and went, and why.

A pure function from the JSON of `planner week --changes` to text. Standard library only.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from planner.inputs.dates import WEEKDAYS
from planner.show.layout import Column, Faces, cells, clean, page, side_by_side, wrap
from planner.show.words import date_in_words, day_of, pretty, spoken, without_need

KINDS = ("kept", "moved", "new", "dropped")
INDENT = "   "
SHORT = 3  # letters of a weekday
LEAST_ROOM = 24  # columns a reason needs beside its combination; else it stands below


def changes_line(counts: Mapping[str, int], causes: Sequence[str]) -> str:
    """One line for standard error: why a plan was made again, and how many turns it touches."""
    why = f" ({', '.join(causes)})" if causes else ""
    told = ", ".join(f"{counts[kind]} {kind}" for kind in KINDS)
    return f"planned again{why}: {told}; planner week --changes names them"


def changes_text(told: dict[str, Any], *, width: int = 80, colour: bool = False, plain: bool = False) -> str:
    """The changes as text; `plain` gives one fact a line, for reading aloud."""
    if plain:
        return page(spoken(fact) for fact in _aloud(told))
    return page(_screen(told, width, Faces(colour)))


def _screen(told: dict[str, Any], width: int, faces: Faces) -> Iterator[str]:
    yield from wrap(_heading(told), width)
    for kind in KINDS[1:]:
        if told[kind]:
            yield ""
            yield faces.bold(kind.capitalize())
            yield from _rows(told[kind], width, faces)


def _rows(changes: Sequence[dict[str, Any]], width: int, faces: Faces) -> Iterator[str]:
    rows = [(_days(one), clean(one["combination"]), pretty(without_need(one["reason"]))) for one in changes]
    days, names = (max(cells(row[at]) for row in rows) for at in range(2))
    room = width - len(INDENT) - days - names - 4
    for row in rows:
        if room >= LEAST_ROOM:
            columns = [Column(days), Column(names), Column(room)]
            yield from (INDENT + line for line in side_by_side(row, columns, faces))
            continue
        columns = [Column(days), Column(width - len(INDENT) - days - 2)]
        yield from (INDENT + line for line in side_by_side(row[:2], columns, faces))
        yield from (INDENT + line for line in side_by_side(("", row[2]), columns, faces))


def _days(one: dict[str, Any]) -> str:
    was, now = (_short(one[name]) for name in ("was", "now"))
    return f"{was} → {now}" if was and now else was or now


def _short(day: str | None) -> str:
    if day is None:
        return ""
    return f"{WEEKDAYS[day_of(day).weekday()][:SHORT]} {day_of(day).day}"


def _heading(told: dict[str, Any]) -> str:
    first, last = (date_in_words(told[name], year=False) for name in ("first_day", "last_day"))
    days = first if first == last else f"{first} to {last}"
    counts = {kind: len(told[kind]) for kind in KINDS}
    if not any(counts[kind] for kind in KINDS[1:]):
        return f"{days}, against the plan before: all {counts['kept']} turns stay where they were."
    numbers = ", ".join(f"{counts[kind]} {kind}" for kind in KINDS)
    return f"{days}, against the plan before: {numbers}."


def _aloud(told: dict[str, Any]) -> Iterator[str]:
    yield _heading(told)
    for kind in KINDS[1:]:
        for one in told[kind]:
            was, now = (date_in_words(one[name], year=False) if one[name] else "" for name in ("was", "now"))
            days = f"{was} to {now}" if was and now else was or now
            why = pretty(without_need(one["reason"]))
            yield f"{kind.capitalize()}: {clean(one['combination'])}, {days}: {why}"
