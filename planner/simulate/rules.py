"""What every policy of the simulation is bound by, and how it sees the shelf in the morning of a day.

Conventions: S players, N combinations, K items a day; days count from 0 (a Monday), before the term they are
negative; Sundays and a missed week are no practice days. The spans are those of planner.need.capacity: the
smallest whole number of weeks that leaves a quarter of the items free. Needs numpy.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from planner.need.capacity import FREE_SHARE, IN_WORK_EVERY, LONGEST_WEEKS, PAIR_SPAN_WEEKS, SHORTEST_WEEKS
from planner.need.weigh import MOST_SINCE, NEVER_MET_SINCE
from planner.simulate.catalogue import Catalogue
from planner.simulate.learners import Array, Codes, Learner, Mask

BEFORE, AFTER = 120, 200
"""Days before and after the first Monday that the calendar knows."""

PRACTICE_DAYS = 6
NEVER = -BEFORE
"""The day that stands for "not met yet"."""


@dataclass(frozen=True, slots=True)
class Calendar:
    """Which days are practised: Monday to Saturday, apart from the days of a missed week."""

    weeks: int
    missed: tuple[int, ...]
    counted: Codes
    lost: Codes

    @property
    def days(self) -> int:
        """Days of the term."""
        return 7 * self.weeks

    def practised(self, day: int) -> bool:
        """Whether there is practice on this day."""
        return bool(self.between(day - 1, day))

    def between(self, after: Codes | int, until: Codes | int) -> Codes:
        """Practice days later than `after`, up to `until`."""
        last = BEFORE + AFTER
        ends = (np.clip(np.asarray(day) + BEFORE + 1, 0, last) for day in (after, until))
        first, end = (self.counted[one] for one in ends)
        return np.asarray(end - first)

    def span_end(self, last: Codes, span: int) -> Codes:
        """The last day of a span; days of a missed week lengthen it."""
        end = last + span
        for _ in range(2):  # what is lost within the lengthening lengthens it again
            end = last + span + self.lost[np.clip(end + BEFORE, 0, BEFORE + AFTER)] - self._lost(last)
        return end

    def _lost(self, day: Codes) -> Codes:
        return self.lost[np.clip(day + BEFORE, 0, BEFORE + AFTER)]


def calendar(weeks: int, missed_week: int | None = None) -> Calendar:
    """The calendar of a term; `missed_week` (from 1) is lost to illness, typed in as such."""
    days = np.arange(-BEFORE, AFTER + 1)
    missed = () if missed_week is None else tuple(range(7 * missed_week - 7, 7 * missed_week))
    out = np.isin(days, missed)
    practised = (days % 7 < PRACTICE_DAYS) & ~out
    return Calendar(weeks, missed, np.concatenate([[0], np.cumsum(practised)])[: len(days)], np.cumsum(out))


def items_a_week(catalogue: Catalogue) -> int:
    """Items that a week carries."""
    return PRACTICE_DAYS * catalogue.items_a_day


def granted_weeks(catalogue: Catalogue, in_work: int) -> int:
    """The smallest span that leaves a quarter of the items free, as planner.need.capacity counts it."""
    carried = (1 - float(FREE_SHARE)) * items_a_week(catalogue)
    share = 1 - in_work / catalogue.size
    for weeks in range(SHORTEST_WEEKS, LONGEST_WEEKS + 1):
        kept = sum(max(share * count / weeks, pairs) for count, pairs in _by_exercise(catalogue))
        if in_work * PRACTICE_DAYS / IN_WORK_EVERY + kept <= carried:
            return weeks
    return LONGEST_WEEKS


def _by_exercise(catalogue: Catalogue) -> list[tuple[int, float]]:
    """Of each exercise how many combinations it has, and how many items a week its pairs ask for."""
    found = []
    for exercise in np.unique(catalogue.exercise):
        own = catalogue.pairs[catalogue.exercise == exercise]
        distinct = int(own.any(axis=0).sum())
        found.append((len(own), distinct * len(own) / (PAIR_SPAN_WEEKS * own.sum())))
    return found


@dataclass(slots=True)
class Morning:
    """What a policy knows when it chooses the items of a day.

    `mean` and `sd` (S, N) are the shared estimate; `last` (S, N) the day of the last turn (NEVER before the
    first); `met_pairs` (S, P) the day of the last turn of each pair. `dice` (S, N) are fresh uniform
    draws. `learner` is for the reference alone.
    """

    day: int
    calendar: Calendar
    catalogue: Catalogue
    span_days: int
    mean: Array
    sd: Array
    last: Codes
    met_pairs: Codes
    dice: Array
    learner: Learner

    @property
    def items(self) -> int:
        """How many items the day has."""
        return self.catalogue.items_a_day

    @property
    def week(self) -> int:
        """The week of the term, from 1."""
        return self.day // 7 + 1

    def playable(self) -> Mask:
        """What has been introduced, (N,)."""
        return self.catalogue.weeks <= self.week

    def since(self) -> Codes:
        """Practice days since the last turn, today included: 1 where it was played on the last one."""
        found = np.minimum(self.calendar.between(self.last, self.day), MOST_SINCE)
        return np.where(self.last == NEVER, NEVER_MET_SINCE, found)

    def may_stand(self) -> Mask:
        """Not on two days running, and introduced."""
        return (self.since() >= 2) & self.playable()

    def slack(self) -> Codes:
        """Practice days left after today before a span ends: 0 where today is the last chance, (S, N)."""
        ends = self.calendar.span_end(self.last, self.span_days)
        ends = np.where(self.last == NEVER, 7 * self.catalogue.weeks - 1, ends)
        left: Codes = self.calendar.between(self.day, np.maximum(ends, self.day))
        return np.where(self.playable(), left, AFTER)

    def pressing(self) -> Mask:
        """What has to stand today so that every span can be kept: first those that end first, (S, N)."""
        slack = self.slack()
        room = max(1, math.floor((1 - FREE_SHARE) * self.items))
        horizon = np.arange(int(self.span_days))
        ending = (slack[:, :, None] <= horizon).sum(axis=1)
        wanted = np.maximum((ending - room * horizon).max(axis=1), (slack == 0).sum(axis=1))
        rank = np.argsort(np.argsort(slack, axis=1, kind="stable"), axis=1, kind="stable")
        pressing: Mask = (rank < wanted[:, None]) & (slack < AFTER)
        return pressing

    def open_pairs(self) -> Mask:
        """Pairs whose two weeks end today, (S, P)."""
        ends = self.calendar.span_end(self.met_pairs, 7 * PAIR_SPAN_WEEKS)
        known = self.catalogue.pairs[self.playable()].any(axis=0)
        last_chance: Mask = self.calendar.between(self.day, np.maximum(ends, self.day)) == 0
        return last_chance & known
