"""A term as a calendar (iCalendar, RFC 5545): one all-day event for every day with practice.

Events are dates without a time of day, so no change of the clock moves them. The same term gives the same
bytes: UIDs are made from player, curriculum and date, the time stamp is the first day of the term. icalendar
folds lines at 75 octets and escapes text; control characters are left out before.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from icalendar import Calendar, Event

PRODUCT = "-//planner//practice term//EN"
SHOWN = 12


def term_calendar(term: Mapping[str, Any]) -> str:
    """The term as iCalendar text; lines end in CR LF and are at most 75 octets long."""
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", printable(f"{term['name'] or term['player']}: {term['curriculum_title']}"))
    for week in term["weeks"]:
        for day in week["days"]:
            if day["seconds_free"] or day["title"]:
                calendar.add_component(_event(term, week, day))
    return str(calendar.to_ical().decode("utf-8"))


def _event(term: Mapping[str, Any], week: Mapping[str, Any], day: Mapping[str, Any]) -> Event:
    date = dt.date.fromisoformat(day["date"])
    event = Event()
    event.add("uid", uid(term, day["date"]))
    event.add("dtstamp", dt.datetime.combine(dt.date.fromisoformat(term["first_day"]), dt.time(), dt.UTC))
    event.add("dtstart", date)
    event.add("dtend", date + dt.timedelta(days=1))
    event.add("summary", printable(_summary(week, day)))
    event.add("description", "\n".join(printable(line) for line in _lines(term, week, day)))
    event.add("transp", "TRANSPARENT")  # practice blocks nobody's day
    return event


def uid(term: Mapping[str, Any], date: str) -> str:
    """A name for the event of a day that stays the same however often the term is made again."""
    seed = "\n".join((str(term["player"]), str(term["curriculum"]), date))
    return f"{hashlib.sha256(seed.encode()).hexdigest()[:32]}@planner.invalid"


def _summary(week: Mapping[str, Any], day: Mapping[str, Any]) -> str:
    if not day["seconds_free"]:
        return str(day["title"])
    minutes = round(day["seconds_used"] / 60)
    new = sum(1 for item in day["items"] if item["combination"] in week["new"])
    title = f"{day['title']}: " if day["title"] else ""
    return f"{title}Practice {minutes} min" + (f", {new} new" if new else "")


def _lines(term: Mapping[str, Any], week: Mapping[str, Any], day: Mapping[str, Any]) -> Iterator[str]:
    yield f"Week {week['week']} of {term['curriculum_weeks']}"
    titles = {one["exercise"]: one["title"] or one["exercise"] for one in term["exercises"]}
    counts = Counter(item["combination"].split("/")[0] for item in day["items"])
    for name, number in list(counts.items())[:SHOWN]:
        yield f"{titles.get(name, name)}, {number} {'item' if number == 1 else 'items'}"


def printable(text: str) -> str:
    """Text on one line without control characters or marks that change the reading direction."""
    import unicodedata

    kept = (sign for sign in text if sign.isspace() or unicodedata.category(sign)[0] != "C")
    return " ".join("".join(kept).split())
