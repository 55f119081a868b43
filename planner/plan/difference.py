"""What a new plan changes against the one before it: kept, moved, new, dropped, each with its reason.

A pure function of two plans as JSON; only the days that both hold are compared. A turn is a combination on a
day. Of a combination that has fewer or more turns than before the earliest are taken as moved, the others as
dropped or new. The reason is the first cause that the two plans themselves show. Standard library only.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from planner.inputs.dates import WEEKDAYS

Plan = Mapping[str, Any]

NEED_MOVED = 50
"""Thousandths of need from which its change is a reason."""


@dataclass(frozen=True, slots=True)
class Change:
    """One turn: where it stood (None: nowhere) and where it stands (None: nowhere), and why."""

    combination: str
    was: date | None
    now: date | None
    reason: str


@dataclass(frozen=True, slots=True)
class Difference:
    """Everything that a new plan keeps and changes from `first_day` to `last_day`, by day and combination."""

    first_day: date
    last_day: date
    kept: tuple[Change, ...]
    moved: tuple[Change, ...]
    new: tuple[Change, ...]
    dropped: tuple[Change, ...]

    @property
    def is_nothing(self) -> bool:
        """Whether every turn stands where it stood."""
        return not (self.moved or self.new or self.dropped)

    @property
    def counts(self) -> dict[str, int]:
        """How many turns are kept, moved, new and dropped."""
        return {kind: len(getattr(self, kind)) for kind in ("kept", "moved", "new", "dropped")}


def difference(before: Plan, after: Plan) -> Difference:
    """What `after` changes against `before` on the days that both hold."""
    first = max(_day(before["first_day"]), _day(after["first_day"]))
    last = min(_day(before["last_day"]), _day(after["last_day"]))
    changes = list(_changes(before, after, first, last))
    both = [one for one in changes if one.was and one.now]
    return Difference(
        first_day=first,
        last_day=last,
        kept=_ordered(one for one in both if one.was == one.now),
        moved=_ordered(one for one in both if one.was != one.now),
        new=_ordered(one for one in changes if one.was is None),
        dropped=_ordered(one for one in changes if one.now is None),
    )


def _ordered(changes: Iterable[Change]) -> tuple[Change, ...]:
    return tuple(sorted(changes, key=lambda one: (one.now or one.was or date.min, one.combination)))


def _changes(before: Plan, after: Plan, first: date, last: date) -> Iterator[Change]:
    stood, stands = (_turns(plan, first, last) for plan in (before, after))
    causes = _Causes(before, after)
    for name in sorted({*stood, *stands}):
        was, now = stood.get(name, set()), stands.get(name, set())
        for day in sorted(was & now):
            yield Change(name, day, day, "")
        gone, come = sorted(was - now), sorted(now - was)
        for old, new in zip(gone, come, strict=False):
            yield Change(name, old, new, causes.moved(name, old, new))
        for new in come[len(gone) :]:
            yield Change(name, None, new, causes.new(name, new))
        for old in gone[len(come) :]:
            yield Change(name, old, None, causes.dropped(name, old))


def _turns(plan: Plan, first: date, last: date) -> dict[str, set[date]]:
    found: dict[str, set[date]] = {}
    for day in plan["days"]:
        when = _day(day["date"])
        if first <= when <= last:
            for item in day["items"]:
                if item["combination"]:
                    found.setdefault(item["combination"], set()).add(when)
    return found


class _Causes:
    """Why a turn moved, came or went, as far as two plans show it."""

    def __init__(self, before: Plan, after: Plan) -> None:
        self._days = [{_day(day["date"]): day for day in plan["days"]} for plan in (before, after)]
        self._states = [{one["combination"]: one for one in plan["combinations"]} for plan in (before, after)]
        self._pins = [{(pin["date"], pin["combination"]) for pin in plan["pins"]} for plan in (before, after)]
        self._excluded = {one["combination"]: one["reason"] for one in after["excluded"]}
        self._left = {one["combination"]: one["reason"] for one in after["coverage"]["left"]}

    def moved(self, name: str, old: date, new: date) -> str:
        """Why a turn stands on another day."""
        return self._first(
            self._pinned(name, new),
            self._unpinned(name, old),
            self._day_changed(old),
            self._played(name),
            self._state(name),
            self._asked(name),
            self._need(name),
            self._day_changed(new),
            f"to make room on {_in_words(old)}",
        )

    def new(self, name: str, day: date) -> str:
        """Why a turn has come in."""
        if name not in self._states[0]:
            return "not on the shelf before"
        return self._first(
            self._pinned(name, day),
            self._played(name),
            self._state(name),
            self._asked(name),
            self._need(name, only=1),
            self._day_changed(day),
            f"there is room for it on {_in_words(day)} now",
        )

    def dropped(self, name: str, day: date) -> str:
        """Why a turn has gone."""
        if name in self._excluded:
            return f"set aside: {self._excluded[name]}"
        if name not in self._states[1]:
            return "no longer on the shelf"
        return self._first(
            self._unpinned(name, day),
            self._played(name),
            self._day_changed(day),
            self._left.get(name, ""),
            self._state(name),
            self._asked(name),
            self._need(name, only=-1),
            "its place went to what needs it more",
        )

    @staticmethod
    def _first(*reasons: str) -> str:
        return next(reason for reason in reasons if reason)

    def _pinned(self, name: str, day: date) -> str:
        pin = (day.isoformat(), name)
        return f"pinned on {_in_words(day)}" if pin in self._pins[1] - self._pins[0] else ""

    def _unpinned(self, name: str, day: date) -> str:
        pin = (day.isoformat(), name)
        return f"no longer pinned on {_in_words(day)}" if pin in self._pins[0] - self._pins[1] else ""

    def _day_changed(self, day: date) -> str:
        """What is different about a day: its minutes, its notes, a pin of something else."""
        was, now = (days[day] for days in self._days)
        minutes = [one["seconds_free"] // 60 for one in (was, now)]
        if minutes[0] != minutes[1]:
            return f"{_in_words(day)} has {minutes[1]} minutes, it had {minutes[0]}"
        notes = [note for note in now["notes"] if note not in was["notes"]]
        if notes:
            return f"{_in_words(day)}: {notes[0]}"
        pins = sorted(name for when, name in self._pins[1] - self._pins[0] if when == day.isoformat())
        return f"{pins[0]} is pinned on {_in_words(day)}" if pins else ""

    def _played(self, name: str) -> str:
        was, now = self._both(name, "last_played")
        return f"played on {_in_words(_day(now))}" if now and now != was else ""

    def _state(self, name: str) -> str:
        was, now = self._both(name, "state")
        return f"{now}, it was {was}" if was and now and was != now else ""

    def _asked(self, name: str) -> str:
        was, now = self._both(name, "turn_by")
        if was == now or not now:
            return ""
        before = f", it was {_in_words(_day(was))}" if was else ""
        return f"its turn is asked for by {_in_words(_day(now))}{before}"

    def _need(self, name: str, only: int = 0) -> str:
        """A need that moved; `only` 1: where it rose, which brings a turn in, -1: where it fell."""
        was, now = self._both(name, "need")
        if was is None or now is None or abs(now - was) < NEED_MOVED or only * (now - was) < 0:
            return ""
        return f"need {now / 1000:.2f}, it was {was / 1000:.2f}"

    def _both(self, name: str, field: str) -> tuple[Any, Any]:
        was, now = (states.get(name, {}).get(field) for states in self._states)
        return was, now


def _day(text: str) -> date:
    return date.fromisoformat(text)


def _in_words(day: date) -> str:
    return f"{WEEKDAYS[day.weekday()]} {day.day}"
