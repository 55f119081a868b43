"""Dates in files: plain or counted from a Monday; nothing else, whatever the year."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from planner.inputs.dates import NotADateError, date_of, monday_of

MONDAY = date(2026, 9, 7)


def test_a_plain_date_does_not_depend_on_the_week() -> None:
    assert date_of(date(2026, 10, 3), MONDAY) == date(2026, 10, 3)


@pytest.mark.parametrize(
    ("words", "day"),
    [
        # over the turn of the year and a 53rd week; 2028 is a leap year. Counted on a calendar
        ("in 17 weeks", date(2027, 1, 4)),
        ("in 115 days", date(2026, 12, 31)),
        ("in 540 days", date(2028, 2, 29)),
        ("36 weeks ago", date(2025, 12, 29)),
        ("in 0 days", MONDAY),
    ],
)
def test_relative_dates_cross_the_ends_of_years(words: str, day: date) -> None:
    assert date_of(words, MONDAY) == day


@pytest.mark.parametrize(
    "value",
    [
        "today", "in 3", "in -3 days", "3 days", "in 3 months", "In 3 days", "in  3 days", "in 12345 days",
        "in ٣ days", "2026-09-07", "", 3, 3.5, True, None, [date(2026, 9, 7)],
    ],
    ids=repr,
)  # fmt: skip
def test_anything_else_is_no_date(value: object) -> None:
    with pytest.raises(NotADateError, match="this is no date"):
        date_of(value, MONDAY)


def test_a_time_of_day_is_no_date() -> None:
    with pytest.raises(NotADateError, match="without a time of day"):
        date_of(datetime(2026, 9, 7, 10, 0), MONDAY)  # noqa: DTZ001 - as the standard parser makes them


@pytest.mark.parametrize("day", [date.min, date(1999, 12, 31), date(2100, 1, 1), date.max], ids=str)
def test_a_date_outside_the_century_is_refused(day: date) -> None:
    with pytest.raises(NotADateError, match="is not between 2000-01-01 and 2099-12-31"):
        date_of(day, MONDAY)


@pytest.mark.parametrize("words", ["9999 weeks ago", "in 9999 weeks"])
@pytest.mark.parametrize("monday", [date(1, 1, 1), date(9999, 12, 27)], ids=str)
def test_a_relative_date_beyond_the_calendar_is_refused(words: str, monday: date) -> None:
    with pytest.raises(NotADateError, match=r"beyond the calendar|is not between"):
        date_of(words, monday)


def test_the_monday_of_any_day_is_on_or_before_it() -> None:
    # 31 December 2026 is a Thursday of ISO week 53; its Monday is 28 December
    assert monday_of(date(2026, 12, 31)) == date(2026, 12, 28)
    assert monday_of(MONDAY) == MONDAY
