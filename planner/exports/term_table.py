"""A term as comma-separated values: one line for every turn, as RFC 4180 has it."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

COLUMNS = (
    "week",
    "iso_week",
    "date",
    "exercise",
    "pattern",
    "place",
    "combination",
    "articulation",
    "state",
    "promised",
    "beat",
    "tempo",
    "target",
    "goes",
    "seconds",
    "load",
)
SPREADSHEET_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def term_csv(term: Mapping[str, Any]) -> str:
    """Every turn of the term, in the order of its days; lines end in CR LF."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for week in term["weeks"]:
        for day in week["days"]:
            for item in day["items"]:
                exercise, pattern, place = item["combination"].split("/")[:3]
                own = {"week": week["week"], "iso_week": week["iso_week"], "date": day["date"]}
                parts = {"exercise": exercise, "pattern": pattern, "place": place}
                cells = own | parts | dict(item)
                writer.writerow([harmless(cells[name]) for name in COLUMNS])
    return out.getvalue()


def harmless(value: object) -> object:
    """A cell that no spreadsheet takes for a formula; empty for null, yes or no for true and false."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str) and value.startswith(SPREADSHEET_FORMULA):
        return f"'{value}"
    return value
