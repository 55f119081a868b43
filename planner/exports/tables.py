"""A plan as CSV, an item a row: RFC 4180, UTF-8, one head, ISO dates, whole seconds.

A cell that a spreadsheet would take for a formula (it begins as `FORMULA` says) gets an apostrophe before it;
numbers are numbers.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

from planner.diary.text import FORMULA

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
    """A cell; several values in one stand one after the other."""
    return harmless("; ".join(str(one) for one in value) if isinstance(value, list | tuple) else value)


def harmless(value: object) -> object:
    """A cell that no spreadsheet takes for a formula; empty for null, yes or no for true and false."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str) and value.startswith(FORMULA):
        return f"'{value}"
    return value
