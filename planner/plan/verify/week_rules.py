"""Hard rules 3, 4, 6 and 7: what may stand on which day.

Readings where the specification leaves room:
- two days running are two dates running; the shelf is small with fewer playable combinations than three times
  (items a week // practice days);
- the playable combinations of the week are those listed in the plan: every one must be in scope on some date
  of the week, and every combination that is in scope on all dates must be listed;
- `after` binds an exercise that was never met before the week: on or before the first day of it each exercise
  named has a rating or an earlier item; one that is wholly out of the player's reach does not hold it back;
- a pin names a date and any of combination, exercise, pattern, place, articulation; items that fit it are
  pinned, no others; a day before `today` is the same as in the last plan.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from planner.plan.verify.breach import Breach
from planner.plan.verify.case import Case, Day, breach
from planner.plan.verify.day_rules import RANGE
from planner.plan.verify.repertoire import Combination, curriculum_week
from planner.plan.verify.returns import missed_dates
from planner.plan.verify.soft import is_small
from planner.plan.weekplan import PlanItem

RESTING = ("kept up",)
PIN_NAMES = ("combination", "exercise", "pattern", "place", "articulation")


def once_a_day(case: Case) -> Iterator[Breach]:
    """A combination is one item a day, in one or two goes."""
    for day in case.days:
        for name in sorted(day.combinations):
            items = [item for item in day.plan.items if item.combination == name]
            if len(items) > 2 or len({item.go for item in items}) < len(items):
                yield breach("once a day", day, f"{name} stands {len(items)} times")


def days_running(case: Case) -> Iterator[Breach]:
    """Not on two days running, unless it is new, in work, or there is little to choose from."""
    if is_small(case):
        return
    before = frozenset(rating.combination for rating in case.rated_before)
    for day in case.days:
        for name in sorted(before & day.combinations):
            if name in case.playable and case.playable[name].state in RESTING:
                yield breach("days running", day, f"{name} was played the day before")
        before = day.combinations


def heavy_days(case: Case) -> Iterator[Breach]:
    """Range stands on no two days running, and not beside other playing."""
    before = heavy_before(case)
    for day in case.days:
        today = any(item.family == RANGE for item in day.plan.items)
        if today and before:
            yield breach("heavy days", day, "range on two days running")
        if today and day.facts.plays_elsewhere:
            yield breach("heavy days", day, "range on a day with other playing")
        before = today


def told(case: Case) -> Iterator[Breach]:
    """What was told as missed counts as missed where the diary has nothing, and as played where it has."""
    rated = {rating.day for rating in case.rated}
    for one in case.player.missed:
        span = [one.first + dt.timedelta(days=n) for n in range((one.last - one.first).days + 1)]
        right = [day for day in span if day in rated]
        found = [day for day in sorted(one.played) if day < case.first_day]
        if found != right or not set(one.played) <= set(span):
            yield breach("told", None, f"played on {found} from {one.first} on, should be {right}")
    free = [special for special in case.player.dates if special.kind == "free"]
    for day in sorted(missed_dates(case.player)):
        if not any(special.first <= day <= special.last for special in free):
            yield breach("told", None, f"{day} was missed and is no free date")


def heavy_before(case: Case) -> bool:
    """Whether range was played the day before the week."""
    names = (rating.combination for rating in case.rated_before)
    return any(name in case.known and case.known[name].exercise.family == RANGE for name in names)


def concerts(case: Case) -> Iterator[Breach]:
    """Before a concert nothing new and no range; on the day the warm-up only; no range the day after."""
    for day in case.days:
        if not day.facts.near:
            continue
        for item in day.plan.items:
            new = item.combination in case.playable and case.playable[item.combination].state == "new"
            if new and day.facts.nothing_new:
                yield breach("concerts", day, f"{item.combination} is new")
            if item.family == RANGE:
                yield breach("concerts", day, f"{item.id} is range")
            if day.facts.warm_up_only and item.family != "warm-up":
                yield breach("concerts", day, f"{item.id} on a day of the warm-up only")


def limits(case: Case) -> Iterator[Breach]:
    """Nothing above a limit's top note, nothing of a family it leaves out."""
    for day, item, one in case.played():
        if not one.allowed(day.facts):
            yield breach("limits", day, f"{item.id} {one.id} lies outside a limit")


def scope(case: Case) -> Iterator[Breach]:
    """What is played is introduced, and within the player's notes, level and instrument."""
    yield from _listed(case)
    for day in case.days:
        for item in day.plan.items:
            if item.combination and item.combination not in case.playable:
                yield breach("scope", day, f"{item.id} {item.combination} is not playable this week")


def _listed(case: Case) -> Iterator[Breach]:
    """The week's list holds what is in scope, each combination once."""
    listed = Counter(entry.combination for entry in case.plan.combinations)
    for name, times in listed.items():
        if times > 1:
            yield breach("scope", None, f"{name} is listed twice")
        if name not in case.known or not any(_in_scope(case, case.known[name], day) for day in case.days):
            yield breach("scope", None, f"{name} is listed and not in scope this week")
    for one in case.known.values():
        if one.id not in listed and all(_in_scope(case, one, day) for day in case.days):
            yield breach("scope", None, f"{one.id} is in scope and not listed")


def _in_scope(case: Case, one: Combination, day: Day) -> bool:
    if one.part is None or one.reason or one.week > curriculum_week(case.player, day.date):
        return False
    return one.allowed(day.facts)


def excluded(case: Case) -> Iterator[Breach]:
    """What is left out is named with its reason, and nothing else is."""
    named = {entry.combination for entry in case.notes.excluded}
    for entry in case.notes.excluded:
        if entry.combination not in case.known or not entry.reason:
            yield breach("excluded", None, f"{entry.combination} is unknown or has no reason")
        elif entry.combination in case.playable:
            yield breach("excluded", None, f"{entry.combination} is listed as playable too")
    week = curriculum_week(case.player, case.first_day)
    for one in case.known.values():
        if one.week <= week and one.id not in case.playable and one.id not in named:
            yield breach("excluded", None, f"{one.id} is left out without a word")


def after(case: Case) -> Iterator[Breach]:
    """An exercise comes only after those it names have been met."""
    met = {case.known[name].exercise.id for name in case.last if name in case.known}
    reach = {one.exercise.id for one in case.known.values() if one.part is not None and not one.reason}
    for day in case.days:
        for item in day.plan.items:
            one = case.known.get(item.combination)
            if one is None:
                continue
            lacking = (set(one.exercise.after) & reach) - met
            if lacking and one.exercise.id not in met:
                yield breach("after", day, f"{one.exercise.id} comes before {', '.join(sorted(lacking))}")
            met.add(one.exercise.id)


def pins(case: Case) -> Iterator[Breach]:
    """Pins stay, and only what is pinned says so."""
    for pin in case.plan.pins:
        if not pin.get("date") or not any(pin.get(name) for name in PIN_NAMES):
            yield breach("pins", None, f"pin {dict(pin)} names no date or no item")
        elif not any(_fits(pin, day, item) for day in case.days for item in day.plan.items):
            yield breach("pins", None, f"pin {dict(pin)} is not in the plan")
    for day in case.days:
        for item in day.plan.items:
            if item.pinned != any(_fits(pin, day, item) for pin in case.plan.pins):
                yield breach("pins", day, f"{item.id} pinned is {item.pinned}")


def _fits(pin: Mapping[str, str], day: Day, item: PlanItem) -> bool:
    named = [(name, pin[name]) for name in PIN_NAMES if pin.get(name)]
    same = all(getattr(item, name) == value for name, value in named)
    return pin.get("date") == day.date.isoformat() and bool(named) and same


def past_stays(plan: Mapping[str, Any], last_plan: Mapping[str, Any], today: dt.date) -> Iterator[Breach]:
    """Days before today are what they were in the last plan; both plans are as JSON."""
    past = {day["date"]: day["items"] for day in last_plan["days"] if day["date"] < today.isoformat()}
    for day in plan["days"]:
        if day["date"] in past and day["items"] != past[day["date"]]:
            yield Breach("past", dt.date.fromisoformat(day["date"]), "a past day was changed")
