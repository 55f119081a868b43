"""The days after a missed stretch, worked out once more from what was told and the player's file.

Readings where the specification leaves room:
- missed is every date of a told stretch on which the diary has no rating; the player's list of dates has each
  of them as free;
- a break is a longest run of dates without own minutes (no minutes on the weekday, free, a limit of none) in
  which at least one was missed; its length counts all of them;
- 5 to 10 days: 75, 90, 100 % of the minutes; 11 and more: 50, 65, 80, 100 %; the warm-up of each of these
  practice days two minutes longer where 15 minutes or more are left; whole minutes, rounded down, at least 1;
- the first of them: targets a notch lower, nothing above three semitones under the top of the range, or its
  lowest note where that is higher (known notes stay as they are); range on none with a share under 100, nor
  on the first;
- where a stretch was told with an easing of its own, the last such of the break holds; an empty one is none.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from planner.inputs.player import Easing, Limit, Missed, Player, SpecialDate

ONE_WEEK = Easing((75, 90, 100), 2, 1, 3)
TWO_WEEKS = Easing((50, 65, 80, 100), 2, 1, 3)
FEWEST_DAYS, FROM_TWO_WEEKS = 5, 11
SIGHT = 60
FULL = 100
ONE_DAY = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Return:
    """One eased practice day: its place in the return (0 is the first) and what holds on it."""

    place: int
    per_cent: int
    warm_up_seconds: int
    notches: int
    semitones: int

    @property
    def first(self) -> bool:
        """True on the first practice day after the break."""
        return self.place == 0

    @property
    def without_range(self) -> bool:
        """True where no heavy range work is planned."""
        return self.first or self.per_cent < FULL


def missed_dates(player: Player) -> frozenset[dt.date]:
    """Every date of a told stretch that was not played on."""
    return _missed(player.missed)


def return_on(player: Player, day: dt.date) -> Return | None:
    """What holds on an eased date; None on every other."""
    if not player.missed:
        return None
    return _returns(player.missed, player.minutes, player.dates, player.limits).get(day)


@lru_cache(maxsize=32)
def _missed(told: tuple[Missed, ...]) -> frozenset[dt.date]:
    found = set()
    for one in told:
        day = one.first
        while day <= one.last:
            if day not in one.played:
                found.add(day)
            day += ONE_DAY
    return frozenset(found)


@lru_cache(maxsize=32)
def _returns(
    told: tuple[Missed, ...],
    minutes: tuple[int, ...],
    dates: tuple[SpecialDate, ...],
    limits: tuple[Limit, ...],
) -> Mapping[dt.date, Return]:
    missed = _missed(told)
    if not missed:
        return {}
    start, end = min(missed) - SIGHT * ONE_DAY, max(missed) + 11 * SIGHT * ONE_DAY
    idle = {
        start + n * ONE_DAY: _idle(start + n * ONE_DAY, minutes, dates, limits)
        for n in range((end - start).days)
    }
    found: dict[dt.date, Return] = {}
    for first, last in _runs(idle):
        if any(first <= day <= last for day in missed):
            found.update(_back(told, first, last, idle))
    return found


def _idle(
    day: dt.date, minutes: tuple[int, ...], dates: tuple[SpecialDate, ...], limits: tuple[Limit, ...]
) -> bool:
    """True where the date has no own minutes at all."""
    free = any(it.kind == "free" and it.first <= day <= it.last for it in dates)
    stopped = any(it.minutes == 0 and it.first <= day <= it.until for it in limits)
    return free or stopped or minutes[day.weekday()] == 0


def _runs(idle: Mapping[dt.date, bool]) -> Iterator[tuple[dt.date, dt.date]]:
    """First and last date of every longest run of idle dates."""
    first: dt.date | None = None
    for day in sorted(idle):
        if idle[day] and first is None:
            first = day
        if not idle[day] and first is not None:
            yield first, day - ONE_DAY
            first = None


def _back(
    told: tuple[Missed, ...], first: dt.date, last: dt.date, idle: Mapping[dt.date, bool]
) -> Iterator[tuple[dt.date, Return]]:
    eased = _eased(told, first, last)
    place, day = 0, last
    while eased and place < len(eased.shares) and (day - last).days < SIGHT - 1:
        day += ONE_DAY
        if not idle[day]:
            share = eased.shares[place]
            yield day, Return(place, share, 60 * eased.warm_up_minutes, eased.notches, eased.semitones)
            place += 1


def _eased(told: tuple[Missed, ...], first: dt.date, last: dt.date) -> Easing | None:
    own = [it.easing for it in told if it.easing is not None and not (it.last < first or last < it.first)]
    if own:
        return own[-1]
    days = (last - first).days + 1
    if days < FEWEST_DAYS:
        return None
    return TWO_WEEKS if days >= FROM_TWO_WEEKS else ONE_WEEK
