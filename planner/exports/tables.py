"""A plan as CSV, an item a row: RFC 4180, UTF-8, one head, ISO dates, whole seconds.

A cell that a spreadsheet would take for a formula (begins with = + - @, a tab or a line end) gets an
apostrophe before it; numbers are numbers.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

COLUMNS = (
    "date",
    "id",
    "block",
    "family",
    "exercise",
    "pattern",
    "place",
    "combination",
    "articulation",
    "beat",
    "tempo",
    "tempo_goal",
    "at",
    "seconds",
    "play_seconds",
    "pause_seconds",
    "go",
    "goes",
    "rounds",
    "passes",
    "keys",
    "positions",
    "fingerings",
    "intensity",
    "load",
    "need",
    "state",
    "reasons",
)
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def plan_csv(plan: Mapping[str, Any]) -> str:
    """The rows of all days of a plan."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for day in plan["days"]:
        for item in day["items"]:
            row = item | {"date": day["date"]}
            writer.writerow([_cell(row[name]) for name in COLUMNS])
    return out.getvalue()


def _cell(value: object) -> object:
    if value is None:
        return ""
    if isinstance(value, list | tuple):
        value = "; ".join(str(one) for one in value)
    if isinstance(value, str) and value.startswith(FORMULA):
        return "'" + value
    return value
