"""Dates in files: plain dates, or counted from the Monday of the week that is planned.

"this week" is that Monday; "in 12 days", "12 days ago", "in 2 weeks", "3 weeks ago" count from it. Sample
players use them, so that the samples never grow old. Standard library only.
"""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

EARLIEST = date(2000, 1, 1)
LATEST = date(2099, 12, 31)
"""Dates of files lie between these: outside it is a slip of the pen, and far outside the calendar ends."""

FORMS = 'write 2026-09-07 without quotes, or "this week", "in 12 days", "2 weeks ago"'

_RELATIVE = re.compile(
    r"(?:in (?P<on>[0-9]{1,4}) (?P<on_unit>day|week)s?|(?P<back>[0-9]{1,4}) (?P<back_unit>day|week)s? ago)"
)


class NotADateError(ValueError):
    """A value that is no date of a file; the message says why, `hint` what to write."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.hint = hint


def date_of(value: object, monday: date) -> date:
    """A value of a file as a plain date, relative ones counted from `monday`; `NotADateError` else.

    >>> date_of("in 2 weeks", date(2026, 9, 7)).isoformat()
    '2026-09-21'
    """
    if isinstance(value, datetime):
        raise NotADateError("a date stands here without a time of day", FORMS)
    day = value if isinstance(value, date) else _relative(value, monday)
    if not EARLIEST <= day <= LATEST:
        raise NotADateError(f"the date {day.isoformat()} is not between {EARLIEST} and {LATEST}")
    return day


def monday_of(day: date) -> date:
    """The Monday of the week in which `day` lies."""
    return day - timedelta(days=day.weekday())


def _relative(value: object, monday: date) -> date:
    if value == "this week":
        return monday
    match = _RELATIVE.fullmatch(value) if isinstance(value, str) else None
    if match is None:
        raise NotADateError("this is no date", FORMS)
    number = int(match["on"] or match["back"])
    days = number * (7 if "week" in (match["on_unit"], match["back_unit"]) else 1)
    try:
        return monday + timedelta(days=days if match["on"] else -days)
    except OverflowError:
        raise NotADateError("the date lies beyond the calendar") from None
