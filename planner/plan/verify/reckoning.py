"""Practice days counted once over the whole span of the diary, so that every rule can look them up."""

from __future__ import annotations

import datetime as dt
from bisect import bisect_left
from dataclasses import dataclass
from itertools import accumulate

from planner.inputs.player import Player
from planner.plan.verify.days import free_minutes, not_practicable

LOOK_AHEAD_DAYS = 400
"""A practice day so far after a turn, or further, is out of sight."""


@dataclass(frozen=True, slots=True)
class PracticeDays:
    """Counts from `base` on: `practised[i]` is the number of practice days before day `base + i`.

    Reading: a past day counts by the minutes the player's file gives it, special dates and limits included.
    """

    base: dt.date
    practised: tuple[int, ...]
    away: tuple[int, ...]

    def between(self, after: dt.date, until: dt.date) -> int:
        """Practice days d with after < d <= until; 0 where `until` is not later."""
        return max(0, self._count(self.practised, until) - self._count(self.practised, after))

    def away_between(self, after: dt.date, until: dt.date) -> int:
        """Days d with after < d <= until on which nothing could be practised."""
        return max(0, self._count(self.away, until) - self._count(self.away, after))

    def nth_after(self, day: dt.date, count: int) -> dt.date | None:
        """The practice day that is the `count`-th after a date; None where it is out of sight."""
        wanted = self._count(self.practised, day) + count
        index = bisect_left(self.practised, wanted)
        found = self.base + dt.timedelta(days=index - 1)
        return found if index < len(self.practised) and (found - day).days < LOOK_AHEAD_DAYS else None

    def _count(self, counts: tuple[int, ...], day: dt.date) -> int:
        """How many up to and with a date."""
        return counts[min(max((day - self.base).days + 1, 0), len(counts) - 1)]


def practice_days(player: Player, earliest: dt.date, last_day: dt.date) -> PracticeDays:
    """The counts from the earliest date anybody asks for to well after the week."""
    days = [earliest + dt.timedelta(days=n) for n in range((last_day - earliest).days + LOOK_AHEAD_DAYS)]
    practised = accumulate((free_minutes(player, day) > 0 for day in days), initial=0)
    away = accumulate((not_practicable(player, day) for day in days), initial=0)
    return PracticeDays(earliest, tuple(practised), tuple(away))
