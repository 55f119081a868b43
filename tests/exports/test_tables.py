"""Calendar and table of a plan, read back by programs that had no part in writing them."""

from __future__ import annotations

import io
from copy import deepcopy
from datetime import date, datetime, time, timedelta
from typing import Any

import pandas as pd
import pytest
import vobject
from horizon.sample_weeks import sample_week
from icalendar import Calendar

from planner.exports.calendar import calendar
from planner.exports.tables import COLUMNS, plan_csv

HOSTILE = [
    "=1+1",
    "\uff1d1+1",
    "a;b,c\\n\nBEGIN:VEVENT",
    "\x00\x07\u202e",
    "quote\" 'x",
    "♭" * 200,
    "@SUM(A1)",
]


@pytest.fixture(scope="module")
def plan() -> dict[str, Any]:
    """Jonah's week of 7 September 2026."""
    return deepcopy(dict(sample_week("jonah")))


def titled(plan: dict[str, Any], title: str) -> dict[str, Any]:
    """The same plan with this title on everything, and as the player's name."""
    found = deepcopy(plan)
    found["name"] = title
    for day in found["days"]:
        for item in day["items"]:
            item["title"] = title
    return found


def events(text: bytes) -> list[Any]:
    """The entries as icalendar reads them."""
    return list(Calendar.from_ical(text).walk("VEVENT"))


def test_every_practice_day_has_one_entry(plan: dict[str, Any]) -> None:
    days = [date.fromisoformat(day["date"]) for day in plan["days"] if day["seconds_used"]]
    assert [event["dtstart"].dt for event in events(calendar(plan, None))] == days


def test_an_all_day_entry_ends_the_next_day(plan: dict[str, Any]) -> None:
    # RFC 5545, 3.6.1: DTEND is not included
    event = events(calendar(plan, None))[0]
    assert event["dtend"].dt - event["dtstart"].dt == timedelta(days=1)


def test_with_a_time_an_entry_lasts_as_long_as_the_day(plan: dict[str, Any]) -> None:
    event = events(calendar(plan, time(17, 30)))[0]
    first = next(day for day in plan["days"] if day["seconds_used"])
    assert event["dtstart"].dt == datetime.combine(date.fromisoformat(first["date"]), time(17, 30))
    assert event["duration"].dt == timedelta(seconds=first["seconds_used"])


def test_a_second_reader_sees_the_same_days(plan: dict[str, Any]) -> None:
    theirs = vobject.readOne(calendar(plan, None).decode())
    ours = events(calendar(plan, None))
    assert [one.dtstart.value for one in theirs.vevent_list] == [event["dtstart"].dt for event in ours]


def test_the_same_day_has_the_same_uid_in_every_plan(plan: dict[str, Any]) -> None:
    other = titled(plan, "Another")
    uids = [[str(event["uid"]) for event in events(calendar(one, None))] for one in (plan, other)]
    assert uids[0] == uids[1]
    assert len(set(uids[0])) == len(uids[0])


@pytest.mark.parametrize("title", HOSTILE)
def test_lines_are_folded_at_75_octets(plan: dict[str, Any], title: str) -> None:
    # RFC 5545, 3.1: lines end in CRLF and have at most 75 octets without it
    text = calendar(titled(plan, title), None)
    assert max(len(line) for line in text.split(b"\r\n")) <= 75
    assert b"\n" not in text.replace(b"\r\n", b"")


@pytest.mark.parametrize("title", HOSTILE)
def test_no_control_sign_of_a_title_reaches_the_calendar(plan: dict[str, Any], title: str) -> None:
    text = calendar(titled(plan, title), None).decode()
    assert not any(ord(sign) < 32 for sign in text.replace("\r\n", ""))


@pytest.mark.parametrize("title", HOSTILE)
def test_a_title_adds_no_entry(plan: dict[str, Any], title: str) -> None:
    assert len(events(calendar(titled(plan, title), None))) == len(events(calendar(plan, None)))


def test_the_table_has_a_row_for_every_item(plan: dict[str, Any]) -> None:
    table = pd.read_csv(io.StringIO(plan_csv(plan)), keep_default_na=False)
    assert list(table.columns) == list(COLUMNS)
    assert len(table) == sum(len(day["items"]) for day in plan["days"])


def test_numbers_come_back_as_they_were(plan: dict[str, Any]) -> None:
    table = pd.read_csv(io.StringIO(plan_csv(plan)), keep_default_na=False)
    items = [item for day in plan["days"] for item in day["items"]]
    assert table["seconds"].tolist() == [item["seconds"] for item in items]


@pytest.mark.parametrize("name", HOSTILE)
def test_no_cell_begins_like_a_formula(plan: dict[str, Any], name: str) -> None:
    hostile = deepcopy(plan)
    for day in hostile["days"]:
        for item in day["items"]:
            item["reasons"] = [name]
    table = pd.read_csv(io.StringIO(plan_csv(hostile)), keep_default_na=False)
    assert not table["reasons"].str.startswith(("=", "+", "-", "@", "\uff1d")).any()


def test_a_hostile_text_stays_in_its_cell(plan: dict[str, Any]) -> None:
    hostile = deepcopy(plan)
    hostile["days"][0]["items"][0]["pattern"] = 'a";\r\n,b'
    table = pd.read_csv(io.StringIO(plan_csv(hostile)), keep_default_na=False)
    assert table["pattern"][0].replace("\n", "").replace("\r", "") == 'a";,b'
