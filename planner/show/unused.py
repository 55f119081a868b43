"""Minutes of a day that stay free, and what keeps more from standing there. Standard library only.

The reason is read off the plan's own figures: what else is on the shelf, and for each of it which rule of the
day stands against one item more. What has no turn in the whole plan has no known size and counts as a
middling one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from datetime import timedelta
from itertools import pairwise
from typing import Any

from planner.inputs.dates import WEEKDAYS
from planner.show.words import day_of

Plan = Mapping[str, Any]
Day = Mapping[str, Any]

LEAST_SECONDS = 180
LEAST_SHARE = 5
"""Told from more than three minutes and more than a fifth of the day on; less is what no item fits into."""

SHORT_DAY_SECONDS = 900
"""A shorter day holds a warm-up and one block."""

SET_UP_SECONDS = 45


def unused(plan: Plan, day: Day) -> str:
    """How much stays free and why: "9 of 40 minutes stay free: ..."; "" for little, none, or a cut day."""
    left = day["seconds_free"] - day["seconds_used"]
    cut = any(str(note).startswith("cut to ") for note in day["notes"])
    if cut or not day["items"] or left <= LEAST_SECONDS or LEAST_SHARE * left <= day["seconds_free"]:
        return ""
    free = round(day["seconds_free"] / 60)
    return f"{round(left / 60)} of {free} minutes stay free: {_reason(plan, day, left)}"


def _reason(plan: Plan, day: Day, left: int) -> str:
    others = [one for one in plan["combinations"] if one["combination"] not in _names(day)]
    if not _names(day):
        return "the day holds a warm-up only" if others or day["title"] else "nothing is in scope"
    if not others:
        return "all that is in scope stands on this day already"
    held = Counter(_held_back(plan, day, left, others))
    (first, count), *more = held.most_common(2)
    kinds = [first] if 2 * count > held.total() else [first, *(kind for kind, _ in more)]
    return "; ".join(_words(kind, plan, day) for kind in kinds)


def _names(day: Day) -> set[str]:
    return {item["combination"] for item in day["items"] if item["combination"]}


def _held_back(plan: Plan, day: Day, left: int, others: list[dict[str, Any]]) -> Iterator[str]:
    """For each combination that does not stand on the day the first rule that keeps it away."""
    sizes = _sizes(plan)
    seconds, loads = (sorted(size[at] for size in sizes.values()) for at in range(2))
    usual = seconds[len(seconds) // 2], loads[len(loads) // 2]
    near, rooms = _beside(plan, day), _load_left(plan, day)
    for one in others:
        name = one["combination"]
        long, heavy = sizes.get(name, usual)
        if one["state"] == "kept up" and name in near:
            yield "two days running"
        elif any(room < heavy for room in rooms.values()):
            yield next(kind for kind, room in rooms.items() if room < heavy)
        elif day["seconds_free"] < SHORT_DAY_SECONDS:
            yield "short day"
        else:
            yield "minutes" if left < long + SET_UP_SECONDS else "rules"


def _sizes(plan: Plan) -> dict[str, tuple[int, float]]:
    """Seconds and load of every combination that has a turn somewhere in the plan."""
    found: dict[str, tuple[int, float]] = {}
    for day in plan["days"]:
        for name in _names(day):
            items = [item for item in day["items"] if item["combination"] == name]
            found[name] = (sum(one["seconds"] for one in items), sum(one["load"] for one in items))
    return found


def _beside(plan: Plan, day: Day) -> set[str]:
    """What stands on the day before and the day after."""
    days = list(plan["days"])
    found: set[str] = set()
    for one, other in pairwise(days):
        found |= _names(one) if other["date"] == day["date"] else set()
        found |= _names(other) if one["date"] == day["date"] else set()
    return found | (set(plan["before"]["combinations"]) if days[0]["date"] == day["date"] else set())


def _load_left(plan: Plan, day: Day) -> dict[str, float]:
    """What is left of the load limits: of the day, with the day before, with the day after."""
    found = {
        "load": day["load_limit"] - day["load"],
        "load before": day["load_two_days_limit"] - day["load_two_days"],
    }
    after = next((two for one, two in pairwise(plan["days"]) if one["date"] == day["date"]), None)
    if after is not None:
        found["load after"] = after["load_two_days_limit"] - after["load_two_days"]
    return found


def _words(kind: str, plan: Plan, day: Day) -> str:
    if kind.startswith("load"):
        return _load_words(kind, plan, day)
    words = {
        "two days running": "what else is in scope stands on the day before or after, never two days running",
        "short day": "a day under 15 minutes holds a warm-up and one block",
        "minutes": "what else is in scope takes longer",
    }
    out = f"{', '.join(day['without'])} left out by a limit" if day["without"] else ""
    return words.get(kind) or out or "no other item fits under the rules of the day"


def _load_words(kind: str, plan: Plan, day: Day) -> str:
    if kind == "load":
        return f"the load limit of the day is reached ({day['load']:.0f} of {day['load_limit']:.0f})"
    step = 1 if kind == "load after" else -1
    other = day_of(day["date"]) + timedelta(days=step)
    both = day if step < 0 else next(one for one in plan["days"] if one["date"] == other.isoformat())
    figures = f"{both['load_two_days']:.0f} of {both['load_two_days_limit']:.0f}"
    return f"together with {WEEKDAYS[other.weekday()]} the load limit of two days is reached ({figures})"
