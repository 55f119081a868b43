"""The way back after a missed stretch: fewer minutes, a longer warm-up, lower targets, no heavy range work.

Conventions: a break is a run of days without own minutes that holds at least one missed day; days that have
no minutes anyway (a free weekday, a holiday) lengthen it. The practice days from its end on are the days of
the return, one for each share. A break of fewer than five days needs none. All numbers are common practice
without a source; an easing told with a missed stretch replaces them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from typing import Final

from planner.inputs.player import Easing, Limit, Missed, Player, SpecialDate
from planner.need.by_day import remembered

WARM_UP_MINUTES = 2
NOTCHES = 1
SEMITONES = 3
LADDERS = ((11, (50, 65, 80, 100)), (5, (75, 90, 100)))
"""(days of the break from, shares in per cent): about two weeks, about one week."""

NO_HEAVY: Final = "range"
EASED = "eased return"
"""The name of the limit that an eased day has."""

FURTHEST = 60
"""Days looked ahead for the practice days of a return; and looked back for the days before a break."""

Minutes = tuple[int, ...]
Idle = Callable[[date], bool]


@dataclass(frozen=True, slots=True)
class Step:
    """One practice day of a return: which one from 0, its share of the minutes, and how it is eased."""

    number: int
    share: int
    easing: Easing

    @property
    def first(self) -> bool:
        """Whether it is the first day back."""
        return self.number == 0


def steps(player: Player) -> Mapping[date, Step]:
    """The eased days of a player by their dates."""
    if not player.missed:
        return {}
    frees = tuple(special for special in player.dates if special.kind == "free")
    rests = tuple(limit for limit in player.limits if limit.minutes == 0)
    return _steps(player.missed, player.minutes, frees, rests)


@remembered
def step_on(player: Player, day: date) -> Step | None:
    """How a day is eased; None for an ordinary one."""
    return steps(player).get(day) if player.missed else None


@remembered
def limits_on(player: Player, day: date) -> tuple[Limit, ...]:
    """The limits that hold on a day, in the order of the file; an eased day has one of its own at the end."""
    own = tuple(limit for limit in player.limits if limit.first <= day <= limit.until)
    step = step_on(player, day)
    if step is None or not (step.first or step.share < 100):
        return own
    # Known notes lie within a beginner's easy reach: nothing is taken off them.
    lowered = max(player.low, player.high - step.easing.semitones)
    top = lowered if step.first and not player.known_notes else None
    return (*own, Limit(EASED, day, day, top, None, (NO_HEAVY,)))


def missed_days(player: Player, first: date, last: date) -> int:
    """How many days from `first` to `last`, both included, were missed."""
    return sum(1 for day in _missed(player.missed) if first <= day <= last)


@lru_cache(maxsize=64)
def _missed(stretches: tuple[Missed, ...]) -> frozenset[date]:
    return frozenset(
        one.first + timedelta(days=offset)
        for one in stretches
        for offset in range((one.last - one.first).days + 1)
        if one.first + timedelta(days=offset) not in one.played
    )


@lru_cache(maxsize=64)
def _steps(
    stretches: tuple[Missed, ...], minutes: Minutes, frees: tuple[SpecialDate, ...], rests: tuple[Limit, ...]
) -> Mapping[date, Step]:
    def idle(day: date) -> bool:
        away = any(free.first <= day <= free.last for free in frees)
        return away or not minutes[day.weekday()] or any(rest.first <= day <= rest.until for rest in rests)

    found: dict[date, Step] = {}
    for first, last in _breaks(stretches, idle):
        easing = _easing(stretches, first, last)
        if easing is not None:
            back = (last + timedelta(days=offset) for offset in range(1, FURTHEST))
            practice = (day for day in back if not idle(day))
            found |= {
                day: Step(n, share, easing)
                for n, (share, day) in enumerate(zip(easing.shares, practice, strict=False))
            }
    return found


def _breaks(stretches: tuple[Missed, ...], idle: Idle) -> Iterator[tuple[date, date]]:
    """The runs of idle days that hold a missed day, in order of time."""
    done: date | None = None
    for day in sorted(_missed(stretches)):
        if done is not None and day <= done:
            continue
        first = last = day
        while (day - first).days < FURTHEST and idle(first - timedelta(days=1)):
            first -= timedelta(days=1)
        while (last - day).days < 10 * FURTHEST and idle(last + timedelta(days=1)):
            last += timedelta(days=1)
        done = last
        yield first, last


def _easing(stretches: tuple[Missed, ...], first: date, last: date) -> Easing | None:
    """What was told with a stretch of this break, the last that says anything; else by its length."""
    told = [one.easing for one in stretches if one.easing and one.first <= last and first <= one.last]
    if told:
        return told[-1] if told[-1].shares else None
    days = (last - first).days + 1
    shares = next((shares for least, shares in LADDERS if days >= least), None)
    return Easing(shares, WARM_UP_MINUTES, NOTCHES, SEMITONES) if shares else None
