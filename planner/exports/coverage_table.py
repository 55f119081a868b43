"""Coverage as CSV, a cell a row: RFC 4180, UTF-8, one head, ISO dates; the cells are those of the screen.

`table` says which two of exercise, key and position a row is about; the third is empty. `met`, `planned` and
`open` count combinations; a cell that cannot occur has no row.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import date
from typing import Any

from planner.exports.tables import harmless
from planner.show.coverage import CoverageTable, Covered, coverage_tables

COLUMNS = ("table", "exercise", "key", "position", "met", "planned", "open", "last_met")


def coverage_csv(plan: dict[str, Any], shelf: Sequence[Covered], today: date) -> str:
    """The rows of the three tables of a plan's week, seen from `today`."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for table in coverage_tables(plan, shelf, today):
        writer.writerows(_rows(table))
    return out.getvalue()


def _rows(table: CoverageTable) -> list[list[object]]:
    """The cells of one table in the order of the screen."""
    first, second = table.name.split(" × ")
    found = []
    for row in table.rows:
        for column in table.columns:
            if (row, column) not in table.cells:
                continue
            cell = table.cell(row, column)
            # a position's head on the screen has the valves under its number
            named = {first: row, second: column.split("\n")[0] if second == "position" else column}
            values: dict[str, object] = {"table": f"{first} by {second}", **named}
            values |= {"met": cell.met, "planned": cell.planned, "open": cell.open, "last_met": cell.last_met}
            found.append([harmless(values.get(name)) for name in COLUMNS])
    return found
