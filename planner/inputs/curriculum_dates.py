"""The dates of a curriculum file: holidays, half weeks, concerts and assessments, by its own weeks."""

from __future__ import annotations

from planner.inputs.curriculum import TermDate
from planner.inputs.findings import Found, tables_of
from planner.inputs.schema import WEEKDAYS, TermDateTable
from planner.inputs.tables import sound_part

MOST_DATES = 200
USUAL_DAYS = {"holiday": WEEKDAYS, "half week": WEEKDAYS[3:]}
"""A holiday takes the whole week, a half week what comes after Wednesday, where no days are named."""


def term_dates(value: object, weeks: int | None, found: Found) -> tuple[TermDate, ...]:
    """[[date]] tables, in the order of the file; `weeks` is how many the curriculum has."""
    tables = tables_of("date", value, found, MOST_DATES)
    return tuple(_date(table, weeks, found.under(place)) for place, table in enumerate(tables))


def _date(table: object, weeks: int | None, found: Found) -> TermDate:
    record = sound_part(TermDateTable, table, found)
    if record.week is not None and weeks is not None and record.week > weeks:
        found.add(("week",), f"week {record.week} lies outside the curriculum's {weeks} weeks")
    if record.kind in ("concert", "assessment"):
        _check_one_day(record, found)
    days = record.days if record.days is not None else USUAL_DAYS.get(record.kind or "", ())
    numbers = tuple(sorted({WEEKDAYS.index(day) for day in days}))
    return TermDate(record.kind or "holiday", record.week or 1, numbers, record.title or "")


def _check_one_day(record: TermDateTable, found: Found) -> None:
    """A concert and an assessment are on one day."""
    if record.days is None:
        found.add((), f"the day of the {record.kind} is missing", 'for example days = ["friday"]')
    elif len(record.days) != 1:
        found.add(("days",), f"a date of kind {record.kind} is one day", 'for example days = ["friday"]')
