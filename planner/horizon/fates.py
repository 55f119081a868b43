"""What became of every turn: it stays, moves within its week, comes in a later week, or has no turn any more.

Conventions: a turn is one combination on one day. Turns before and turns now are paired one to one, so that
both rows add up: first on the same day, then within the same week in the order of time (as
`planner.plan.difference` does between two plans), then what was missed, then weeks to come. A missed
combination is told once, and where no turn is left to pair it with, its next turn that stands anyway.
Standard library only.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any, Final, Literal

What = Literal["kept", "moved", "kept for later", "left out"]

KEPT: Final = "kept"
MOVED: Final = "moved"
LATER: Final = "kept for later"
OUT: Final = "left out"


@dataclass(frozen=True, slots=True)
class Turn:
    """One combination on one day, as it was to be played."""

    day: date
    combination: str
    articulation: str
    title: str
    state: str


@dataclass(frozen=True, slots=True)
class Fate:
    """What became of a turn: `what` is "kept", "moved", "kept for later" or "left out".

    `day` is where it stood, `to` where it stands now (None: nowhere). `missed`: its day was missed; "kept"
    then means that its combination has its next turn in the plan anyway.
    """

    combination: str
    title: str
    state: str
    day: date
    missed: bool
    what: str
    to: date | None
    reason: str


@dataclass(frozen=True, slots=True)
class Place:
    """Where a turn before stands now: on its day, in its week, or in another week."""

    what: What
    day: date


@dataclass(frozen=True, slots=True)
class FirstWeek:
    """Turns from today to the end of its week: before and now, and how both are made up.

    before = stays + moved + gone; now = stays + moved + new. `missed`: those of the new that were missed.
    """

    stays: int
    moved: int
    gone: int
    new: int
    missed: int

    @property
    def before(self) -> int:
        """How many turns stood."""
        return self.stays + self.moved + self.gone

    @property
    def now(self) -> int:
        """How many stand now."""
        return self.stays + self.moved + self.new


@dataclass(slots=True)
class Pairs:
    """Turns before with their places now, and the turns now that stand for none of them."""

    places: dict[Turn, Place] = field(default_factory=dict)
    new: list[tuple[str, date]] = field(default_factory=list)


def turns_of(plan: Mapping[str, Any]) -> Iterator[Turn]:
    """The turns of a plan; the second go of a day is the same turn."""
    for day in plan["days"]:
        for item in day["items"]:
            if item["combination"] and item["go"] == 1:
                when = date.fromisoformat(day["date"])
                yield Turn(when, item["combination"], item["articulation"], item["title"], item["state"])


def sunday_of(day: date) -> date:
    """The last day of the week of a day."""
    return day + timedelta(days=6 - day.weekday())


def told_turns(had: Sequence[Turn], missed: Iterable[date]) -> tuple[Turn, ...]:
    """The turns before that are told: every one from today on, of missed days each combination once."""
    away, once, told = set(missed), set(), []
    for turn in had:
        if turn.day not in away:
            told.append(turn)
        elif turn.combination not in once:
            once.add(turn.combination)
            told.append(turn)
    return tuple(told)


def paired(told: Sequence[Turn], now: Iterable[Turn], today: date) -> Pairs:
    """Every turn before with at most one turn now, and no turn now for two of them."""
    before: dict[str, list[Turn]] = defaultdict(list)
    for turn in told:
        before[turn.combination].append(turn)
    after: dict[str, list[date]] = defaultdict(list)
    for turn in now:
        after[turn.combination].append(turn.day)
    found = Pairs()
    for name in sorted({*before, *after}):
        free = sorted(after[name])
        left = _same_day(sorted(before[name], key=lambda turn: turn.day), free, found)
        left = _same_week(left, free, found, today)
        _other_weeks(left, free, found, today)
        found.new += [(name, day) for day in free]
    return found


def _same_day(turns: Sequence[Turn], free: list[date], found: Pairs) -> list[Turn]:
    left = []
    for turn in turns:
        if turn.day in free:
            free.remove(turn.day)
            found.places[turn] = Place(KEPT, turn.day)
        else:
            left.append(turn)
    return left


def _same_week(turns: Sequence[Turn], free: list[date], found: Pairs, today: date) -> list[Turn]:
    """From today on: what was missed before takes no day from a turn that only moved."""
    left = []
    for turn in turns:
        week = sunday_of(turn.day) if turn.day >= today else None
        day = next((day for day in free if sunday_of(day) == week), None)
        if day is None:
            left.append(turn)
        else:
            free.remove(day)
            found.places[turn] = Place(MOVED, day)
    return left


def _other_weeks(turns: Sequence[Turn], free: list[date], found: Pairs, today: date) -> None:
    """In order of time: what was missed before today may still come this week; all else comes later."""
    for turn in turns:
        after = [day for day in free if day > turn.day]
        day = next(iter(after or free), None)
        if day is not None:
            free.remove(day)
            this_week = sunday_of(day) == sunday_of(max(today, turn.day))
            found.places[turn] = Place(MOVED if this_week or day < turn.day else LATER, day)


def first_week(had: Sequence[Turn], now: Iterable[Turn], missed: Iterable[date], today: date) -> FirstWeek:
    """The turns from today to Sunday, before and now; missed days still to come count as days before."""
    last = sunday_of(today)
    stood = [turn for turn in had if today <= turn.day <= last]
    stand = [turn for turn in now if today <= turn.day <= last]
    pairs = paired(stood, stand, today)
    whats = [place.what for place in pairs.places.values()]
    away = set(missed)
    back = {turn.combination for turn in had if turn.day in away}
    return FirstWeek(
        stays=whats.count(KEPT),
        moved=whats.count(MOVED),
        gone=len(stood) - len(whats),
        new=len(pairs.new),
        missed=sum(1 for name in {name for name, _ in pairs.new} if name in back),
    )
