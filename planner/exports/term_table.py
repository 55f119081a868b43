"""A term as comma-separated values: one line for every turn, as RFC 4180 has it."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

from planner.exports.tables import harmless

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
