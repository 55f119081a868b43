"""iCalendar (RFC 5545) of a plan: one entry a practice day, made with icalendar.

Conventions: times are local and without a zone ("floating"), so that a clock change moves nothing; without a
time of day an entry is for the whole day. An entry's UID is made from player and date, so that importing a
later plan again replaces it; DTSTAMP is midnight UTC of the plan's first day, so that the same plan gives the
same bytes. Control signs of users' texts are left out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from planner.show.items import target, title, where
from planner.show.layout import NO_BREAK, clean

PRODUCT = "-//planner//practice plan//EN"


def calendar(plan: Mapping[str, Any], at: time | None) -> bytes:
    """The calendar of a plan; `at` is when practice begins, None for entries of the whole day."""
    from icalendar import Calendar

    found = Calendar()
    found.add("prodid", PRODUCT)
    found.add("version", "2.0")
    found.add("x-wr-calname", clean(f"Practice: {plan['name']}"))
    for day in plan["days"]:
        if day["seconds_used"]:
            found.add_component(_event(plan, day, at))
    text: bytes = found.to_ical()
    return text


def _event(plan: Mapping[str, Any], day: Mapping[str, Any], at: time | None) -> Any:
    from icalendar import Event

    when = date.fromisoformat(day["date"])
    event = Event()
    event.add("uid", f"{_safe(plan['player'])}-{when.isoformat()}@planner.invalid")
    event.add("dtstamp", datetime.combine(date.fromisoformat(plan["first_day"]), time(), UTC))
    seconds = day["seconds_used"]
    if at is None:
        event.add("dtstart", when)
        event.add("dtend", when + timedelta(days=1))
    else:
        event.add("dtstart", datetime.combine(when, at))  # floating: no zone, on purpose
        event.add("duration", timedelta(seconds=seconds))
    event.add("summary", f"Practice, {-(-seconds // 60)} min")
    event.add("description", "\n".join(_lines(day)))
    event.add("transp", "TRANSPARENT" if at is None else "OPAQUE")
    return event


def _lines(day: Mapping[str, Any]) -> list[str]:
    """What the day holds, an item a line."""
    found = []
    for item in day["items"]:
        if item["go"] > 1:
            continue
        parts = (item["id"], title(item), where(item), item["articulation"], target(item))
        found.append(clean(" ".join(part for part in parts if part).replace(NO_BREAK, " ")))
    return found


def _safe(text: str) -> str:
    return re.sub(r"[^A-Za-z0-9.-]+", "-", text)
